"""How strong a place in a bar is: what harmonies and ornaments are judged by.

Levels (common practice): 0 the bar line, 1 where the groups of the time
signature meet (the middle of 4/4), 2 a beat, 3 half of a beat or a third of a
compound one, 4 anything finer.  Where no bars are given, or none covers a place,
it is judged as if bars of 4/4 stood there from 0 on.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate
from typing import Final

from drills.music.grid import GridBar
from drills.music.time import COMMON_TIME

BAR: Final = 0
MIDDLE: Final = 1
BEAT: Final = 2
PART_OF_BEAT: Final = 3
FINER: Final = 4


class Stress:
    """The strength of every place on a row of bars."""

    def __init__(self, bars: Sequence[GridBar]) -> None:
        self._bars = sorted(bars, key=lambda bar: bar.start)
        self._starts = [bar.start for bar in self._bars]
        self._known: dict[Fraction, int] = {}

    def bar_at(self, time: Fraction) -> GridBar:
        """The bar that covers a time; one of 4/4 where there is none."""
        index = bisect_right(self._starts, time) - 1
        if index >= 0 and time < self._bars[index].end:
            return self._bars[index]
        whole = COMMON_TIME.bar_length
        return GridBar(time // whole.quarters * whole.quarters, whole, COMMON_TIME)

    def beat_at(self, time: Fraction) -> Fraction:
        """The length of a beat there, in quarters."""
        return self.bar_at(time).time.beat.quarters

    def level(self, time: Fraction) -> int:
        """0 (bar line) to 4, weaker."""
        if time not in self._known:
            self._known[time] = _level(self.bar_at(time), time)
        return self._known[time]


def _level(bar: GridBar, time: Fraction) -> int:
    beat = bar.time.beat.quarters
    place = time - bar.start + bar.offset.quarters
    if place == 0:
        return BAR
    if place % beat == 0:
        return MIDDLE if place in (beat * edge for edge in accumulate(bar.time.groups)) else BEAT
    part = beat / (3 if bar.time.is_compound else 2)
    return PART_OF_BEAT if place % part == 0 else FINER
