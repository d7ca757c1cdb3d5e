"""Exactly when each note of a bar starts and how long it lasts.

Problem: ``<duration>`` counts whole divisions of a quarter, so that a triplet
comes out as 85/256 of a quarter and the error grows along the bar.
Method: the length of a note is computed from what is printed (type, dots,
time modification), with ``<duration>`` as check and fallback: a difference that
rounding to whole divisions explains is rounding, any other means that the
duration is right.  Outside tuplets a rounding is believed only where the bar
does not come out right by the durations.  Two clocks run side by side, one in
the file's rounded time and one exact; ``<backup>`` and ``<forward>`` move the
rounded one, and the exact one follows to the same event.
Conventions: all times are Fractions of a quarter from the start of the bar.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.errors import ReadError
from drills.music.time import COMMON_TIME, NOTE_KINDS, Length, NoteValue, Tuplet
from drills.reading.attributes import read_time
from drills.reading.xmltext import as_decimal, as_int, bar_of, child_text, text_of

ONE: Final = Fraction(1)
NONE: Final = Fraction(0)
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


@dataclass(frozen=True, slots=True)
class Placed:
    """One child of a ``<measure>`` and where it stands."""

    element: etree._Element
    start: Fraction
    time: NoteTime | None = None
    """For notes and rests, grace notes included (their length is 0)."""


@dataclass(frozen=True, slots=True)
class Walk:
    """One bar, walked through."""

    placed: tuple[Placed, ...]
    """Every child in the file's order, without ``<backup>`` and ``<forward>``."""
    end: Fraction
    """Where the latest of anything ends, ``<forward>`` included."""


class BarClock:
    """Walks through the bars of one part in order, keeping divisions and time signature."""

    def __init__(self, where: str, divisions: Fraction = ONE) -> None:
        self.divisions = divisions
        self._where = where
        self._full = COMMON_TIME.bar_length.quarters
        self._known: dict[tuple[str, ...], NoteTime] = {}

    def skip(self, measure: etree._Element) -> None:
        """Keep up with a bar that is not needed."""
        for attributes in measure.iterfind("attributes"):
            self._attributes(attributes)

    def walk(self, measure: etree._Element) -> Walk:
        """Every child of the bar with its exact place.

        Raises ReadError for a duration that is no number or is negative.
        """
        divisions = self.divisions
        walk, rounded_end, doubtful = self._pass(measure, by_duration=False)
        if doubtful and walk.end != self._full and rounded_end == self._full:
            self.divisions = divisions
            walk, _, _ = self._pass(measure, by_duration=True)
        return walk

    def _pass(self, measure: etree._Element, *, by_duration: bool) -> tuple[Walk, Fraction, bool]:
        """The bar, where it ends in the file's rounded time, and whether values were doubtful."""
        placed: list[Placed] = []
        clocks = _Clocks()
        chord_start = NONE
        doubtful = False
        for child in measure:
            tag = child.tag
            if tag == "note":
                time, duration = self._note(child)
                if time.by_duration is not None:
                    doubtful = True
                    time = time.by_duration if by_duration else time
                if child.find("chord") is not None:
                    placed.append(Placed(child, chord_start, time))
                    continue
                chord_start = clocks.exact
                placed.append(Placed(child, chord_start, time))
                if child.find("grace") is None:
                    clocks.play(duration, time.length)
            elif tag in {"backup", "forward"}:
                duration = self._duration(child)
                clocks.jump(duration if tag == "forward" else -duration)
            else:
                if tag == "attributes":
                    self._attributes(child)
                placed.append(Placed(child, clocks.exact))
        return Walk(tuple(placed), clocks.latest), clocks.latest_rounded, doubtful

    def _attributes(self, attributes: etree._Element) -> None:
        if (found := attributes.find("divisions")) is not None:
            self.divisions = as_decimal(text_of(found)) or ONE
        for sign in attributes.iterfind("time"):
            if (time := read_time(sign)) is not None:
                self._full = time.bar_length.quarters

    def _note(self, note: etree._Element) -> tuple[NoteTime, Fraction]:
        """The note's time, and its duration in the file's rounded time."""
        printed = _printed(note)
        grace = note.find("grace") is not None
        if grace or note.find("duration") is None:
            return _printed_only(printed, grace=grace)
        duration = self._duration(note)
        key = (*printed, str(duration), str(self.divisions))
        if key not in self._known:
            self._known[key] = _time_of(printed, duration, self.divisions)
        return self._known[key], duration

    def _duration(self, element: etree._Element) -> Fraction:
        text = child_text(element, "duration")
        value = as_decimal(text)
        if value is None or value < 0:
            raise ReadError(
                f"{self._where}, bar {bar_of(element)}: a duration of {text[:40]!r} makes no "
                "sense; export the score again"
            )
        return value / self.divisions


