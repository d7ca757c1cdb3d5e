"""The notes and rests of one staff, bar by bar: what stands in the file, sorted.

A cluster is what a player reads as one sign: a note, a chord, a rest, or a
grace note.  Every head keeps a key, its place in the part, by which the facts
that the note reader finds out join the facts that stand here.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from drills.reading.limits import Limits
from drills.reading.timing import NONE, BarClock, NoteTime, Placed, Walk
from drills.reading.xmltext import as_int, child_text


@dataclass(frozen=True, slots=True)
class Head:
    """One ``<note>`` element with a pitch or a drum."""

    key: int
    element: etree._Element

    @property
    def hidden(self) -> bool:
        """True where the head is not printed."""
        return self.element.get("print-object") == "no"

    @property
    def unpitched(self) -> bool:
        """True for a drum."""
        return self.element.find("unpitched") is not None


@dataclass(slots=True)
class Cluster:
    """Heads that begin together and are one sign, or a rest (no heads)."""

    key: int
    """Its place among the clusters of the part."""
    element: etree._Element
    """The first ``<note>``, which carries what belongs to the whole."""
    start: Fraction
    time: NoteTime
    voice: str
    heads: list[Head] = field(default_factory=list)
    grace: bool = False

    @property
    def is_rest(self) -> bool:
        """True for a rest."""
        return not self.heads

    @property
    def end(self) -> Fraction:
        """Where it ends."""
        return self.start + self.time.length

    @property
    def is_bar_rest(self) -> bool:
        """True for a rest that says it stands for the whole bar."""
        return stands_for_bar(self.element)


@dataclass(frozen=True, slots=True)
class RawBar:
    """One ``<measure>`` with the exact place of everything in it."""

    index: int
    measure: etree._Element
    clusters: tuple[Cluster, ...]
    """Those of the staff, in the file's order."""
    others: tuple[Placed, ...]
    """Attributes, directions, harmonies, bar lines ... of all staves."""
    end: Fraction
    """The latest end of anything in the bar, on any staff, whole-bar rests left out."""
    rest_end: Fraction
    """The latest end of a whole-bar rest."""
    crosses: bool
    """A voice of this staff goes on on another one."""
    moved_end: Fraction
    """The same with ``<forward>`` counted: room that the file leaves without a rest."""


def raw_bars(part: etree._Element, staff: int, limits: Limits, where: str) -> tuple[RawBar, ...]:
    """Walk through a part and keep what belongs to ``staff``.

    Raises ReadError for durations that make no sense, LimitError for an endless bar.
    """
    clock = BarClock(where)
    collector = _Collector(staff, limits, where)
    return tuple(
        collector.bar(index, measure, clock)
        for index, measure in enumerate(part.iterfind("measure"))
    )


class _Collector:
    """Groups the notes of successive bars into clusters."""

    def __init__(self, staff: int, limits: Limits, where: str) -> None:
        self._staff = staff
        self._limits = limits
        self._where = where
        self._next_head = 0
        self._next_cluster = 0
        self._voice = "1"

    def bar(self, index: int, measure: etree._Element, clock: BarClock) -> RawBar:
        clusters: list[Cluster] = []
        others: list[Placed] = []
        staves: dict[str, set[int]] = {}
        base: Cluster | None = None
        walk = clock.walk(measure)
        self._check_length(walk, measure)
        for placed in walk.placed:
            element, time = placed.element, placed.time
            if time is None:
                others.append(placed)
                continue
            if element.find("chord") is None:
                self._voice = voice_of(element)
                base = None
            staff = staff_of(element)
            staves.setdefault(self._voice, set()).add(staff)
            if staff == self._staff:
                base = self._add(placed, time, clusters, base)
        crosses = any(self._staff in where and len(where) > 1 for where in staves.values())
        end, rest_end = ends(walk)
        return RawBar(
            index, measure, tuple(clusters), tuple(others), end, rest_end, crosses, walk.end
        )

    def _check_length(self, walk: Walk, measure: etree._Element) -> None:
        if walk.end > self._limits.bar_quarters:
            where = f"{self._where}, bar {measure.get('number')}"
            self._limits.check("bar_quarters", float(walk.end), where)

    def _add(
        self, placed: Placed, time: NoteTime, clusters: list[Cluster], base: Cluster | None
    ) -> Cluster:
        element = placed.element
        if base is None:
            grace = element.find("grace") is not None
            base = Cluster(
                self._next_cluster, element, placed.start, time, self._voice, grace=grace
            )
            self._next_cluster += 1
            clusters.append(base)
        if element.find("pitch") is not None or element.find("unpitched") is not None:
            base.heads.append(Head(self._next_head, element))
            self._next_head += 1
        return base


def voice_of(note: etree._Element) -> str:
    """The voice of a note that is no further member of a chord."""
    return child_text(note, "voice") or "1"


def staff_of(element: etree._Element) -> int:
    """The staff, from 1, of a note or direction."""
    return as_int(element.findtext("staff")) or 1


def stands_for_bar(note: etree._Element) -> bool:
    """True for a rest that says that it stands for the whole bar."""
    rest = note.find("rest")
    return rest is not None and rest.get("measure") == "yes"


def ends(walk: Walk) -> tuple[Fraction, Fraction]:
    """Where the latest note of a bar ends, and where the latest rest for the whole bar ends.

    A whole rest that is alone in its voice stands for the bar, whatever its length.
    """
    notes = [
        (placed.element, placed.start + placed.time.length)
        for placed in walk.placed
        if placed.time is not None
    ]
    crowd = Counter((voice_of(note), staff_of(note)) for note, _ in notes)
    end, rest_end = NONE, NONE
    for note, at in notes:
        alone = _is_whole_rest(note) and crowd[voice_of(note), staff_of(note)] == 1
        if alone or stands_for_bar(note):
            rest_end = max(rest_end, at)
        else:
            end = max(end, at)
    return end, rest_end


def _is_whole_rest(note: etree._Element) -> bool:
    return note.find("rest") is not None and child_text(note, "type") == "whole"
