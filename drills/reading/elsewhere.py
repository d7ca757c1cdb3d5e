"""How long a bar is in the other parts of a score; worked out only when asked."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from lxml import etree

from drills.reading.clocks import NONE
from drills.reading.clusters import ends
from drills.reading.guard import ScoreTree
from drills.reading.timing import ONE, BarClock
from drills.reading.xmltext import as_decimal, text_of


class BarEnds:
    """Where the last note of a bar ends in each part; every answer is kept."""

    def __init__(self, tree: ScoreTree) -> None:
        self._tree = tree
        self._parts = tree.root.findall("part")
        self._divisions: dict[int, _Divisions] = {}
        self._known: dict[int, list[Fraction]] = {}
        """By bar: the ends in the first parts, as far as they were asked for."""

    def elsewhere(self, part: int, bar: int, enough: Fraction) -> Fraction:
        """Where the last note of a bar ends in any part but ``part``; 0 where there is none.

        The first part that reaches ``enough`` ends the search.
        """
        known = self._known.setdefault(bar, [])
        if len(known) == len(self._parts) and not any(known):
            return NONE
        latest = NONE
        for index in range(len(self._parts)):
            if index == len(known):
                known.append(self._end(index, bar))
            if index != part:
                latest = max(latest, known[index])
            if latest >= enough:
                break
        return latest

    def _end(self, part: int, bar: int) -> Fraction:
        measure = self._tree.bar_with_notes(part, bar)
        if measure is None:
            return NONE
        if part not in self._divisions:
            self._divisions[part] = _Divisions(self._parts[part])
        clock = BarClock(self._tree.where, self._divisions[part].before(bar))
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

    def before(self, bar: int) -> Fraction | None:
        """The divisions when that bar begins; None where nothing has told them yet."""
        place = bisect_right(self._bars, bar - 1)
        return self._values[place - 1] if place else None
