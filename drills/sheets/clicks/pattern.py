"""What a click pattern is, and what all of them need to know of bars."""

# ruff: noqa: ARG002 - a pattern answers every question, whether or not it needs all that is told

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from drills.music.grid import GridBar
from drills.music.time import ZERO, Length, TimeSignature


@dataclass(frozen=True, slots=True)
class Place:
    """Where a bar stands in the row of bars that a pattern runs through."""

    origin: Fraction
    """Quarters: where the first downbeat of the row is, from which note values are counted."""
    number: int
    """Bars with a downbeat before this one; a pickup is counted with the bar after it, the
    second half of a split bar with the first."""


class Pattern:
    """What a metronome sounds.  The methods here are those of a pattern that is silent."""

    __slots__ = ()

    @property
    def divides_beats(self) -> bool:
        """True where clicks between the beats are parts of a beat, and so are softer."""
        return False

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        """Where the clicks of a bar fall, in quarters on the bar's own line, ascending."""
        return iter(())

    def spacing(self, time: TimeSignature) -> Length | None:
        """The length from every click to the next; None where there is not one length."""
        return None

    def words(self, time: TimeSignature) -> str:
        """What follows the word "clicks": "on beat 4 only", "every three sixteenths"."""
        return "none"

    def problem(self, bars: Sequence[GridBar]) -> str | None:
        """What is wrong with the pattern over these bars, and what to do; None if nothing is."""
        return None

    def at_rung(self, rung: int, time: TimeSignature) -> Pattern:
        """What the pattern is at a rung (from 0) of a ladder; most stay as they are."""
        return self


def group_starts(time: TimeSignature) -> tuple[int, ...]:
    """The beats (from 1) on which the groups of a full bar begin."""
    starts, at = [], 1
    for size in time.groups:
        starts.append(at)
        at += size
    return tuple(starts)


def first_downbeat(bars: Sequence[GridBar]) -> Fraction:
    """Where note values are counted from: the first downbeat, else the start of the bars."""
    found = (bar.start for bar in bars if not bar.offset)
    return next(found, bars[0].start if bars else ZERO.quarters)


def comes_round(pattern: Pattern, time: TimeSignature) -> int:
    """Bars after which an evenly spaced pattern meets the downbeat again: 3 for every
    three sixteenths in 4/4.  Raises ValueError for one that is not even.
    """
    apart = pattern.spacing(time)
    if apart is None:
        raise ValueError(f"{pattern} is not evenly spaced")
    return (apart / time.bar_length).numerator


def inside_bar(bar: GridBar, from_bar_line: Iterator[Fraction]) -> Iterator[Fraction]:
    """Places counted from where a full bar would begin, as far as they are in the bar."""
    missing = bar.offset.quarters
    for place in from_bar_line:
        if missing <= place < missing + bar.length.quarters:
            yield bar.start + place - missing
