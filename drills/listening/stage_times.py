"""When each time through of a practice begins, where its marks tell the rungs only.

Problem.  A mark says from when on which tempo holds, not how many bars are counted in, how
often it is played and how many bars of rest lie between.  Method.  A rung is a count-in, a
number of times through, each with its rest, and a silence: whole bars, the same on every rung.
Of all ways that fill the rungs to a beat, the one is taken under which most notes that were
heard lie where they are due, and of equal ones the most usual.

Conventions.  Seconds of the practice sound.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

from drills.listening.rung import Rung

COUNTED: Final = range(5)
"""Bars that may be counted in, ..."""
RESTING: Final = range(5)
"""... rest after each time through ..."""
SILENT: Final = range(5)
"""... and be silent at the end of a rung."""
USUAL: Final = (1, 0, 1)
MOST: Final = 1000
"""Times through."""
NEAR: Final = 0.12
"""Seconds that a note may lie beside its place."""
FADED: Final = 1.2
"""Seconds that a sound may ring out after its last rung."""


@dataclass(frozen=True, slots=True)
class _Way:
    """How all rungs are filled: bars."""

    counted: int
    rest: int
    silent: int

    def times(self, rung: Rung, bar: float, length: float, *, last: bool) -> tuple[float, ...]:
        """When each time through begins; empty where the rung is not filled like this."""
        pace = 60 / rung.tempo
        whole = (rung.end - rung.start) / pace
        again = length + self.rest * bar
        often = (whole - (self.counted + self.silent * (not last)) * bar) / again
        count = int(often + 1e-6) if last else round(often)
        left = (often - count) * again * pace
        if not 1 <= count <= MOST or left > (FADED if last else NEAR) or left < -NEAR:
            return ()
        begin = rung.start + self.counted * bar * pace
        return tuple(begin + n * again * pace for n in range(count))

    @property
    def odd(self) -> int:
        """How far from what is usual."""
        own = (self.counted, self.rest, self.silent)
        return sum(abs(one - usual) for one, usual in zip(own, USUAL, strict=True))


def times_of(
    rungs: Sequence[Rung], bars: Sequence[tuple[float, float]], heard: Sequence[Sequence[float]]
) -> tuple[Rung, ...]:
    """The rungs with their times through.

    ``bars``: for each rung the quarters of a bar of its count-in and of one time through;
    ``heard``: for each rung where the notes that were heard say that a time through began.
    Where no way fits, one bar is taken for the count-in, and what remains for times through.
    """
    ways = [_filled(_Way(*way), rungs, bars) for way in product(COUNTED, RESTING, SILENT)]
    found = [way for way in ways if way is not None]
    if not found:
        return tuple(_plain(rung, *own) for rung, own in zip(rungs, bars, strict=True))

    def good(way: tuple[_Way, tuple[Rung, ...]]) -> tuple[int, int]:
        return sum(_together(way[1], heard)), -way[0].odd

    return max(found, key=good)[1]


def _filled(
    way: _Way, rungs: Sequence[Rung], bars: Sequence[tuple[float, float]]
) -> tuple[_Way, tuple[Rung, ...]] | None:
    found = []
    for number, (rung, (bar, length)) in enumerate(zip(rungs, bars, strict=True), 1):
        times = way.times(rung, bar, length, last=number == len(rungs))
        if not times:
            return None
        found.append(replace(rung, times=times))
    return way, tuple(found)


def _together(rungs: Sequence[Rung], heard: Sequence[Sequence[float]]) -> Iterator[int]:
    """How many notes lie where they are due, less what a time through without any costs; of a
    rung of which nothing was heard nothing is said."""
    for rung, begun in ((one, own) for one, own in zip(rungs, heard, strict=True) if own):
        near = [min(rung.times, key=lambda time: abs(time - at)) for at in begun]
        good = [time for time, at in zip(near, begun, strict=True) if abs(time - at) < NEAR]
        yield len(good) - 2 * len(set(rung.times) - set(good))


def _plain(rung: Rung, bar: float, length: float) -> Rung:
    pace = 60 / rung.tempo
    count = max(int((rung.end - rung.start) / pace - bar + 0.1) // max(round(length), 1), 1)
    return replace(rung, times=tuple(rung.start + (bar + n * length) * pace for n in range(count)))
