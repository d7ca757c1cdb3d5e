"""A click pattern laid over bars: every click at its exact place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.sheets.clicks.pattern import Pattern, Place, first_downbeat, group_starts


class Accent(StrEnum):
    """Which clicks are accented, if a click falls there at all."""

    DOWNBEAT = "downbeat"
    """Beat 1 of every bar."""
    GROUPS = "groups"
    """The first beat of every group."""
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Click:
    """One sound of the metronome."""

    at: Fraction
    """Quarters on the line of the bars."""
    accent: bool = False
    level: float = 1.0
    """Linear, over 0 to 1."""


ACCENT_LEVEL: Final = 1.0
BEAT_LEVEL: Final = 0.8
PART_LEVEL: Final = 0.5
"""A click between the beats, where the pattern divides them."""


def clicks(
    pattern: Pattern, bars: Sequence[GridBar], accent: Accent = Accent.DOWNBEAT, rung: int = 0
) -> tuple[Click, ...]:
    """The clicks of a pattern over a whole row of bars, in order.

    ``rung`` (from 0) is the rung of the ladder, for a pattern that helps less with
    every one.  Raises UsageError as ``check`` does.
    """
    check(pattern, bars, rung)
    return tuple(laid(pattern, bars, Place(first_downbeat(bars), 0), accent, rung))


def check(pattern: Pattern, bars: Sequence[GridBar], rung: int = 0) -> None:
    """Raises UsageError for a pattern that makes no sense over these bars.

    A beat that no bar has; a pattern that does not meet a downbeat again, or whose
    turn of bars is longer than the row.  A beat that only some bars have is silent
    in the others.
    """
    if not bars:
        return
    problem = pattern.at_rung(rung, bars[0].time).problem(bars)
    if problem is not None:
        raise UsageError(problem)


def laid(
    pattern: Pattern, bars: Iterable[GridBar], row: Place, accent: Accent, rung: int
) -> Iterator[Click]:
    """The clicks of some bars of a longer row; ``row`` says where the row began.

    So a row that is too long to be kept is laid a few bars at a time.
    """
    passed = row.number
    for bar in bars:
        number = max(passed - 1, 0) if bar.offset else passed
        passed += not bar.offset
        here = pattern.at_rung(rung, bar.time)
        accented = frozenset(_accented(bar, accent))
        beats = frozenset(at for _, at in bar.beats()) if here.divides_beats else None
        for at in here.places(bar, Place(row.origin, number)):
            if at in accented:
                yield Click(at, accent=True, level=ACCENT_LEVEL)
            else:
                yield Click(at, level=BEAT_LEVEL if beats is None or at in beats else PART_LEVEL)


def _accented(bar: GridBar, accent: Accent) -> Iterator[Fraction]:
    if accent is Accent.NONE:
        return
    wanted = group_starts(bar.time) if accent is Accent.GROUPS else (1,)
    yield from (at for number, at in bar.beats() if number in wanted)
