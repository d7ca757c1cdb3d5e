"""Exactly when each note of a bar starts and how long it lasts.

Problem: ``<duration>`` counts whole divisions of a quarter, so that a triplet
comes out as 85/256 of a quarter and the error grows along the bar.
Method: the length of a note is computed from what is printed (type, dots,
time modification), with ``<duration>`` as check and fallback: a difference that
rounding to whole divisions explains is rounding, any other means that the
duration is right.  Outside tuplets a rounding is believed only where the bar
does not come out right by the durations.  clocks.py keeps both times.
Conventions: all times are Fractions of a quarter from the start of the bar.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.errors import ReadError
from drills.music.time import COMMON_TIME, NOTE_KINDS, Length, NoteValue, Tuplet
from drills.reading.attributes import read_time
from drills.reading.clocks import NONE, Clocks
from drills.reading.xmltext import as_decimal, as_int, bar_of, child_text, text_of

ONE: Final = Fraction(1)
_MOST_DOTS: Final = 3
_SMALL: Final = Fraction(1, 8)
"""A length that fits no note value may differ by this share from the printed one."""


@dataclass(frozen=True, slots=True)
class NoteTime:
    """How long a note lasts, and how that is written."""

    length: Fraction
    value: NoteValue | None
    """None where the file gives no note value and none fits the length."""
    ratio: Fraction = ONE
    """What the value is multiplied by; 1 outside tuplets."""
    contradicts: bool = False
    """The printed value does not last as long as the duration says."""
    by_duration: NoteTime | None = None
    """Where the value outside a tuplet was preferred to a rounded duration: the other reading."""


Fields = Mapping[str, etree._Element]
"""The children of a ``<note>`` by tag; of several with one tag, the last."""


@dataclass(frozen=True, slots=True)
class Placed:
    """One child of a ``<measure>`` and where it stands."""

    element: etree._Element
    start: Fraction
    time: NoteTime | None = None
    """For notes and rests, grace notes included (their length is 0)."""
    fields: Fields = field(default_factory=dict)
    """For notes and rests."""


@dataclass(frozen=True, slots=True)
class Walk:
    """One bar, walked through."""

    placed: tuple[Placed, ...]
    """Every child in the file's order, without ``<backup>`` and ``<forward>``."""
    end: Fraction
    """Where the latest of anything ends, ``<forward>`` included."""
    notes_end: Fraction
    """Where the latest note or rest ends."""


class BarClock:
    """Walks through the bars of one part in order, keeping divisions and time signature."""

    def __init__(self, where: str, divisions: Fraction | None = None) -> None:
        self.divisions = divisions or ONE
        self.told = divisions is not None
        """False until the part says how it counts, or its notes show it."""
        self._where = where
        self._full = COMMON_TIME.bar_length.quarters
        self._known: dict[tuple[str | int, ...], tuple[NoteTime, Fraction]] = {}
        """What was worked out for notes that are written alike under these divisions."""

    def skip(self, measure: etree._Element) -> None:
        """Keep up with a bar that is not needed."""
        for attributes in measure.iterfind("attributes"):
            self._attributes(attributes)

    def walk(self, measure: etree._Element) -> Walk:
        """Every child of the bar with its exact place.

        Raises ReadError for a duration that is no number or is negative.
        """
        if not self.told:
            self._infer(measure)
        divisions = self.divisions
        walk, rounded_end, doubtful = self._pass(measure, by_duration=False)
        if doubtful and walk.end != self._full and rounded_end == self._full:
            self._set_divisions(divisions)
            walk, _, _ = self._pass(measure, by_duration=True)
        return walk

    def _pass(self, measure: etree._Element, *, by_duration: bool) -> tuple[Walk, Fraction, bool]:
        """The bar, where it ends in the file's rounded time, and whether values were doubtful."""
        placed: list[Placed] = []
        clocks = Clocks()
        chord_start = NONE
        doubtful = False
        for child in measure:
            tag = child.tag
            if tag == "note":
                fields = {str(part.tag): part for part in child}
                time, duration = self._note(child, fields)
                if time.by_duration is not None:
                    doubtful = True
                    time = time.by_duration if by_duration else time
                if "chord" in fields:
                    placed.append(Placed(child, chord_start, time, fields))
                    continue
                chord_start = clocks.exact
                placed.append(Placed(child, chord_start, time, fields))
                if "grace" not in fields:
                    clocks.play(duration, time.length)
            elif tag in {"backup", "forward"}:
                duration = self._duration(child, child_text(child, "duration"))
                clocks.jump(duration if tag == "forward" else -duration)
            else:
                if tag == "attributes":
                    self._attributes(child)
                placed.append(Placed(child, clocks.exact))
        clocks.settle()
        walk = Walk(tuple(placed), clocks.latest, clocks.latest_note)
        return walk, clocks.latest_rounded, doubtful

    def _attributes(self, attributes: etree._Element) -> None:
        if (found := attributes.find("divisions")) is not None:
            self._set_divisions(as_decimal(text_of(found)) or ONE)
            self.told = True
        for sign in attributes.iterfind("time"):
            if (time := read_time(sign)) is not None:
                self._full = time.bar_length.quarters

    def _infer(self, measure: etree._Element) -> None:
        """Divisions that a file leaves out, from the first note that prints its value."""
        if measure.find("attributes/divisions") is not None:
            return
        for note in measure.iterfind("note"):
            fields = {str(part.tag): part for part in note}
            value, ratio = _printed_value(_printed(note, fields))
            duration = as_decimal(text_of(fields.get("duration")))
            if value is not None and duration and "grace" not in fields:
                self._set_divisions(duration / (value.length.quarters * ratio))
                self.told = True
                return

    def _set_divisions(self, divisions: Fraction) -> None:
        if divisions != self.divisions:
            self._known.clear()
        self.divisions = divisions

    def _note(self, note: etree._Element, fields: Fields) -> tuple[NoteTime, Fraction]:
        """The note's time, and its duration in the file's rounded time."""
        printed = _printed(note, fields)
        grace = "grace" in fields
        counted = "duration" in fields and not grace
        text = text_of(fields["duration"]) if counted else ""
        key = (*printed, grace, counted, text)
        known = self._known.get(key)
        if known is None:
            if counted:
                duration = self._duration(note, text)
                time = _time_of(printed, duration, self.divisions)
                known = (time if duration else _lasting_nothing(printed, time)), duration
            else:
                known = _printed_only(printed, grace=grace)
            self._known[key] = known
        return known

    def _duration(self, element: etree._Element, text: str) -> Fraction:
        value = as_decimal(text)
        if value is None or value < 0:
            raise ReadError(
                f"{self._where}, bar {bar_of(element)}: a duration of {text[:40]!r} makes no "
                "sense; export the score again"
            )
        return value / self.divisions