class _Clocks:
    """The file's rounded time and exact time, side by side."""

    def __init__(self) -> None:
        self.rounded = NONE
        self.exact = NONE
        self.latest = NONE
        self.latest_rounded = NONE
        self._exact_at = {NONE: NONE}
        self._order = [NONE]

    def play(self, duration: Fraction, length: Fraction) -> None:
        """A note lasts ``duration`` in the file and ``length`` exactly."""
        self.rounded += duration
        self.exact += length
        self._remember()

    def jump(self, by: Fraction) -> None:
        """A ``<backup>`` or ``<forward>``: exact time follows to the same event."""
        self.rounded = max(NONE, self.rounded + by)
        known = self._exact_at.get(self.rounded)
        self.exact = self._between() if known is None else known
        self._remember()

    def _between(self) -> Fraction:
        """Exact time of a place where no event is known: as far from the event before it."""
        before = self._order[bisect_left(self._order, self.rounded) - 1]
        return self._exact_at[before] + self.rounded - before

    def _remember(self) -> None:
        if self.rounded not in self._exact_at:
            self._exact_at[self.rounded] = self.exact
            insort(self._order, self.rounded)
        self.latest = max(self.latest, self.exact)
        self.latest_rounded = max(self.latest_rounded, self.rounded)


def _printed(note: etree._Element) -> tuple[str, ...]:
    """Type, number of dots, numbers of the time modification, kind of tremolo."""
    modification = note.find("time-modification")
    tremolo = note.find("notations/ornaments/tremolo")
    return (
        child_text(note, "type"),
        str(len(note.findall("dot"))),
        "" if modification is None else child_text(modification, "actual-notes"),
        "" if modification is None else child_text(modification, "normal-notes"),
        "" if tremolo is None else tremolo.get("type", ""),
    )


def _printed_only(printed: tuple[str, ...], *, grace: bool) -> tuple[NoteTime, Fraction]:
    """The time of a note without ``<duration>``."""
    value, ratio = _printed_value(printed)
    if grace:
        return NoteTime(NONE, value or NoteValue("eighth"), ratio), NONE
    length = NONE if value is None else value.length.quarters * ratio
    return NoteTime(length, value, ratio), length


def _printed_value(printed: tuple[str, ...]) -> tuple[NoteValue | None, Fraction]:
    """The value and the tuplet factor that stand in the file."""
    kind, dots, actual, normal, tremolo = printed
    if kind not in NOTE_KINDS:
        return None, ONE
    above, below = as_int(actual) or 0, as_int(normal) or 0
    ratio = Fraction(below, above) if above > 0 and below > 0 else ONE
    value = NoteValue(kind, min(int(dots), 4))
    if tremolo in {"start", "stop"} and ratio == Fraction(1, 2):
        # Both notes of a tremolo are printed with the length of the two together
        # and halved by a time modification; each is read as the value it lasts.
        half = NoteValue.of(value.length * ratio, _MOST_DOTS)
        if half is not None:
            return half, ONE
    return value, ratio


def _time_of(printed: tuple[str, ...], duration: Fraction, divisions: Fraction) -> NoteTime:
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
    if rounding and abs(expected - duration) * divisions < 1:
        printed_time = NoteTime(expected, value, ratio)
        return printed_time if ratio != ONE else replace(printed_time, by_duration=counted)
    if counted.value is None and abs(expected - duration) < expected * _SMALL:
        return NoteTime(expected, value, ratio)
    return counted


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
