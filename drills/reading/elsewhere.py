"""How long a bar is in the other parts of a score; worked out only when asked."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from lxml import etree

from drills.reading.clusters import stands_for_bar
from drills.reading.timing import NONE, ONE, BarClock
from drills.reading.xmltext import as_decimal, text_of


class OtherParts:
    """The parts of a score except one."""

    def __init__(self, root: etree._Element, part: etree._Element, where: str) -> None:
        self._parts = [_Bars(other, where) for other in root.iterfind("part") if other is not part]

    def latest_end(self, index: int) -> Fraction:
        """Where the last note of that bar ends in any of them; 0 where there is none."""
        return max((part.end(index) for part in self._parts), default=NONE)


class _Bars:
    """The bars of one part with the divisions that are in force in each."""

    def __init__(self, part: etree._Element, where: str) -> None:
        self._where = where
        self._measures: list[etree._Element] | None = None
        self._part = part
        self._changes: list[int] = []
        self._divisions: list[Fraction] = []

    def end(self, index: int) -> Fraction:
        if self._measures is None:
            self._measures = self._part.findall("measure")
            self._find_divisions(self._measures)
        if index >= len(self._measures):
            return NONE
        clock = BarClock(self._where)
        before = bisect_right(self._changes, index - 1)
        clock.divisions = self._divisions[before - 1] if before else ONE
        end = NONE
        for placed in clock.walk(self._measures[index]):
            if placed.time is not None and not stands_for_bar(placed.element):
                end = max(end, placed.start + placed.time.length)
        return end

    def _find_divisions(self, measures: list[etree._Element]) -> None:
        for index, measure in enumerate(measures):
            for found in measure.iterfind("attributes/divisions"):
                self._changes.append(index)
                self._divisions.append(as_decimal(text_of(found)) or ONE)
