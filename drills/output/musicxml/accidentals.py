"""Which notes of a bar carry a printed accidental.

Convention (common practice, and that of the MusicXML reference for
``accidental``: the element says what is printed, ``alter`` what is meant): an
accidental holds for its own line or space to the end of the bar; a note tied
over the bar line needs none, and after it the next note there prints its own.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from drills.music.pitch import KeySignature, Pitch

NAMES: Final = {
    Fraction(-3): "triple-flat",
    Fraction(-2): "flat-flat",
    Fraction(-3, 2): "three-quarters-flat",
    Fraction(-1): "flat",
    Fraction(-1, 2): "quarter-flat",
    Fraction(0): "natural",
    Fraction(1, 2): "quarter-sharp",
    Fraction(1): "sharp",
    Fraction(3, 2): "three-quarters-sharp",
    Fraction(2): "double-sharp",
    Fraction(3): "triple-sharp",
}
"""Alteration in semitones -> MusicXML 4.0 ``accidental-value``."""


class Accidentals:
    """What is in force on every line and space, from the bar's start onwards."""

    def __init__(self, key: KeySignature) -> None:
        self._key = key
        self._held: dict[tuple[str, int], Fraction | None] = {}

    def change_key(self, key: KeySignature) -> None:
        """A new signature cancels every accidental before it."""
        self._key = key
        self._held.clear()

    def printed(self, pitch: Pitch, tied: bool = False) -> str:
        """The accidental to print before ``pitch``, or an empty string.

        Other alterations than those of NAMES have no sign and stay unprinted.
        """
        place = (pitch.step, pitch.octave)
        in_force = self._held.get(place, self._key.alter_of(pitch.step))
        if pitch.alter == in_force:
            return ""
        if tied:
            self._held[place] = None
            return ""
        self._held[place] = pitch.alter
        return NAMES.get(pitch.alter, "")
