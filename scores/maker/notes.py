"""Writes notes and rests, and decides which accidentals are printed.

Convention (common practice): an accidental holds to the end of the bar in its
octave; a note that returns to the key's own pitch in the next bar, or in
another octave, carries a courtesy accidental.
"""

from __future__ import annotations

from typing import Final

from maker.music import VALUES, Event
from maker.pitches import Instrument, Pitch, key_alter
from maker.tree import Element, add

_ACCIDENTALS: Final = {
    -2: "flat-flat",
    -1: "flat",
    0: "natural",
    1: "sharp",
    2: "double-sharp",
}
_ARTICULATIONS: Final = ("accent", "strong-accent", "staccato", "tenuto", "breath-mark")
_SLUR, _GRACE_SLUR = "1", "2"
"""Slur numbers: grace notes are slurred to their note inside a longer slur."""


class NoteWriter:
    """Writes the notes of one part in order."""

    def __init__(self, instrument: Instrument, divisions: int) -> None:
        self._instrument = instrument
        self._divisions = divisions
        self._fifths = 0
        self._heard: dict[tuple[str, int], int] = {}
        self._last_bar: dict[tuple[str, int], int] = {}

    def new_bar(self, fifths: int) -> None:
        """Accidentals end here; what they changed is remembered for courtesy."""
        self._fifths = fifths
        self._last_bar, self._heard = self._heard, {}

    def write(self, measure: Element, event: Event, beams: list[str]) -> None:
        """One event with its grace notes."""
        for place, grace in enumerate(event.graces):
            self._grace(measure, grace, place, len(event.graces))
        note = add(measure, "note")
        if event.pitch is None:
            add(note, "rest", **({} if event.value else {"measure": "yes"}))
        else:
            accidental = self._pitch(note, event.pitch, event.tied_from)
        add(note, "duration", str(int(event.length * self._divisions)))
        for tied, kind in ((event.tied_from, "stop"), (event.tied_to, "start")):
            if tied:
                add(note, "tie", type=kind)
        add(note, "voice", "1")
        if event.value:
            add(note, "type", VALUES[event.value][0])
        for _ in range(event.dots):
            add(note, "dot")
        if event.pitch is not None:
            _accidental(note, accidental)
        if event.tuplet:
            _time_modification(note, event.tuplet)
        for level, beam in enumerate(beams, 1):
            add(note, "beam", beam, number=str(level))
        _notations(note, event)

    def _grace(self, measure: Element, pitch: Pitch, place: int, count: int) -> None:
        note = add(measure, "note")
        add(note, "grace", **({"slash": "yes"} if count == 1 else {}))
        accidental = self._pitch(note, pitch, tied=False)
        add(note, "voice", "1")
        add(note, "type", "eighth" if count == 1 else "16th")
        _accidental(note, accidental)
        if count > 1:
            beam = "begin" if place == 0 else "end" if place == count - 1 else "continue"
            for level in ("1", "2"):
                add(note, "beam", beam, number=level)
        if place == 0:
            add(add(note, "notations"), "slur", type="start", number=_GRACE_SLUR)

    def _pitch(self, note: Element, sounding: Pitch, tied: bool) -> tuple[int, bool] | None:
        """Write a pitch; the accidental to print and whether it is a courtesy."""
        pitch = self._instrument.written(sounding)
        element = add(note, "pitch")
        add(element, "step", pitch.step)
        if pitch.alter:
            add(element, "alter", str(pitch.alter))
        add(element, "octave", str(pitch.octave))
        if tied:
            return None
        place = (pitch.step, pitch.octave)
        in_key = key_alter(self._fifths, pitch.step)
        before = self._heard.get(place, in_key)
        doubtful = place not in self._heard and (
            self._last_bar.get(place, in_key) != pitch.alter
            or any(
                step == pitch.step and alter != pitch.alter
                for (step, _), alter in self._heard.items()
            )
        )
        self._heard[place] = pitch.alter
        if pitch.alter != before:
            return pitch.alter, False
        return (pitch.alter, True) if doubtful else None


def _accidental(note: Element, printed: tuple[int, bool] | None) -> None:
    if printed is not None:
        alter, courtesy = printed
        add(note, "accidental", _ACCIDENTALS[alter], **({"cautionary": "yes"} if courtesy else {}))


def _time_modification(note: Element, tuplet: tuple[int, int]) -> None:
    ratio = add(note, "time-modification")
    add(ratio, "actual-notes", str(tuplet[0]))
    add(ratio, "normal-notes", str(tuplet[1]))


def _notations(note: Element, event: Event) -> None:
    """Ties, slurs, tuplets and signs, in the order that players read them."""
    notations = add(note, "notations")
    for tied, kind in ((event.tied_from, "stop"), (event.tied_to, "start")):
        if tied:
            add(notations, "tied", type=kind)
    if event.graces:
        add(notations, "slur", type="stop", number=_GRACE_SLUR)
    for count, kind in ((event.slur_stops, "stop"), (event.slur_starts, "start")):
        for _ in range(count):
            add(notations, "slur", type=kind, number=_SLUR)
    if event.tuplet_starts:
        add(notations, "tuplet", type="start", number="1", bracket="yes")
    if event.tuplet_stops:
        add(notations, "tuplet", type="stop", number="1")
    if "trill-mark" in event.signs:
        add(add(notations, "ornaments"), "trill-mark")
    wanted = [sign for sign in event.signs if sign in _ARTICULATIONS]
    if wanted:
        articulations = add(notations, "articulations")
        for sign in wanted:
            add(articulations, sign)
    if "fermata" in event.signs:
        add(notations, "fermata", type="upright")
    if not len(notations):
        note.remove(notations)
