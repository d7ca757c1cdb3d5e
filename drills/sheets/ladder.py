"""Ladders: metronome numbers up to the performing tempo, and the clicks that go with them.

Conventions.  A ladder counts the beat of the music.  Where its slowest number lies
below the series, it counts a part of the beat instead (eighths for quarters), and
where its fastest lies above, it counts twice the beat or more.  No number is below
LOWEST or above HIGHEST: where no value keeps both ends within, it starts higher.
The last rung of the spot itself is always the performing tempo, on the scale or not.

The ladder of a drill leads to the performing speed of the music, whatever the drill is
written in: its ``pace`` is the length of its quick notes over that of the music's.
Thirty-seconds that are drilled in sixteenths have a pace of 2, so that the beat of the
drill is twice as fast as the music's when both have as many notes a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.music.tempo import Tempo
from drills.music.time import Length, NoteValue, TimeSignature
from drills.sheets.clicks.pattern import Pattern
from drills.sheets.clicks.patterns import Beats, Every
from drills.sheets.clicks.words import DOTS, PLURALS, SINGULARS, has_name
from drills.sheets.metronome import (
    HIGHEST,
    LOWEST,
    SERIES,
    can_be_set,
    nearest_index,
    spread,
)

SLOWEST: Final = 10
FASTEST: Final = 600
"""Quarters a minute; a tempo beyond is a slip of the pen."""

RUNGS: Final = 8
MOST_RUNGS: Final = len(SERIES)


@dataclass(frozen=True, slots=True)
class ClickSetting:
    """What to set on a plain metronome, for each rung of a ladder."""

    words: str
    """"on beat 4 only", "every three sixteenths"."""
    numbers: tuple[Fraction, ...]
    """Clicks per minute, one for each rung."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Metronome numbers from a slow tempo up to the performing tempo."""

    beat: NoteValue
    """The note value that the numbers count."""
    rungs: tuple[Fraction, ...]
    """Ascending; the last is the performing tempo."""
    clicks: tuple[ClickSetting, ...]
    repetitions: int = 5
    """Correct repetitions in a row at each rung."""

    def thinned(self, count: int) -> Ladder:
        """``count`` of its rungs, evenly, with the first and the last."""
        last = len(self.rungs) - 1
        if count > last:
            return self
        kept = [nearest_index(last * n, count - 1) for n in range(count)]
        return replace(
            self,
            rungs=tuple(self.rungs[n] for n in kept),
            clicks=tuple(
                replace(click, numbers=tuple(click.numbers[n] for n in kept))
                for click in self.clicks
            ),
        )

    def at(self, tempos: Sequence[Tempo]) -> Ladder:
        """The same kinds of click on other rungs, which all count one length."""
        beat = NoteValue.of(tempos[0].beat) or self.beat
        rungs = tuple(tempo.counted_in(beat.length).number for tempo in tempos)
        scale = beat.length / self.beat.length / self.rungs[-1]
        clicks = tuple(
            replace(click, numbers=tuple(click.numbers[-1] * number * scale for number in rungs))
            for click in self.clicks
        )
        return replace(self, beat=beat, rungs=rungs, clicks=clicks)


def make_ladder(
    tempo: Tempo,
    time: TimeSignature,
    *,
    rungs: int = RUNGS,
    start: Fraction | None = None,
    value: Length | None = None,
) -> Ladder:
    """A ladder up to ``tempo``, with the clicks that fit ``time``.

    ``value`` is the value that runs through the passage; without it no click
    goes across the beat.  ``start`` is the slowest tempo in beats of ``time`` a
    minute; half the performing tempo unless given.  Raises UsageError for fewer
    than two rungs, a tempo out of bounds, and a start that is not below the
    performing tempo.
    """
    if not 2 <= rungs <= MOST_RUNGS:
        raise UsageError(f"a ladder has 2 to {MOST_RUNGS} rungs, not {rungs}")
    beat, low, high = counted_from(tempo, time, start)
    numbers = spread(low, high, rungs)
    return Ladder(_value_of(beat), numbers, _clicks(numbers, beat, time, value))


def drill_ladder(
    tempo: Tempo,
    time: TimeSignature,
    pace: Fraction,
    *,
    rungs: int,
    repetitions: int,
    start: Fraction | None = None,
) -> Ladder:
    """A ladder for drills of a pace, up to the performing speed of the music.

    ``start`` as for make_ladder: in beats of the music at its own pace.  Worked example:
    sixteenths at quarter = 112, grouped in threes, are triplet eighths; a triplet eighth
    is 4/3 of a sixteenth, and 112 x 4/3 is 149 1/3.
    """
    whole, low = _bounds(tempo, time, start)
    beat, low, high = _within(replace(whole, number=whole.number * pace), time, low * pace)
    return Ladder(_value_of(beat), spread(low, high, rungs), (), repetitions)


def _value_of(beat: Length) -> NoteValue:
    counted = NoteValue.of(beat)
    if counted is None:
        raise UsageError(f"a beat of {beat} quarters has no note value; give --tempo for another")
    return counted


def counted_from(
    tempo: Tempo, time: TimeSignature, start: Fraction | None = None
) -> tuple[Length, Fraction, Fraction]:
    """What a ladder counts, and the lowest and the performing tempo counted in it.

    Terms and errors as for make_ladder.
    """
    top, low = _bounds(tempo, time, start)
    return _within(top, time, low)


