"""What is in force in each bar: time, key, clef, transposition, octave lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.music.pitch import CONCERT, NO_KEY, KeySignature, Transposition
from drills.music.score import TREBLE, Clef
from drills.music.time import COMMON_TIME, Position, TimeSignature
from drills.reading.attributes import (
    for_staff,
    read_clef,
    read_key,
    read_time,
    read_transposition,
)
from drills.reading.clusters import RawBar
from drills.reading.timing import NONE
from drills.reading.xmltext import as_int

_OCTAVES: Final = {8: 1, 15: 2, 22: 3}


@dataclass(frozen=True, slots=True)
class InForce:
    """The signs that govern one bar of one staff."""

    time: TimeSignature
    key: KeySignature
    clef: Clef
    transposition: Transposition
    time_shown: bool = True
    clef_changes: tuple[tuple[Position, Clef], ...] = ()
    key_changes: tuple[tuple[Position, KeySignature], ...] = ()
    free: bool = False
    """Music without a time signature (senza misura)."""


def in_force(bars: Sequence[RawBar], staff: int) -> tuple[InForce, ...]:
    """What governs each bar; a sign at the very end of a bar governs the next one."""
    state = _State(staff)
    return tuple(state.bar(raw) for raw in bars)


class _State:
    """The signs as they stand while walking through a staff."""

    def __init__(self, staff: int) -> None:
        self._staff = staff
        self._time = COMMON_TIME
        self._key = NO_KEY
        self._clef = TREBLE
        self._transposition = CONCERT
        self._shown = True
        self._free = False
        self._clefs: list[tuple[Position, Clef]] = []
        self._keys: list[tuple[Position, KeySignature]] = []

    def bar(self, raw: RawBar) -> InForce:
        self._clefs, self._keys = [], []
        late: list[etree._Element] = []
        for placed in raw.others:
            if placed.element.tag != "attributes":
                continue
            if placed.start == NONE:
                self._start(placed.element)
            elif placed.start >= max(raw.end, raw.rest_end):
                late.append(placed.element)
            else:
                self._change(placed.element, Position(placed.start))
        clef, key = self._clef, self._key
        result = InForce(
            self._time,
            key,
            clef,
            self._transposition,
            self._shown,
            tuple(self._clefs),
            tuple(self._keys),
            self._free,
        )
        if self._clefs:
            self._clef = self._clefs[-1][1]
        if self._keys:
            self._key = self._keys[-1][1]
        for attributes in late:
            self._start(attributes)
        return result

    def _start(self, attributes: etree._Element) -> None:
        self._set_time(attributes)
        found = for_staff(attributes, "key", self._staff)
        if found is not None:
            self._key = read_key(found) or self._key
        found = for_staff(attributes, "clef", self._staff)
        if found is not None:
            self._clef = read_clef(found)
        found = for_staff(attributes, "transpose", self._staff)
        if found is not None:
            self._transposition = read_transposition(found)

    def _change(self, attributes: etree._Element, at: Position) -> None:
        self._set_time(attributes)
        found = for_staff(attributes, "key", self._staff)
        if found is not None and (key := read_key(found)) is not None:
            self._keys.append((at, key))
        found = for_staff(attributes, "clef", self._staff)
        if found is not None:
            self._clefs.append((at, read_clef(found)))
        found = for_staff(attributes, "transpose", self._staff)
        if found is not None:
            self._transposition = read_transposition(found)

    def _set_time(self, attributes: etree._Element) -> None:
        found = for_staff(attributes, "time", self._staff)
        if found is None:
            return
        self._free = found.find("senza-misura") is not None
        self._time = read_time(found) or self._time
        self._shown = found.get("print-object") != "no" and not self._free


@dataclass(frozen=True, slots=True)
class OctaveLine:
    """A stretch under an octave sign, from the start of the part."""

    start: Fraction
    end: Fraction
    octaves: int
    """1 for 8va, -1 for 8vb."""


def octave_lines(
    bars: Sequence[RawBar], bar_starts: Sequence[Fraction], staff: int
) -> tuple[OctaveLine, ...]:
    """The octave lines over a staff; one that is never stopped is left out."""
    open_lines: dict[str, tuple[Fraction, int]] = {}
    found: list[OctaveLine] = []
    for at, sign in _shifts(bars, bar_starts, staff):
        number = sign.get("number") or "1"
        kind = sign.get("type")
        if kind in {"up", "down"}:
            octaves = _OCTAVES.get(as_int(sign.get("size")) or 8, 1)
            open_lines[number] = (at, octaves if kind == "down" else -octaves)
        elif kind == "stop" and number in open_lines:
            start, octaves = open_lines.pop(number)
            found.append(OctaveLine(start, at, octaves))
    return tuple(found)


def _shifts(
    bars: Sequence[RawBar], bar_starts: Sequence[Fraction], staff: int
) -> Iterator[tuple[Fraction, etree._Element]]:
    for raw, bar_start in zip(bars, bar_starts, strict=True):
        for placed in raw.others:
            if placed.element.tag != "direction":
                continue
            own = as_int(placed.element.findtext("staff")) or 1
            for sign in placed.element.iterfind("direction-type/octave-shift"):
                if own == staff:
                    yield bar_start + placed.start, sign
