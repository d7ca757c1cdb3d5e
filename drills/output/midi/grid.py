"""Where a timeline stands in the file, and how exact places become ticks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor, lcm
from typing import Final

from mido import Message, MetaMessage

from drills.music.time import START, Position
from drills.sheets.sheet import Sheet
from drills.sound.timeline import Timeline

TICKS: Final = 3360
"""Ticks of a quarter: 32 * 3 * 5 * 7."""
MOST_TICKS: Final = 9600
"""The header has room for 32,767, but programs that open the file often take no more than this
(common practice)."""
_MANY_TICKS: Final = 5040
"""Ticks of a quarter where nothing exact fits: 16 * 9 * 5 * 7."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A timeline with its place in the file."""

    sheet: Sheet
    line: Timeline
    start: Position

    def at(self, place: Position) -> Position:
        """A place of the timeline, counted from the start of the file."""
        return self.start + (place - START)


@dataclass(frozen=True, slots=True)
class Happening:
    """A message and when it happens; of those at one tick the first yielded comes first."""

    tick: int
    message: Message | MetaMessage


@dataclass(frozen=True, slots=True)
class Grid:
    """From exact places to ticks."""

    ticks: int

    @classmethod
    def for_(cls, placed: Sequence[Placed]) -> Grid:
        """The grid that holds every time exactly, if a header can name one."""
        times = {s.at.quarters for p in placed for s in p.line.sounds}
        times |= {(s.at + s.length).quarters for p in placed for s in p.line.sounds}
        times |= {d.at.quarters for p in placed for d in p.line.drills}
        needed = lcm(1, *(time.denominator for time in times))
        fitting = (n for n in (lcm(TICKS, needed), needed) if n <= MOST_TICKS)
        return cls(next(fitting, _MANY_TICKS))

    def tick(self, place: Position) -> int:
        """The tick nearest to a place."""
        return floor(place.quarters * self.ticks + Fraction(1, 2))


def storable(text: str) -> str:
    """``text`` without what UTF-8 cannot hold."""
    return text.encode("utf-8", "replace").decode()
