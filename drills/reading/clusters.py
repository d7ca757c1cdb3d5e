"""The notes and rests of one staff, bar by bar: what stands in the file, sorted.

A cluster is what a player reads as one sign: a note, a chord, a rest, or a
grace note.  Every cluster keeps a key, its place in the part, by which the facts
that are found out elsewhere (sounds, ties, slurs, tuplets) join it again.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from drills.errors import ReadError
from drills.reading.clocks import NONE
from drills.reading.limits import Limits
from drills.reading.timing import BarClock, Fields, NoteTime, Placed, Walk
from drills.reading.xmltext import as_int, text_of


@dataclass(frozen=True, slots=True)
class Head:
    """One ``<note>`` element with a pitch or a drum."""

    element: etree._Element
    fields: Fields

    @property
    def hidden(self) -> bool:
        """True where the head is not printed."""
        return self.element.get("print-object") == "no"

    @property
    def unpitched(self) -> bool:
        """True for a drum."""
        return "unpitched" in self.fields


@dataclass(slots=True)
class Cluster:
    """Heads that begin together and are one sign, or a rest (no heads)."""

    key: int
    """Its place among the clusters of the part."""
    element: etree._Element
    """The first ``<note>``, which carries what belongs to the whole."""
    fields: Fields
    """Its children."""
    start: Fraction
    time: NoteTime
    voice: str
    heads: list[Head] = field(default_factory=list)

    @property
    def grace(self) -> bool:
        """True for a grace note, and for a note with a value for which its bar has no time."""
        return "grace" in self.fields or (
            bool(self.heads) and self.time.length == 0 and self.time.value is not None
        )

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
        return stands_for_bar(self.fields)

    @property
    def is_printed(self) -> bool:
        """False for a cue, and for a note of which no head is printed."""
        return "cue" not in self.fields and not all(head.hidden for head in self.heads)

    @property
    def printed_heads(self) -> list[Head]:
        """The heads that are printed; all of them where none is."""
        return [head for head in self.heads if not head.hidden] or self.heads


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
    moved_end: Fraction
    """The latest end of anything, ``<forward>`` included: room that is left without a rest."""
    crosses: bool
    """A voice of this staff goes on on another one."""


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
        self._next_key = 0
        self._voice = "1"

    def bar(self, index: int, measure: etree._Element, clock: BarClock) -> RawBar:
        clusters: list[Cluster] = []
        others: list[Placed] = []
        staves: dict[str, set[int]] = {}
        base: Cluster | None = None
        walk = clock.walk(measure)
        self._check_length(walk, measure, told=clock.told)
        for placed in walk.placed:
            fields = placed.fields
            if placed.time is None:
                others.append(placed)
                continue
            if "chord" not in fields:
                self._voice = voice_of(fields)
                base = None
            staff = staff_of(fields)
            staves.setdefault(self._voice, set()).add(staff)
            if staff == self._staff:
                base = self._add(placed, placed.time, clusters, base)
        crosses = any(self._staff in where and len(where) > 1 for where in staves.values())
        end, rest_end = ends(walk)
        return RawBar(
            index, measure, tuple(clusters), tuple(others), end, rest_end, walk.end, crosses
        )

    def _check_length(self, walk: Walk, measure: etree._Element, *, told: bool) -> None:
        if walk.end > self._limits.bar_quarters:
            where = f"{self._where}, bar {measure.get('number')}"
            if not told:
                raise ReadError(
                    f"{where}: the part does not say how many divisions a quarter has, and its "
                    "notes have no types to tell; export the score again"
                )
            self._limits.check("bar_quarters", float(walk.end), where)

    def _add(
        self, placed: Placed, time: NoteTime, clusters: list[Cluster], base: Cluster | None
    ) -> Cluster:
        fields = placed.fields
        if base is None:
            base = Cluster(self._next_key, placed.element, fields, placed.start, time, self._voice)
            self._next_key += 1
            clusters.append(base)
        if "pitch" in fields or "unpitched" in fields:
            base.heads.append(Head(placed.element, fields))
        return base


def voice_of(fields: Fields) -> str:
    """The voice of a note that is no further member of a chord."""
    return text_of(fields.get("voice")) or "1"


def staff_of(fields: Fields) -> int:
    """The staff, from 1, of a note."""
    staff = fields.get("staff")
    return 1 if staff is None else as_int(staff.text) or 1


def stands_for_bar(fields: Fields) -> bool:
    """True for a rest that says that it stands for the whole bar."""
    rest = fields.get("rest")
    return rest is not None and rest.get("measure") == "yes"


def ends(walk: Walk) -> tuple[Fraction, Fraction]:
    """Where the latest note of a bar ends, and where the latest rest for the whole bar ends.

    A whole rest that is alone in its voice stands for the bar, whatever its length.
    """
    notes = [placed for placed in walk.placed if placed.time is not None]
    rests = [placed for placed in notes if "rest" in placed.fields]
    if not rests:
        return walk.notes_end, NONE
    crowd = Counter((voice_of(note.fields), staff_of(note.fields)) for note in notes)
    for_bar = {
        id(rest)
        for rest in rests
        if stands_for_bar(rest.fields)
        or (
            text_of(rest.fields.get("type")) == "whole"
            and crowd[voice_of(rest.fields), staff_of(rest.fields)] == 1
        )
    }
    end, rest_end = NONE, NONE
    for note in notes:
        at = note.start + (note.time.length if note.time is not None else NONE)
        if id(note) in for_bar:
            rest_end = max(rest_end, at)
        else:
            end = max(end, at)
    return end, rest_end
