"""Bars in a row on one exact time line: what clicks, drum patterns and harmonies are laid on.

Conventions.  Times are quarters from the start of the row, as plain Fractions:
several parts of a score share one such line, so they are no places in a part.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from drills.music.score import Bar
from drills.music.time import ZERO, Length, TimeSignature


@dataclass(frozen=True, slots=True)
class GridBar:
    """A bar with its place in a row of bars."""

    start: Fraction
    """Quarters from the start of the row."""
    length: Length
    """What is really in it; a pickup is shorter than its time signature."""
    time: TimeSignature
    offset: Length = ZERO
    """What it lacks at its start, so that beats are counted as a player counts them."""

    @classmethod
    def of(cls, bar: Bar, start: Fraction) -> GridBar:
        """A bar of music that begins at ``start``."""
        return cls(start, bar.length, bar.time, bar.offset)

    @property
    def end(self) -> Fraction:
        """Where the next bar begins."""
        return self.start + self.length.quarters

    def beats(self) -> Iterator[tuple[int, Fraction]]:
        """The beats of the time signature that fall into the bar: number from 1, and place."""
        step, missing = self.time.beat.quarters, self.offset.quarters
        number = -(-missing // step)  # beats gone by before a pickup, rounded up
        while step * number < missing + self.length.quarters:
            yield number + 1, self.start + step * number - missing
            number += 1
