"""A groove laid over bars: every stroke at its exact place.

Method.  Each bar plays the bar of the pattern that its number asks for; the
last bar of a phrase plays the turn instead.

Conventions.
  * Bars are numbered through from ``first_bar``, which is the number of the
    first bar that has its own beginning.  A bar with an offset (a pickup, or
    the second half of a split bar) belongs to the bar before it; a pickup
    before bar 0 plays the end of the pattern and no turn.
  * Numbers run on over a change of time, so that laying bars in two portions
    gives the same as laying them at once.
  * A bar longer than its time signature goes on with the start of its pattern.
  * ``last`` asks for a turn in the last bar, whatever its number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from fractions import Fraction
from functools import partial

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.music.time import TimeSignature
from drills.sound.groove.pattern import Groove, Pattern
from drills.sound.groove.swing import FOLLOWS_TEMPO, Swing, swing_ratio, swung_places
from drills.sound.groove.table import GROOVES
from drills.sound.groove.variation import Variation


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stroke of one drum."""

    at: Fraction
    """Quarters on the line of the bars, swing included."""
    sound: str
    """A key of practice.voices.SOUNDS."""
    level: float
    """Linear, over 0 to 1."""
    late: Fraction = Fraction(0)
    """Seconds that it comes late by unevenness; negative where it comes early, also at the
    very start of the line."""


def find_groove(text: str) -> Groove:
    """The groove that a player names; UsageError with the nearest name where there is none."""
    wanted = "-".join(text.strip().lower().replace("_", " ").replace("/", " ").split())
    if wanted in GROOVES:
        return GROOVES[wanted]
    near = get_close_matches(wanted, GROOVES, 1, 0.5)
    hint = f"did you mean {near[0]}?" if near else f"choose from {', '.join(GROOVES)}"
    raise UsageError(f"there is no groove {text!r}; {hint}")


def fits(groove: Groove, time: TimeSignature) -> bool:
    """True where the groove has a pattern for bars of this time signature."""
    return groove.pattern(time) is not None


def fitting(time: TimeSignature) -> tuple[Groove, ...]:
    """The grooves that have a pattern for bars of this time signature, in the table's order."""
    return tuple(groove for groove in GROOVES.values() if fits(groove, time))


def swing_of(groove: Groove, swing: Swing) -> Swing:
    """The swing in force: a ratio that the player chose, else the groove's own.

    So a bossa stays straight and a shuffle stays 2:1 where the player asks to
    follow the tempo, and what plays with the drums can ask the same.
    """
    return groove.swing if swing.ratio is None else swing


def strokes(
    groove: Groove,
    bars: Sequence[GridBar],
    *,
    beats_per_minute: Callable[[Fraction], Fraction],
    swing: Swing = FOLLOWS_TEMPO,
    variation: Variation | None = None,
    first_bar: int = 0,
    last: bool = False,
) -> tuple[Stroke, ...]:
    """Every stroke of a groove over bars, by place and then by sound.

    Parameters: ``beats_per_minute``, at a place in quarters, the tempo in beats
    of the bar that holds the place (halves in 2/2), as the player counts;
    ``swing``, see ``swing_of``; ``first_bar`` and ``last``, see the top of the
    module.

    Raises UsageError for a bar whose time signature the groove does not fit; it
    names the grooves that do.
    """
    numbers = tuple(_numbers(bars, first_bar))
    found: list[Stroke] = []
    for number, bar in zip(numbers, bars, strict=True):
        turn = number >= 0 and (number + 1) % groove.phrase == 0
        written = _written(
            _pattern(groove, bar.time), bar, number, turn=turn or (last and number == numbers[-1])
        )
        tempo = partial(_quarters_per_minute, beats_per_minute, bar)
        straight = [_varied(variation, stroke, number, bar, tempo) for stroke in written]
        found += _swung(straight, bar, tempo, swing_of(groove, swing))
    return tuple(sorted(found, key=lambda stroke: (stroke.at, stroke.sound)))


def _numbers(bars: Sequence[GridBar], first_bar: int) -> Iterator[int]:
    """The number of each bar: one on at every bar that has its own beginning."""
    number = first_bar - 1
    for bar in bars:
        number += 0 if bar.offset else 1
        yield number


def _pattern(groove: Groove, time: TimeSignature) -> Pattern:
    """The groove's pattern for these bars, or UsageError."""
    found = groove.pattern(time)
    if found is not None:
        return found
    others = ", ".join(other.key for other in fitting(time))
    raise UsageError(
        f"the groove {groove.key} ({groove.words}) has no bars in {time}; "
        + (f"these have: {others}" if others else "no groove has: choose a click instead")
    )


def _written(pattern: Pattern, bar: GridBar, number: int, *, turn: bool) -> Iterator[Stroke]:
    """What is struck in a bar, straight."""
    begin, end = bar.offset.quarters, bar.offset.quarters + bar.length.quarters
    grid, index = (pattern.turn, 0) if turn else (pattern.grid, number % len(pattern.grid.bars))
    shift = Fraction(0)
    while shift < end:
        for place, sound, level in grid.strokes(index):
            if begin <= shift + place < end:
                yield Stroke(bar.start + shift + place - begin, sound, level)
        shift += grid.bar_length


def _quarters_per_minute(
    beats_per_minute: Callable[[Fraction], Fraction], bar: GridBar, at: Fraction
) -> Fraction:
    """The tempo at a place, whatever the beat of the bar."""
    return beats_per_minute(at) * bar.time.beat.quarters


def _varied(
    variation: Variation | None,
    stroke: Stroke,
    number: int,
    bar: GridBar,
    tempo: Callable[[Fraction], Fraction],
) -> Stroke:
    """The stroke with its unevenness, if there is any."""
    if variation is None:
        return stroke
    key = (number, stroke.at - bar.start + bar.offset.quarters, stroke.sound)
    return replace(
        stroke,
        level=variation.level(key, stroke.level),
        late=variation.late(key, 60 / tempo(stroke.at)),
    )


def _swung(
    straight: Sequence[Stroke],
    bar: GridBar,
    tempo: Callable[[Fraction], Fraction],
    swing: Swing,
) -> Iterator[Stroke]:
    """The strokes of one bar where they are played."""
    places = swung_places(
        (stroke.at for stroke in straight), (bar,), lambda at: swing_ratio(tempo(at), swing)
    )
    return (replace(stroke, at=places[stroke.at]) for stroke in straight)
