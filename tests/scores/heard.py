"""The demo scores as music21 reads them, at sounding pitch: an ear of its own.

Neither the program that writes the scores nor the project's reader has a part
in it.  Times are quarters, exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Final

from lxml import etree
from music21 import converter
from music21.stream import Score

FOLDER: Final = Path(__file__).parents[2] / "scores"
NAMES: Final = ("march", "air", "swing")


def path_of(name: str) -> Path:
    """The file of a score."""
    return FOLDER / f"{name}.musicxml"


@cache
def document(name: str) -> etree._Element:
    """The XML of a score."""
    return etree.parse(str(path_of(name)), etree.XMLParser(no_network=True)).getroot()


@cache
def parsed(name: str) -> Score:
    """The score as music21 has it, written pitches."""
    return converter.parse(path_of(name), format="musicxml", forceSource=True)


@cache
def sounding(name: str) -> Score:
    """The same at sounding pitch; chord symbols move with their part."""
    written = converter.parse(path_of(name), format="musicxml", forceSource=True)
    return written.toSoundingPitch()


@dataclass(frozen=True)
class Tone:
    """A note that sounds."""

    part: str
    start: Fraction
    """Quarters from the start of the piece."""
    end: Fraction
    midi: int


@dataclass(frozen=True)
class Beat:
    """A strong beat, what sounds on it and the chord over it."""

    bar: int
    number: int
    chord: str
    chord_tones: frozenset[int]
    """Pitch classes, 0 for C."""
    tones: tuple[Tone, ...]

    def __str__(self) -> str:
        return f"bar {self.bar}, beat {self.number}, {self.chord}"


def tones(name: str) -> list[Tone]:
    """Every note of every part, grace notes left out."""
    found = []
    for part in sounding(name).parts:
        for note in part.flatten().notes:
            if note.isNote and not note.duration.isGrace:
                start = Fraction(note.offset)
                end = start + Fraction(note.duration.quarterLength)
                found.append(Tone(part.partName, start, end, int(note.pitch.midi)))
    return found


STRONG: Final = {"4/4": (1, 3), "6/8": (1, 2), "5/4": (1, 4), "3/4": (1,)}
"""Strong beats of the time signatures in the scores (common practice; 5/4 is 3 + 2)."""


@cache
def strong_beats(name: str) -> tuple[Beat, ...]:
    """The strong beats of a score with what sounds on each."""
    first = sounding(name).parts[0]
    symbols = sorted(first.flatten().getElementsByClass("ChordSymbol"), key=lambda s: s.offset)
    everything = tones(name)
    found = []
    for measure in first.getElementsByClass("Measure"):
        if measure.timeSignature is not None:
            strong = STRONG[measure.timeSignature.ratioString]
            length = Fraction(measure.timeSignature.beatDuration.quarterLength)
        for number in strong if measure.number else ():
            at = Fraction(measure.offset) + (number - 1) * length
            symbol = [symbol for symbol in symbols if symbol.offset <= at][-1]
            heard = tuple(tone for tone in everything if tone.start <= at < tone.end)
            classes = frozenset(pitch.pitchClass for pitch in symbol.pitches)
            found.append(Beat(measure.number, number, symbol.figure, classes, heard))
    return tuple(found)
