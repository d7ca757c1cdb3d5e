"""What is in force in each bar: time, key, clef, transposition, octave lines."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import Final

from lxml import etree

from drills.music.pitch import NO_KEY, KeySignature, Transposition
from drills.music.score import TREBLE, Clef
from drills.music.time import COMMON_TIME, Position, TimeSignature
from drills.reading.attributes import (
    for_staff,
    read_clef,
    read_key,
    read_time,
    read_transposition,
)
from drills.reading.clocks import NONE
from drills.reading.clusters import RawBar
from drills.reading.directions import staff_of_direction
from drills.reading.forpart import read_for_part
from drills.reading.xmltext import as_int

_OCTAVES: Final = {8: 1, 15: 2, 22: 3}


@dataclass(frozen=True, slots=True)
class InForce:
    """The signs that govern one bar of one staff."""

    time: TimeSignature
    key: KeySignature
    clef: Clef
    transposition: Transposition | None
    """None where the file gives none."""
    time_shown: bool = True
    clef_changes: tuple[tuple[Position, Clef], ...] = ()
    key_changes: tuple[tuple[Position, KeySignature], ...] = ()
    player: Transposition | None = None
    """The transposition of a part to be made from this concert score; see forpart.py."""
    player_clef: Clef | None = None
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
        self._now = InForce(COMMON_TIME, NO_KEY, TREBLE, None)
        self._clefs: list[tuple[Position, Clef]] = []
        self._keys: list[tuple[Position, KeySignature]] = []

    def bar(self, raw: RawBar) -> InForce:
        end = max(raw.end, raw.rest_end)
        found = [placed for placed in raw.others if placed.element.tag == "attributes"]
        for placed in found:
            if placed.start == NONE:
                self._set(placed.element)
        self._clefs, self._keys = [], []
        begun = self._now
        for placed in found:
            if NONE < placed.start < end:
                self._change(placed.element, Position(placed.start))
        result = replace(begun, clef_changes=tuple(self._clefs), key_changes=tuple(self._keys))
        for placed in found:
            if placed.start >= end and placed.start > NONE:
                self._set(placed.element)
        return result

    def _change(self, attributes: etree._Element, at: Position) -> None:
        """Signs inside a bar: clef and key change there, the rest with the next bar."""
        before = self._now
        self._set(attributes)
        if self._now.clef != before.clef:
            self._clefs.append((at, self._now.clef))
        if self._now.key != before.key:
            self._keys.append((at, self._now.key))

    def _set(self, attributes: etree._Element) -> None:
        now = self._now
        if (sign := for_staff(attributes, "time", self._staff)) is not None:
            free = sign.find("senza-misura") is not None
            now = replace(
                now,
                time=read_time(sign) or now.time,
                free=free,
                time_shown=sign.get("print-object") != "no" and not free,
            )
        if (sign := for_staff(attributes, "key", self._staff)) is not None:
            now = replace(now, key=read_key(sign) or now.key)
        if (sign := for_staff(attributes, "clef", self._staff)) is not None:
            now = replace(now, clef=read_clef(sign))
        if (sign := for_staff(attributes, "transpose", self._staff)) is not None:
            now = replace(now, transposition=read_transposition(sign))
        if (sign := for_staff(attributes, "for-part", self._staff)) is not None:
            player, clef = read_for_part(sign)
            now = replace(now, player=player or now.player, player_clef=clef or now.player_clef)
        self._now = now


class OctaveLines:
    """How many octaves the notes of a staff are printed nearer to it, by place in the part."""

    def __init__(self, lines: Iterable[tuple[Fraction, Fraction, int]]) -> None:
        """``lines``: start, end and octaves of each line (1 for 8va, -1 for 8vb)."""
        changes: dict[Fraction, int] = {}
        for start, end, octaves in lines:
            changes[start] = changes.get(start, 0) + octaves
            changes[end] = changes.get(end, 0) - octaves
        self._places = sorted(changes)
        self._octaves = list(accumulate(changes[place] for place in self._places))

    def __bool__(self) -> bool:
        return bool(self._places)

    def at(self, place: Fraction) -> int:
        """The octaves in force at a place, counted from the start of the part."""
        before = bisect_right(self._places, place)
        return self._octaves[before - 1] if before else 0


def octave_lines(bars: Sequence[RawBar], bar_starts: Sequence[Fraction], staff: int) -> OctaveLines:
    """The octave lines over a staff; one that is never stopped is left out."""
    open_lines: dict[str, tuple[Fraction, int]] = {}
    found: list[tuple[Fraction, Fraction, int]] = []
    for at, sign in _shifts(bars, bar_starts, staff):
        number = sign.get("number") or "1"
        kind = sign.get("type")
        if kind in {"up", "down"}:
            octaves = _OCTAVES.get(as_int(sign.get("size")) or 8, 1)
            open_lines[number] = (at, octaves if kind == "down" else -octaves)
        elif kind == "stop" and number in open_lines:
            start, octaves = open_lines.pop(number)
            found.append((start, at, octaves))
    return OctaveLines(found)


def _shifts(
    bars: Sequence[RawBar], bar_starts: Sequence[Fraction], staff: int
) -> Iterator[tuple[Fraction, etree._Element]]:
    for raw, bar_start in zip(bars, bar_starts, strict=True):
        for placed in raw.others:
            if placed.element.tag != "direction":
                continue
            own = staff_of_direction(placed.element)
            for sign in placed.element.iterfind("direction-type/octave-shift"):
                if own == staff:
                    yield bar_start + placed.start, sign