def _printed(note: etree._Element, fields: Fields) -> tuple[str | int, ...]:
    """Type, number of dots, numbers of the time modification, kind of tremolo."""
    dots = sum(1 for _ in note.iterfind("dot")) if "dot" in fields else 0
    tremolo = note.find("notations/ornaments/tremolo") if "notations" in fields else None
    kind = text_of(fields.get("type"))
    modification = fields.get("time-modification")
    if modification is None and tremolo is None:
        return kind, dots
    actual, normal = "1", "1"
    if modification is not None:
        actual = child_text(modification, "actual-notes")
        normal = child_text(modification, "normal-notes")
    return kind, dots, actual, normal, "" if tremolo is None else tremolo.get("type", "single")


def _printed_only(printed: tuple[str | int, ...], *, grace: bool) -> tuple[NoteTime, Fraction]:
    """The time of a note without ``<duration>``."""
    value, ratio = _printed_value(printed)
    if grace:
        return NoteTime(NONE, value or NoteValue("eighth"), ratio), NONE
    length = NONE if value is None else value.length.quarters * ratio
    return NoteTime(length, value, ratio), length


def _printed_value(printed: tuple[str | int, ...]) -> tuple[NoteValue | None, Fraction]:
    """The value and the tuplet factor that stand in the file."""
    kind, dots, *modified = printed
    if kind not in NOTE_KINDS:
        return None, ONE
    value = NoteValue(str(kind), min(int(dots), 4))
    if not modified:
        return value, ONE
    above, below = (as_int(str(number)) or 0 for number in modified[:2])
    ratio = Fraction(below, above) if above > 0 and below > 0 else ONE
    tremolo = modified[2]
    if tremolo and ratio != ONE:
        # The notes of a tremolo are printed longer than they last, and a time
        # modification says so: each is read as the value that it lasts.
        lasting = NoteValue.of(value.length * ratio, _MOST_DOTS)
        if lasting is not None:
            return lasting, ONE
    return value, ratio


def _time_of(printed: tuple[str | int, ...], duration: Fraction, divisions: Fraction) -> NoteTime:
    """Join what is printed and what is counted; see the module's docstring."""
    value, ratio = _printed_value(printed)
    plain = NoteValue.of(Length(duration), _MOST_DOTS)
    if value is None:
        return NoteTime(duration, plain)
    expected = value.length.quarters * ratio
    if expected == duration:
        return NoteTime(duration, value, ratio)
    counted = _by_duration(value, ratio, plain, duration)
    rounding = (expected * divisions).denominator > 1
    if ratio == ONE != counted.ratio and (divisions * counted.ratio).denominator == 1:
        return counted
    if rounding and abs(expected - duration) * divisions < 1:
        printed_time = NoteTime(expected, value, ratio)
        return printed_time if ratio != ONE else replace(printed_time, by_duration=counted)
    if counted.value is None and abs(expected - duration) < expected * _SMALL:
        return NoteTime(expected, value, ratio)
    return counted


def _lasting_nothing(printed: tuple[str | int, ...], by_duration: NoteTime) -> NoteTime:
    """The time of an ordinary note with a duration of 0: what is printed.

    Where its bar is full without it, the other reading holds: a grace note that does not
    say so.
    """
    value, ratio = _printed_value(printed)
    if value is None:
        return by_duration
    unplayed = NoteTime(NONE, value, ratio)
    return NoteTime(value.length.quarters * ratio, value, ratio, by_duration=unplayed)


def _by_duration(
    value: NoteValue, ratio: Fraction, plain: NoteValue | None, duration: Fraction
) -> NoteTime:
    """The reading that keeps the duration: an unmarked tuplet, or another value."""
    factor = duration / value.length.quarters
    if ratio == ONE and factor in _ORDINARY:
        return NoteTime(duration, value, factor)
    return NoteTime(duration, plain, contradicts=True)


_ORDINARY: Final = {
    Tuplet(*pair).factor for pair in ((3, 2), (5, 4), (7, 4), (9, 8), (2, 3), (4, 3), (11, 8))
}
"""Factors of tuplets that exporters leave unmarked."""
