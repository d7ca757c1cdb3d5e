"""A chord as a root, tones counted from it, and a bass; and where it sounds.

Conventions.  Roots and basses here SOUND (concert pitch); a part's own names
are made of them with the part's transposition.  A tone is counted as chord
symbols count: number 1 to 13 above the root, altered against the major scale of
the root, so the minor third is (3, -1) and the dominant's seventh (7, -1).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from typing import Final

from drills.music.pitch import SEMITONES, STEPS, Pitch, Transposition

_NAME: Final = re.compile(r"([A-G])(#{1,3}|b{1,3}|)")


@dataclass(frozen=True, slots=True)
class PitchClass:
    """A spelled pitch without its octave."""

    step: str
    alter: int = 0
    """Semitones up or down."""

    def __post_init__(self) -> None:
        if self.step not in SEMITONES:
            raise ValueError(f"{self.step!r} is not a step from A to G")

    @classmethod
    def parse(cls, name: str) -> PitchClass:
        """Read ``Bb``, ``F#``, ``C``; raises ValueError when it reads otherwise."""
        found = _NAME.fullmatch(name)
        if found is None:
            raise ValueError(f"{name!r} is not a note name such as C, F# or Bb")
        return cls(found[1], len(found[2]) * (-1 if "b" in found[2] else 1))

    @classmethod
    def of(cls, pitch: Pitch) -> PitchClass:
        """The class of a pitch; a microtone counts as the nearest semitone of its step."""
        return cls(pitch.step, round(pitch.alter))

    @property
    def semitone(self) -> int:
        """0 to 11 above C."""
        return (SEMITONES[self.step] + self.alter) % 12

    def moved(self, by: Transposition) -> PitchClass:
        """The class that sounds where this one is written, for a player of ``by``."""
        return PitchClass.of(by.sounding(Pitch(self.step, Fraction(self.alter), 4)))

    def above(self, number: int, alter: int) -> PitchClass:
        """The tone ``number`` of the major scale on this root, altered: B above G is (3, 0)."""
        index = STEPS.index(self.step) + number - 1
        step = STEPS[index % 7]
        major = _MAJOR_SCALE[(number - 1) % 7]
        natural = (self.semitone + major + alter - SEMITONES[step]) % 12
        return PitchClass(step, natural - 12 if natural > 6 else natural)

    def __str__(self) -> str:
        return self.step + ("#" * self.alter if self.alter > 0 else "b" * -self.alter)


_MAJOR_SCALE: Final = (0, 2, 4, 5, 7, 9, 11)


@dataclass(frozen=True, slots=True, order=True)
class ChordTone:
    """A tone of a chord, counted from its root."""

    number: int
    """1 (the root) to 13."""
    alter: int = 0
    """Semitones against the major scale on the root."""

    @property
    def semitones(self) -> int:
        """Semitones above the root, octaves included: the ninth is 14."""
        octaves, index = divmod(self.number - 1, 7)
        return 12 * octaves + _MAJOR_SCALE[index] + self.alter


class Source(StrEnum):
    """Where a chord was read."""

    SYMBOL = "symbol"
    """In a chord symbol of the score."""
    NOTES = "notes"
    """In the notes that sound together."""
    PLAYER = "player"
    """The player says so."""


LEAST_TOLD: Final = Fraction(1, 2)
"""A chord that is less certain has a name with a question mark, but tells nothing of its notes."""


@dataclass(frozen=True, slots=True)
class Chord:
    """What sounds together, named."""

    root: PitchClass | None
    """None where there is no chord ("N.C.", or notes that make none)."""
    kind: str = "none"
    """A MusicXML 4.0 ``kind-value``."""
    tones: tuple[ChordTone, ...] = ()
    """With degrees added, altered and taken away; ascending, the root first if it belongs."""
    bass: PitchClass | None = None
    """The lowest tone where it is not the root."""
    suffix: str = ""
    """What is printed after the root, such as "m7(b5)"; empty for a major triad."""
    source: Source = Source.SYMBOL
    certainty: Fraction = Fraction(1)
    """0 to 1: how far the notes speak for this reading; 1 where it was said."""
    zero: ChordTone = ChordTone(1)
    """The tone from which the others are tuned, itself where the tuner has it."""
    natural: bool = False
    """Whether the seventh of a dominant is tuned as 7:4."""

    @property
    def is_told(self) -> bool:
        """Whether it is certain enough to say what a note does in it."""
        return self.root is not None and self.certainty >= LEAST_TOLD

    def moved(self, by: Transposition) -> Chord:
        """The same chord on the root that is moved as a player of ``by`` sounds."""
        if self.root is None:
            return self
        bass = None if self.bass is None else self.bass.moved(by)
        return replace(self, root=self.root.moved(by), bass=bass)

    def __str__(self) -> str:
        if self.root is None:
            return "N.C."
        return f"{self.root}{self.suffix}{f'/{self.bass}' if self.bass else ''}"


NO_CHORD: Final = Chord(None)


@dataclass(frozen=True, slots=True)
class Harmony:
    """A chord from one time to another."""

    start: Fraction
    """Quarters on the common time line of the parts (of one part alone: from its start)."""
    end: Fraction
    chord: Chord


@dataclass(frozen=True, slots=True)
class Heard:
    """A note as it sounds, for the analysis of what sounds together."""

    start: Fraction
    """Quarters on the common time line."""
    end: Fraction
    pitch: Pitch
    """Sounding, as its player's spelling becomes in concert pitch."""
    part: int = 0
    """Index of the part that plays it."""


class Role(StrEnum):
    """What a note does in the chord that sounds (common practice; terms of harmony books)."""

    CHORD_TONE = "chord tone"
    PASSING = "passing"
    NEIGHBOUR = "neighbour"
    SUSPENSION = "suspension"
    ANTICIPATION = "anticipation"
    APPOGGIATURA = "appoggiatura"
    ESCAPE = "escape"
    PEDAL = "pedal"
    OTHER = "other"
    """None of these."""
    NO_CHORD = "no chord"


@dataclass(frozen=True, slots=True)
class NoteFunction:
    """What one note does in the chord that sounds where it begins."""

    role: Role
    tone: ChordTone | None
    """As counted from the root, also for a note that is not of the chord; None without chord."""
    label: str
    """For print: "R", "3", "b3", "#11", "p", "n", "sus" ..."""
    words: str
    """The same in words: "root", "minor third", "raised eleventh", "passing note"."""
