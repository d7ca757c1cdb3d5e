"""Pitch as it is spelled, keys, and the interval by which an instrument transposes.

A pitch keeps its spelling (step, alter, octave); the MIDI number is derived.
Octaves follow scientific pitch notation, as in MusicXML: middle C is C4, MIDI
note 60.  ``alter`` counts semitones and may be a fraction (a quarter tone
sharp is 1/2).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

STEPS: Final = ("C", "D", "E", "F", "G", "A", "B")
"""The seven steps in ascending order within one octave."""

SEMITONES: Final = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
"""Semitones of each natural step above C."""

LARGEST_ALTER: Final = 3
"""Semitones that a pitch may lie above or below its natural."""

ORDER_OF_SHARPS: Final = ("F", "C", "G", "D", "A", "E", "B")
"""The steps in the order in which a key signature raises them; reversed, in
the order in which it lowers them."""

_ACCIDENTAL_TEXT: Final = {
    Fraction(-2): "bb",
    Fraction(-3, 2): "db",
    Fraction(-1): "b",
    Fraction(-1, 2): "d",
    Fraction(0): "",
    Fraction(1, 2): "+",
    Fraction(1): "#",
    Fraction(3, 2): "#+",
    Fraction(2): "##",
}
"""A quarter tone down is a d, as the reversed flat looks: a minus would be the octave's."""
_PITCH_TEXT: Final = re.compile(r"([A-Ga-g])(##|bb|#\+|db|[#b+d])?(-?\d+)")


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled pitch.

    Raises ValueError for a step that is none, or an alteration of more than
    three semitones.
    """

    step: str
    """"C" to "B"."""
    alter: Fraction
    """Semitones up (sharp) or down (flat); fractions are microtones."""
    octave: int
    """Scientific octave number: C4 is middle C."""

    def __post_init__(self) -> None:
        if self.step not in SEMITONES:
            raise ValueError(f"{self.step!r} is not a step from A to G")
        if abs(self.alter) > LARGEST_ALTER:
            raise ValueError(f"an alteration of {self.alter} semitones is not a pitch")

    @classmethod
    def parse(cls, text: str) -> Pitch:
        """Read ``C4``, ``F#5``, ``Bb3``; raises ValueError when it reads otherwise."""
        found = _PITCH_TEXT.fullmatch(text)
        if found is None:
            raise ValueError(f"{text!r} is not a pitch such as C4, F#5 or Bb3")
        accidental = found[2] or ""
        alter = next(a for a, t in _ACCIDENTAL_TEXT.items() if t == accidental)
        return cls(found[1].upper(), alter, int(found[3]))

    @property
    def midi(self) -> Fraction:
        """MIDI note number; whole unless the pitch is microtonal."""
        return 12 * (self.octave + 1) + SEMITONES[self.step] + self.alter

    @property
    def diatonic(self) -> int:
        """Staff steps above C0, whatever the accidental."""
        return 7 * self.octave + STEPS.index(self.step)

    def __str__(self) -> str:
        accidental = _ACCIDENTAL_TEXT.get(self.alter, f"({self.alter})")
        return f"{self.step}{accidental}{self.octave}"


@dataclass(frozen=True, slots=True)
class Unpitched:
    """A percussion note: where its head stands, and which instrument it asks for."""

    step: str
    """Display step, as if in treble clef."""
    octave: int
    """Display octave."""
    instrument: str = ""
    """The score's own identifier or name of the drum, if it gives one."""

    @property
    def diatonic(self) -> int:
        """Staff steps above C0 of the head."""
        return 7 * self.octave + STEPS.index(self.step)

    def __str__(self) -> str:
        return f"{self.instrument or 'drum'} at {self.step}{self.octave}"


Tone = Pitch | Unpitched
"""What a note head stands for."""


@dataclass(frozen=True, slots=True)
class Transposition:
    """From written to sounding: the player reads C, the room hears C moved by this.

    Signs as in MusicXML ``<transpose>``: a B flat clarinet is (-1, -2).
    """

    diatonic: int = 0
    """Staff steps to add, octaves included."""
    chromatic: int = 0
    """Semitones to add, octaves included."""

    def sounding(self, written: Pitch) -> Pitch:
        """The pitch that sounds when ``written`` is played.

        Where steps and semitones do not fit each other (a score that says nine
        semitones and no step) it is spelled on the nearest step that can hold it.
        """
        step, midi = written.diatonic + self.diatonic, written.midi + self.chromatic
        while abs(midi - _natural_midi(step)) > LARGEST_ALTER:
            step += 1 if midi > _natural_midi(step) else -1
        octave, index = divmod(step, 7)
        return Pitch(STEPS[index], midi - _natural_midi(step), octave)

    def __sub__(self, other: Transposition) -> Transposition:
        """How far from ``other`` the same written notes sound; CONCERT - self is the way back."""
        return Transposition(self.diatonic - other.diatonic, self.chromatic - other.chromatic)

    def sounding_key(self, written: KeySignature) -> KeySignature:
        """The key that sounds when music in ``written`` is played.

        A perfect fifth is seven semitones and four steps, an octave twelve and
        seven; so c semitones and d steps make 7c - 12d fifths.
        """
        if not written.custom:
            fifths = 7 * self.chromatic - 12 * self.diatonic
            return KeySignature(written.fifths + fifths, written.mode)
        scale = [self.sounding(Pitch(step, written.alter_of(step), 4)) for step in STEPS]
        altered = tuple((pitch.step, pitch.alter) for pitch in scale if pitch.alter)
        return KeySignature(0, written.mode, altered)


def _natural_midi(step: int) -> int:
    """MIDI number of a natural, ``step`` staff steps above C0."""
    octave, index = divmod(step, 7)
    return 12 * (octave + 1) + SEMITONES[STEPS[index]]


CONCERT: Final = Transposition()
"""What is read is what sounds."""


@dataclass(frozen=True, slots=True)
class KeySignature:
    """Sharps (positive) or flats (negative), or a list of altered steps of its own."""

    fifths: int = 0
    """Number of sharps, or of flats as a negative number; -7 to 7 in ordinary use."""
    mode: str = ""
    """"major", "minor", a church mode, or empty where the score is silent."""
    custom: tuple[tuple[str, Fraction], ...] = ()
    """Step and alteration of a non-traditional signature; empty for an ordinary one."""

    def alter_of(self, step: str) -> Fraction:
        """How the signature alters a step, in semitones."""
        if self.custom:
            return dict(self.custom).get(step, Fraction(0))
        order = ORDER_OF_SHARPS if self.fifths > 0 else ORDER_OF_SHARPS[::-1]
        rounds, more = divmod(abs(self.fifths), 7)
        amount = rounds + (1 if step in order[:more] else 0)
        return Fraction(amount if self.fifths > 0 else -amount)


NO_KEY: Final = KeySignature()
"""No sharps, no flats."""
