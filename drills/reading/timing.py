"""Exactly when each note of a bar starts and how long it lasts.

Problem: ``<duration>`` counts whole divisions of a quarter, so that a triplet
comes out as 85/256 of a quarter and the error grows along the bar.
Method: the length of a note is computed from what is printed (type, dots,
time modification), with ``<duration>`` as check and fallback: a difference that
rounding to whole divisions explains is rounding, any other means that the
duration is right.  Two clocks run side by side, one in the file's rounded time
and one exact; ``<backup>`` and ``<forward>`` move the rounded one, and the exact
one follows to the same event.
Conventions: all times are Fractions of a quarter from the start of the bar.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.errors import ReadError
from drills.music.time import NOTE_KINDS, Length, NoteValue, Tuplet
from drills.reading.xmltext import as_decimal, as_int, child_text, text_of

ONE: Final = Fraction(1)
NONE: Final = Fraction(0)
_MOST_DOTS: Final = 3


@dataclass(frozen=True, slots=True)
class NoteTime:
    """How long a note lasts, and how that is written."""

    length: Fraction
    value: NoteValue | None
    """None where the file gives no note value and none fits the length."""
    ratio: Fraction
    """What the value is multiplied by; 1 outside tuplets."""
    contradicts: bool = False
    """The printed value does not last as long as the duration says."""


@dataclass(frozen=True, slots=True)
class Placed:
    """One child of a ``<measure>`` and where it stands."""

    element: etree._Element
    start: Fraction
    time: NoteTime | None = None
    """For notes and rests, grace notes included (their length is 0)."""


class BarClock:
    """Walks through the bars of one part in order, keeping its divisions."""

    def __init__(self, where: str) -> None:
        self.divisions = ONE
        self.end = NONE
        """Where the last bar ended: the latest end of anything in it."""
        self._where = where
        self._known: dict[tuple[str, ...], NoteTime] = {}

    def walk(self, measure: etree._Element) -> Iterator[Placed]:
        """Every child of the bar with its exact place, in the file's order.

        Raises ReadError for a duration that is no number or is negative.
        """
        rounded, exact, latest = NONE, NONE, NONE
        chord_start = NONE
        exact_at: dict[Fraction, Fraction] = {NONE: NONE}
        for child in measure:
            tag = child.tag
            if tag == "note":
                time, duration = self._note(child)
                if child.find("chord") is not None:
                    yield Placed(child, chord_start, time)
                    continue
                chord_start = exact
                yield Placed(child, exact, time)
                if child.find("grace") is None:
                    rounded += duration
                    exact += time.length
            elif tag in {"backup", "forward"}:
                duration = self._duration(child)
                rounded = max(NONE, rounded + (duration if tag == "forward" else -duration))
                exact = _nearest(rounded, exact_at, self.divisions)
            else:
                if tag == "attributes" and (found := child.find("divisions")) is not None:
                    self.divisions = as_decimal(text_of(found)) or ONE
                yield Placed(child, exact)
                continue
            exact_at.setdefault(rounded, exact)
            latest = max(latest, exact)
        self.end = latest

    def _note(self, note: etree._Element) -> tuple[NoteTime, Fraction]:
        """The note's time, and its duration in the file's rounded time."""
        modification = note.find("time-modification")
        tremolo = note.find("notations/ornaments/tremolo")
        printed = (
            note.findtext("type") or "",
            str(len(note.findall("dot"))),
            "" if modification is None else child_text(modification, "actual-notes"),
            "" if modification is None else child_text(modification, "normal-notes"),
            "" if tremolo is None else tremolo.get("type", ""),
        )
        grace = note.find("grace") is not None
        if grace or note.find("duration") is None:
            return self._printed_only(printed, grace)
        duration = self._duration(note)
        key = (*printed, str(duration), str(self.divisions))
        if key not in self._known:
            self._known[key] = _time_of(printed, duration, self.divisions)
        return self._known[key], duration

    def _printed_only(self, printed: tuple[str, ...], grace: bool) -> tuple[NoteTime, Fraction]:
        value, ratio = _printed_value(printed)
        if grace:
            return NoteTime(NONE, value or NoteValue("eighth"), ratio), NONE
        length = NONE if value is None else value.length.quarters * ratio
        return NoteTime(length, value, ratio), length

    def _duration(self, element: etree._Element) -> Fraction:
        text = child_text(element, "duration")
        value = as_decimal(text)
        if value is None or value < 0:
            bar = next((m.get("number", "?") for m in element.iterancestors("measure")), "?")
            raise ReadError(
                f"{self._where}, bar {bar}: a duration of {text[:40]!r} makes no sense; "
                "export the score again"
            )
        return value / self.divisions


def _printed_value(printed: tuple[str, ...]) -> tuple[NoteValue | None, Fraction]:
    """The value and the tuplet factor that stand in the file."""
    kind, dots, actual, normal, tremolo = printed
    kind = kind.strip()
    if kind not in NOTE_KINDS:
        return None, ONE
    above, below = as_int(actual) or 0, as_int(normal) or 0
    ratio = Fraction(below, above) if above > 0 and below > 0 else ONE
    value = NoteValue(kind, min(int(dots), 4))
    if tremolo in {"start", "stop"}:
        # Both notes of a tremolo are printed with the length of the two together
        # and halved by a time modification; each is read as the value it lasts.
        half = NoteValue.of(value.length * Fraction(1, 2), _MOST_DOTS)
        if half is not None and ratio == Fraction(1, 2):
            return half, ONE
    return value, ratio


def _time_of(printed: tuple[str, ...], duration: Fraction, divisions: Fraction) -> NoteTime:
    """Join what is printed and what is counted; see the module's docstring."""
    value, ratio = _printed_value(printed)
    if value is None:
        return NoteTime(duration, NoteValue.of(Length(duration), _MOST_DOTS), ONE)
    expected = value.length.quarters * ratio
    if expected == duration or _is_rounding(expected, duration, divisions):
        return NoteTime(expected, value, ratio)
    factor = duration / value.length.quarters
    if ratio == ONE and _is_tuplet(factor):
        return NoteTime(duration, value, factor)
    plain = NoteValue.of(Length(duration), _MOST_DOTS)
    if plain is not None:
        return NoteTime(duration, plain, ONE, contradicts=True)
    return NoteTime(duration, None, ONE, contradicts=True)


def _is_rounding(expected: Fraction, duration: Fraction, divisions: Fraction) -> bool:
    """True where whole divisions cannot say ``expected`` and ``duration`` is next to it."""
    return (expected * divisions).denominator > 1 and abs(expected - duration) * divisions < 1


def _is_tuplet(factor: Fraction) -> bool:
    """True for the factor of an ordinary tuplet: 2/3, 4/5, 4/7, 3/2 ..."""
    return factor in _ORDINARY


_ORDINARY: Final = {
    Tuplet(*pair).factor for pair in ((3, 2), (5, 4), (7, 4), (9, 8), (2, 3), (4, 3), (11, 8))
}


def _nearest(
    rounded: Fraction, exact_at: dict[Fraction, Fraction], divisions: Fraction
) -> Fraction:
    """The exact time that belongs to a rounded one: that of the same or the next event."""
    if rounded in exact_at:
        return exact_at[rounded]
    close = min(exact_at, key=lambda known: abs(known - rounded))
    inexact = exact_at[close] != close
    if inexact and abs(close - rounded) * divisions <= len(exact_at):
        return exact_at[close]
    return rounded