def _bounds(tempo: Tempo, time: TimeSignature, start: Fraction | None) -> tuple[Tempo, Fraction]:
    """The performing tempo in beats of ``time``, and the slowest tempo in the same."""
    if not SLOWEST <= tempo.quarters_per_minute <= FASTEST:
        raise UsageError(
            f"a performing tempo of {shown(tempo.quarters_per_minute)} quarters a minute is out of "
            f"bounds; give one from {SLOWEST} to {FASTEST}"
        )
    top = tempo.counted_in(time.beat)
    low = top.number / 2 if start is None else start
    if not 0 < low < top.number:
        raise UsageError(
            f"the ladder cannot start at {shown(low)}; give a start below the performing tempo of "
            f"{shown(top.number)}"
        )
    return top, low


def _within(top: Tempo, time: TimeSignature, low: Fraction) -> tuple[Length, Fraction, Fraction]:
    """What is counted so that the numbers can be set, and both ends counted in it."""
    beat = _counted(top, time, low)
    scale = top.beat / beat
    return beat, max(low * scale, min(LOWEST, top.number * scale)), top.number * scale


def _counted(tempo: Tempo, time: TimeSignature, low: Fraction) -> Length:
    """The length that the ladder counts: the beat, or a part or multiple of it.

    The first that keeps both ends within the series, or else within what is printed, or
    else the shortest that keeps the fast end within.
    """
    lengths = [*_parts(tempo.beat), *_multiples(tempo.beat, time)]
    for lowest, highest in ((SERIES[0], SERIES[-1]), (LOWEST, HIGHEST)):
        for counted in lengths:
            scale = tempo.beat / counted
            if low * scale >= lowest and tempo.number * scale <= highest:
                return counted
    slow_enough = [one for one in lengths if tempo.number * (tempo.beat / one) <= HIGHEST]
    return min(slow_enough, default=tempo.beat)


def _parts(beat: Length) -> list[Length]:
    """The beat, and what it divides into: halves and halves of these, thirds first if dotted."""
    found, parts = [beat], 3 if NoteValue.of(beat, max_dots=0) is None else 2
    for _ in range(3):
        found.append(Length(found[-1].quarters / parts))
        parts = 2
    return found


def _multiples(beat: Length, time: TimeSignature) -> list[Length]:
    """Two or three beats or the bar, as far as they divide it; then two beats and four."""
    times = [*(n for n in (2, 3, time.beats) if time.beats % n == 0), 2, 4]
    return [beat * n for n in dict.fromkeys(times) if NoteValue.of(beat * n) is not None]


def metronome_number(pattern: Pattern, tempo: Tempo, time: TimeSignature) -> Fraction | None:
    """Clicks a minute that a plain metronome needs for ``pattern``, exactly.

    At quarter = 120 in 4/4 "every three sixteenths" is 160 and "beat 4 only" 30.
    None where the clicks are not evenly spaced.  The number may lie beyond what
    metronomes offer; ``can_be_set`` tells.
    """
    apart = pattern.spacing(time)
    return None if apart is None else tempo.quarters_per_minute / apart.quarters


def _clicks(
    numbers: Sequence[Fraction], beat: Length, time: TimeSignature, value: Length | None
) -> tuple[ClickSetting, ...]:
    """What a plain metronome needs for clicks that help less than every beat.

    A kind of click is left out where no rung can be set for it.
    """
    settings = []
    for pattern in _printed(time, value):
        found = (metronome_number(pattern, Tempo(number, beat), time) for number in numbers)
        exact = tuple(number for number in found if number is not None)
        if any(can_be_set(number) for number in exact):
            settings.append(ClickSetting(pattern.words(time), exact))
    return tuple(settings)


def _printed(time: TimeSignature, value: Length | None) -> list[Pattern]:
    """The patterns whose numbers are printed: some beats only, and across the beat.

    Across the beat: a click every few of the smallest value; three where the beat
    has two or four parts, two of three parts, four of six.  It comes round with
    the beat after as many beats.
    """
    patterns: list[Pattern] = []
    if time.beats % 2 == 0 and time.beats > 2:
        patterns.append(Beats(tuple(Fraction(n) for n in range(2, time.beats + 1, 2))))
    if time.beats > 1:
        patterns.append(Beats((Fraction(time.beats),)))
    count = None if value is None else _ACROSS.get(time.beat / value)
    if value is not None and count is not None and has_name(value, max_dots=0):
        patterns.append(Every(count, value))
    return patterns


_ACROSS: Final = {Fraction(parts): n for parts, n in ((2, 3), (4, 3), (8, 3), (3, 2), (6, 4))}
"""Values from click to click, by the number of them in a beat."""


def beats_named(beat: Length) -> str:
    """``dotted quarters``: what a tempo counts, as a player says it; "beats" if it has no name."""
    value = NoteValue.of(beat, 1)
    return f"{DOTS[value.dots]}{PLURALS[value.kind]}" if value else "beats"


def tempo_words(tempo: Tempo) -> str:
    """``dotted quarter = 72``."""
    return f"{beat_words(tempo.beat)} = {shown(tempo.number)}"


def beat_words(beat: Length) -> str:
    """``dotted quarter``."""
    value = NoteValue.of(beat, 1)
    return f"{DOTS[value.dots]}{SINGULARS[value.kind]}" if value else "beat"


def shown(number: Fraction) -> str:
    """A metronome number for print: whole, or with one decimal."""
    if number.denominator == 1:
        return str(number)
    return f"{float(number):.1f}".removesuffix(".0")
