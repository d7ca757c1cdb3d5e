"""Pitches in concert, keys, and how an instrument's part writes them.

The interval of an instrument is that of MusicXML's ``<transpose>``: from the
written to the sounding pitch, in steps and semitones without whole octaves.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

STEPS: Final = "CDEFGAB"
SEMITONES: Final = (0, 2, 4, 5, 7, 9, 11)
SHARPS: Final = "FCGDAEB"
"""The steps in the order in which key signatures raise them."""
_PITCH: Final = re.compile(r"([A-G])(##|bb|#|b)?(\d)")
_ALTERS: Final = {"": 0, "#": 1, "b": -1, "##": 2, "bb": -2}


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled pitch; C4 is middle C."""

    step: str
    alter: int
    octave: int

    @classmethod
    def parse(cls, text: str) -> Pitch:
        """Read ``C4``, ``Bb3``, ``F#5``; raises ValueError."""
        found = _PITCH.fullmatch(text)
        if found is None:
            raise ValueError(f"{text!r} is not a pitch")
        return cls(found[1], _ALTERS[found[2] or ""], int(found[3]))

    @property
    def midi(self) -> int:
        """MIDI note number, 60 for C4."""
        return 12 * (self.octave + 1) + SEMITONES[STEPS.index(self.step)] + self.alter


@dataclass(frozen=True, slots=True)
class Instrument:
    """What a part is played on."""

    abbreviation: str
    diatonic: int
    chromatic: int
    octave: int
    program: int
    """General MIDI program, counted from 1."""
    sound: str
    """MusicXML 4.0 standard sound."""

    def written(self, pitch: Pitch) -> Pitch:
        """The written pitch of a sounding one, its spelling moved with it."""
        place = 7 * pitch.octave + STEPS.index(pitch.step) - self.diatonic - 7 * self.octave
        octave, step = divmod(place, 7)
        natural = Pitch(STEPS[step], 0, octave)
        midi = pitch.midi - self.chromatic - 12 * self.octave
        return Pitch(natural.step, midi - natural.midi, octave)

    def fifths(self, concert: int) -> int:
        """The written key of a concert key, both in sharps (flats are negative)."""
        return concert + 7 * (-self.chromatic) - 12 * (-self.diatonic)


INSTRUMENTS: Final = {
    "flute": Instrument("Fl.", 0, 0, 0, 74, "wind.flutes.flute"),
    "oboe": Instrument("Ob.", 0, 0, 0, 69, "wind.reed.oboe"),
    "clarinet": Instrument("Cl.", -1, -2, 0, 72, "wind.reed.clarinet.bflat"),
    "alto saxophone": Instrument("A. Sax.", -5, -9, 0, 66, "wind.reed.saxophone.alto"),
    "tenor saxophone": Instrument("T. Sax.", -1, -2, -1, 67, "wind.reed.saxophone.tenor"),
    "baritone saxophone": Instrument("B. Sax.", -5, -9, -1, 68, "wind.reed.saxophone.baritone"),
}
"""Transpositions and General MIDI programs are common practice."""


def key_fifths(key: str) -> int:
    """Sharps (positive) or flats of a key: ``Eb`` is E flat major, ``c`` is C minor."""
    place = SHARPS.index(key[0].upper()) - 1 + 7 * _ALTERS[key[1:]]
    return place if key[0].isupper() else place - 3


def key_alter(fifths: int, step: str) -> int:
    """What the key signature does to a step."""
    if fifths >= 0:
        return int(SHARPS.index(step) < fifths)
    return -int(SHARPS[::-1].index(step) < -fifths)
