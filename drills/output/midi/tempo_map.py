"""Exact seconds -> ticks, and the tempos that make a reader find the seconds again.

Problem: a MIDI file keeps a tempo in whole microseconds a quarter, so a tempo of 63 is off
by up to half a microsecond with every quarter, which over an hour is many ticks.  Method: the
time that a reader will reckon is followed exactly, piece by piece of PIECE quarters, and
a piece gets the whole number on the other side of the exact one as soon as the two
clocks are a quarter of a tick apart.  Every tick is the one nearest to an event's own time.

A time is at most a tick away from the exact one: half a tick of rounding, and less than a
half for the clocks.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor
from typing import Final

from drills.errors import UsageError
from drills.output.midi.messages import LONGEST_QUARTER
from drills.sound.practice.events import TempoStep

PIECE: Final = 8
"""Quarters after which the tempo may change by a microsecond."""
_MICRO: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class TempoMap:
    """The tempos of a practice on a grid of ticks."""

    steps: tuple[TempoStep, ...]
    ticks: int
    """Of a quarter."""

    @classmethod
    def of(cls, steps: Sequence[TempoStep], ticks: int) -> TempoMap:
        """Raises ValueError for steps that do not follow from each other.

        Raises UsageError for a tempo that the format cannot hold.
        """
        if not steps or steps[0].at != 0 or steps[0].quarters != 0:
            raise ValueError("the tempo at the start is missing")
        for one, after in pairwise(steps):
            if after.quarters < one.quarters or _seconds(one, after.quarters) != after.at:
                raise ValueError(f"the tempo at {after.at} s does not follow from the one before")
        for step in steps:
            if not 1 <= floor(step.seconds_per_quarter * _MICRO) < LONGEST_QUARTER:
                raise UsageError(
                    f"a MIDI file cannot hold {float(60 / step.seconds_per_quarter):g} quarters "
                    "a minute; choose a tempo of at least 4"
                )
        return cls(tuple(steps), ticks)

    def quarters(self, seconds: Fraction, step: TempoStep) -> Fraction:
        """The place of a time at which ``step`` holds."""
        return step.quarters + (seconds - step.at) / step.seconds_per_quarter

    def tick(self, quarters: Fraction) -> int:
        """The tick nearest to a place."""
        return floor(quarters * self.ticks + Fraction(1, 2))

    def tempos(self, end: Fraction) -> Iterator[tuple[int, int]]:
        """Tick and microseconds of every tempo of the file, up to ``end`` quarters."""
        current = 0
        ahead = Fraction(0)  # microseconds by which a reader's clock is late
        for step, last in zip(self.steps, self._lasts(end), strict=True):
            exact = step.seconds_per_quarter * _MICRO
            wanted = floor(exact + Fraction(1, 2))
            for begin, until in pairwise(self._pieces(step.quarters, last)):
                quarters = Fraction(until - begin, self.ticks)
                if abs(ahead + (wanted - exact) * quarters) > exact / self.ticks / 4:
                    wanted = floor(exact) if ahead > 0 else ceil(exact)
                if wanted != current:
                    current = wanted
                    yield begin, current
                # the step's own place need not be a tick: so both clocks run from tick to tick
                ahead += current * quarters - _MICRO * self._between(begin, until)

    def _lasts(self, end: Fraction) -> list[Fraction]:
        """Where each step ends, in quarters."""
        ends = [step.quarters for step in self.steps[1:]]
        return [*ends, max(end, self.steps[-1].quarters)]

    def _pieces(self, first: Fraction, last: Fraction) -> list[int]:
        """Ticks from a step's begin to its end, PIECE quarters apart."""
        begin, until = self.tick(first), self.tick(last)
        return [*range(begin, until, PIECE * self.ticks), until] if until > begin else []

    def _between(self, begin: int, until: int) -> Fraction:
        """Exact seconds from tick to tick."""
        return self._at(until) - self._at(begin)

    def _at(self, tick: int) -> Fraction:
        """Exact seconds of a tick."""
        quarters = Fraction(tick, self.ticks)
        place = bisect_right(self.steps, quarters, key=lambda step: step.quarters)
        return _seconds(self.steps[max(0, place - 1)], quarters)


def _seconds(step: TempoStep, quarters: Fraction) -> Fraction:
    return step.at + (quarters - step.quarters) * step.seconds_per_quarter
