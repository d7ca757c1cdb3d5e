"""Swing: how much later than written an offbeat eighth is played, and how that follows the tempo.

Problem.  Two eighths written alike are played long and short; how long depends
on the tempo.  Method.  The ratio of long to short falls in a straight line with
the tempo.  The figures are those of the first author's own rule program
(Director Musices, rule "swing", which names them "linear interpolations from
Friberg & Sundström 2002"), after A. Friberg and A. Sundström, "Swing ratios and
ensemble timing in jazz performance", Music Perception 19(3), 2002, 333-349:

    ride cymbal   4.9396 - 0.0124 bpm

The soloists of that study swing less and come late on the beat, to meet the drummer on
the offbeat.  That is a way to perform; what plays along here is to be practised to, so
it has the ratio of the drums and its beats on the beat.

Conventions.
  * What swings is the half of a quarter in simple time over 4, 2 or 1.  In
    compound time and in simple time over 8 nothing swings.
  * Tempo here is quarters a minute.  Below 120 the ratio of 120 holds, since
    the abstract puts the slow end of what was measured (about 3.5:1) there;
    above about 318 the drummers' line falls below 1 and straight eighths hold.
  * Ratios are exact Fractions from 1 to 4.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.music.time import TimeSignature

LEAST_RATIO: Final = Fraction(1)
"""Straight eighths."""
GREATEST_OF_LINE: Final = Fraction(5, 2)
"""The most that a line swings: soloists swing less than drums at every tempo that was measured
(Friberg and Sundström; the figure is our own choice)."""
GREATEST_RATIO: Final = Fraction(4)
"""The ratio of a beat to its upbeat is taken for valid from 0.25 to 4 in the literature (as in
the ``swing`` module of the package amads); a greater one is no longer heard as eighths."""

SLOWEST_MEASURED: Final = Fraction(120)
"""Quarters a minute; the published lines are not drawn out below."""

AT_ZERO, SLOPE = Fraction("4.9396"), Fraction("-0.0124")
"""Ratio at tempo 0, and what a quarter a minute more adds to it (see the top of the module)."""


@dataclass(frozen=True, slots=True)
class Swing:
    """How offbeats are played: after the tempo, in one ratio, or straight (the ratio 1)."""

    ratio: Fraction | None = None
    """Long to short, 1 to 4; None follows the tempo."""
    steady: bool = False
    """Follows the performing tempo, on every rung alike: what is practised slowly is then what
    is played later."""

    def __post_init__(self) -> None:
        if self.ratio is not None and not LEAST_RATIO <= self.ratio <= GREATEST_RATIO:
            raise ValueError(f"a swing ratio of {self.ratio} lies outside 1 to 4")


FOLLOWS_TEMPO: Final = Swing()
STEADY: Final = Swing(steady=True)
STRAIGHT: Final = Swing(LEAST_RATIO)
TRIPLET: Final = Swing(Fraction(2))


def parse_swing(text: str) -> Swing:
    """Read "steady", "tempo", "straight", "2:1" or "1.5".

    Raises UsageError for anything else and for a ratio outside 1 to 4.
    """
    wanted = text.strip().lower()
    if wanted in _NAMED:
        return _NAMED[wanted]
    found = _RATIO.fullmatch(wanted)
    if found is None or (found[2] is not None and not Fraction(found[2])):
        raise UsageError(
            f'{text!r} is no swing; write "steady", "tempo" (follows every rung), "straight", '
            "or long against short such as 2:1 or 1.5"
        )
    ratio = Fraction(found[1]) / Fraction(found[2] or 1)
    if not LEAST_RATIO <= ratio <= GREATEST_RATIO:
        raise UsageError(
            f"a swing of {text.strip()} is out of range; choose from 1 (straight) to 4 (4:1)"
        )
    return Swing(ratio)


_NAMED: Final = {"steady": STEADY, "tempo": FOLLOWS_TEMPO, "straight": STRAIGHT}
_NUMBER: Final = r"([0-9]{1,3}(?:\.[0-9]{1,4})?)"
_RATIO: Final = re.compile(rf"{_NUMBER}(?:\s*:\s*{_NUMBER})?")


def swing_ratio(beats_per_minute: Fraction, swing: Swing) -> Fraction:
    """Long to short at a tempo (quarters a minute), from 1 to 4."""
    if swing.ratio is not None:
        return swing.ratio
    return max(LEAST_RATIO, AT_ZERO + SLOPE * max(beats_per_minute, SLOWEST_MEASURED))


def settled(swing: Swing, performing: Fraction) -> Swing:
    """The swing with its ratio, where it is that of the performing tempo (quarters a minute)."""
    if not swing.steady:
        return swing
    return Swing(min(swing_ratio(performing, FOLLOWS_TEMPO), GREATEST_OF_LINE))


def line_ratio(beats_per_minute: Fraction, swing: Swing) -> Fraction:
    """The ratio of a line that swings as drums do: that of the drums, up to its own limit."""
    return min(swing_ratio(beats_per_minute, swing), GREATEST_OF_LINE)


def swings_in(time: TimeSignature) -> bool:
    """True where the offbeat eighths of this time signature can swing."""
    return time.unit <= 4 and not time.is_compound


def swung(at: Fraction, bar: GridBar, ratio: Fraction) -> Fraction:
    """Where a place of a bar is played: its offbeat eighth at ratio / (ratio + 1) of the quarter.

    What lies before or after the offbeat moves in proportion, so that order is
    kept; places on the beat stay.  Left as written are

      * triplets and other tuplets: they are played even in swing too, and the
        last of a triplet meets the swung eighth at 2:1 (common practice);
      * a quarter whose end the bar lacks, so that nothing leaves its bar;
      * every place in time that does not swing (``swings_in``).

    A voice goes through ``swung_places``, which looks at the whole quarter:
    there an offbeat may stand beside a tuplet.
    """
    pulse = _pulse(at, bar)
    if pulse is None or not _is_plain(at - pulse):
        return at
    part, offbeat = at - pulse, _offbeat(ratio)
    if part <= _HALF:
        return pulse + part * 2 * offbeat
    return pulse + 1 - (1 - part) * 2 * (1 - offbeat)


def swung_places(
    places: Iterable[Fraction],
    bars: Sequence[GridBar],
    ratio: Callable[[Fraction], Fraction],
) -> dict[Fraction, Fraction]:
    """Where the places of one voice are played: strictly in order, on the beat unmoved.

    A quarter swings if the voice divides it into two eighths at most; one that
    holds sixteenths or a tuplet is played as written (common practice).

    Parameters: ``places``, attacks and written ends in quarters on the line of
    ``bars``; ``ratio``, the swing of the quarter that begins at a place (for a
    bar that begins inside a quarter: at the bar's start).  Places outside all
    bars stay.
    """
    starts = [bar.start for bar in bars]
    quarters: dict[tuple[GridBar, Fraction], list[Fraction]] = defaultdict(list)
    played = {}
    for at in places:
        played[at] = at
        index = bisect_right(starts, at) - 1
        pulse = _pulse(at, bars[index]) if index >= 0 and at < bars[index].end else None
        if pulse is not None:
            quarters[bars[index], pulse].append(at)
    for (bar, pulse), inside in quarters.items():
        if pulse + _HALF in inside and all(at - pulse in (0, _HALF) for at in inside):
            now = ratio(max(pulse, bar.start))
            played |= {at: swung(at, bar, now) for at in inside}
    return played


_HALF: Final = Fraction(1, 2)


def _pulse(at: Fraction, bar: GridBar) -> Fraction | None:
    """Where the quarter that holds ``at`` begins, or None where it does not swing."""
    if not swings_in(bar.time):
        return None
    pulse = at - (at - bar.start + bar.offset.quarters) % 1
    return pulse if pulse + 1 <= bar.end else None


def _is_plain(part: Fraction) -> bool:
    """True for a place that halving a quarter leads to."""
    return part.denominator & (part.denominator - 1) == 0


def _offbeat(ratio: Fraction) -> Fraction:
    """Where in the quarter the offbeat falls."""
    return ratio / (ratio + 1)
