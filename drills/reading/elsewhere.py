"""How long a bar is in the other parts of a score; worked out only when asked."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from lxml import etree

from drills.reading.clusters import ends
from drills.reading.guard import ScoreTree
from drills.reading.timing import NONE, ONE, BarClock
from drills.reading.xmltext import as_decimal, text_of


class OtherParts:
    """The parts of a score except one."""

    def __init__(self, tree: ScoreTree, but: int) -> None:
        self._tree = tree
        self._parts = [
            (index, part) for index, part in enumerate(tree.root.iterfind("part")) if index != but
        ]
        self._divisions: dict[int, _Divisions] = {}

    def latest_end(self, bar: int, enough: Fraction) -> Fraction:
        """Where the last note of that bar ends in any of them; 0 where there is none.

        The first part that reaches ``enough`` ends the search.
        """
        latest = NONE
        for index, part in self._parts:
            latest = max(latest, self._end(index, part, bar))
            if latest >= enough:
                break
        return latest

    def _end(self, index: int, part: etree._Element, bar: int) -> Fraction:
        measure = self._tree.measure(index, bar)
        if measure is None:
            return NONE
        if index not in self._divisions:
            self._divisions[index] = _Divisions(part)
        clock = BarClock(self._tree.where, self._divisions[index].before(bar))
        return ends(clock.walk(measure))[0]


class _Divisions:
    """The divisions that are in force at the start of each bar of a part."""

    def __init__(self, part: etree._Element) -> None:
        self._bars: list[int] = []
        self._values: list[Fraction] = []
        for index, measure in enumerate(part.iterfind("measure")):
            for found in measure.iterfind("attributes/divisions"):
                self._bars.append(index)
                self._values.append(as_decimal(text_of(found)) or ONE)

    def before(self, bar: int) -> Fraction:
        """The divisions when that bar begins."""
        place = bisect_right(self._bars, bar - 1)
        return self._values[place - 1] if place else ONE
