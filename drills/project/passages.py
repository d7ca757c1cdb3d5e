"""What the planner knows of a passage: how far it is, how far it has to go, what is played.

A passage is a spot of the book seen from the days: its sheet's blocks, the tempo it has to
reach, and what the log says of it.  Nothing here knows scores or pages.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from math import ceil, log2

from drills.project.rules import FIRST_GAIN, IN_HAND, USUAL_GAIN, VISIT_SLOTS
from drills.project.scale import number_at, numbers_between, place


class State(StrEnum):
    """What the player says of a spot by hand."""

    OPEN = "open"
    READY = "ready"
    """At its tempo: it only comes back now and then."""
    LEFT = "left"
    """Not practised."""


class Role(StrEnum):
    """What a block of a sheet is for."""

    MOVES = "moves"
    """A few notes at a time."""
    LINE = "line"
    """The whole line in a rhythm."""
    SPOT = "spot"
    """The spot as it stands."""


@dataclass(frozen=True, slots=True)
class Block:
    """A heading of a sheet with what stands under it."""

    number: int
    """Of the heading, from 1, in the order of the page."""
    words: str
    role: Role
    scale: Fraction = Fraction(1)
    """Its numbers on the page, in those of the spot as it stands: both lead to one speed."""

    def on_page(self, number: Fraction) -> Fraction:
        """A number of the spot as the block's ladder has it, whole where the two differ."""
        return number if self.scale == 1 else Fraction(round(number * self.scale))

    def of_spot(self, number: Fraction) -> Fraction:
        """A number of the block's ladder as that of the spot."""
        return number if self.scale == 1 else Fraction(round(number / self.scale))


@dataclass(frozen=True, slots=True)
class Passage:
    """A spot of the project as the planner sees it."""

    id: str
    name: str
    """Piece, part and place, for reading."""
    goal: Fraction
    """The tempo to reach, in beats a minute."""
    foot: Fraction
    """The slowest tempo of its ladder, below the goal."""
    blocks: tuple[Block, ...]
    """In the order of the page; at least one."""
    weight: Fraction = Fraction(1)
    """How much it counts beside the others."""
    hard: float = 0.0
    """How hard it is, for the order of things only; more is harder."""
    state: State = State.OPEN
    reached: Fraction | None = None
    """Where it stands after the last day that it was played; None where it was never."""
    played_on: tuple[date, ...] = ()
    """The days on which it was played, ascending."""
    gain: float = USUAL_GAIN
    """Numbers that a second day with it may be expected to bring."""
    first_gain: float = FIRST_GAIN
    """Numbers above the foot at which a first look is expected to find it."""

    @property
    def top(self) -> Fraction:
        """The tempo that is aimed at, a little above the goal."""
        return number_at(ceil(place(self.goal) - 1e-9) + IN_HAND)

    @property
    def at(self) -> Fraction:
        """The tempo that counts as reached now."""
        if self.state is State.READY:
            return self.top
        return min(self.top, self.reached if self.reached is not None else self.foot)

    @property
    def to_go(self) -> int:
        """Numbers of the metronome from here to what is aimed at."""
        return numbers_between(self.at, self.top)

    @property
    def whole_way(self) -> int:
        """Numbers from the foot of the ladder to what is aimed at, at least 1."""
        return max(1, numbers_between(self.foot, self.top))

    def gain_on(self, days: int, blocks: int) -> float:
        """Numbers that a day brings after so many ``days`` with it, played for some blocks."""
        if not days:
            return self.first_gain
        return self.gain * log2((days + 1) / days) * min(1.0, blocks / VISIT_SLOTS)

    @property
    def is_begun(self) -> bool:
        """True for what is no longer new to the fingers."""
        return bool(self.played_on) or self.state is State.READY

    def place_in_way(self, to_go: float) -> float:
        """0 at the foot of the ladder, 1 at what is aimed at."""
        return max(0.0, min(1.0, 1 - to_go / self.whole_way))
