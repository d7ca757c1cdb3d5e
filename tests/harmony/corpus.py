"""Scores with the chords that somebody named in them, as plain values, read by music21.

The chorales and their analyses come with music21 (``corpus/bach``): those in
``choraleAnalyses`` are Roman numerals of the first twenty chorales in Riemenschneider's
numbering by Andrew Jones and Dmitri Tymoczko, proofread, as their headers say.  The demo
music is our own, its chord symbols those of who composed it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path

from music21 import converter, corpus, harmony, stream
from music21.corpus.chorales import ChoraleListRKBWV

from drills.harmony.chord import Heard
from drills.music.grid import GridBar
from drills.music.pitch import Pitch
from drills.music.time import ZERO, Length, TimeSignature


@dataclass(frozen=True, slots=True)
class Piece:
    """A score as the reading of harmonies takes it."""

    name: str
    notes: tuple[Heard, ...]
    bars: tuple[GridBar, ...]


@dataclass(frozen=True, slots=True)
class Analysed:
    """A chord of an analysis."""

    start: Fraction
    end: Fraction
    figure: str
    """As written, such as ``V6/5 in G major``."""
    root: int
    """0 to 11 above C."""
    classes: frozenset[int]


def piece(name: str, score: stream.Score) -> Piece:
    """A music21 score as plain values.

    A bar of any part begins where that of the first part does: some files of the corpus
    have a bar that one part fills and another does not, and would drift apart.
    """
    notes = []
    first = list(score.parts[0].getElementsByClass("Measure"))
    for index, part in enumerate(score.parts):
        measures = list(part.getElementsByClass("Measure"))
        if len(measures) != len(first):
            raise ValueError(f"{name}: its parts have {len(first)} and {len(measures)} bars")
        for own, measure in zip(first, measures, strict=True):
            for note in measure.flatten().notes:
                start = _exact(own.offset) + _exact(note.offset)
                end = start + _exact(note.duration.quarterLength)
                for pitch in note.pitches:
                    alter = Fraction(pitch.alter)
                    notes.append(Heard(start, end, Pitch(pitch.step, alter, pitch.octave), index))
    return Piece(name, tuple(notes), tuple(_bars(score.parts[0])))


def _exact(value: float | Fraction) -> Fraction:
    return Fraction(value).limit_denominator(1000)


def _bars(part: stream.Part) -> Iterator[GridBar]:
    """The bars; what lacks at the start of a pickup, or of the rest of a split bar, is offset."""
    time, before = None, None
    for measure in part.getElementsByClass("Measure"):
        if measure.timeSignature is not None:
            time = TimeSignature.parse(measure.timeSignature.ratioString)
        assert time is not None
        lasts = Length(_exact(measure.duration.quarterLength))
        offset = ZERO
        if lasts < time.bar_length and before is None:
            offset = time.bar_length - lasts
        elif before is not None and before.length + lasts == time.bar_length and not before.offset:
            offset = before.length
        before = GridBar(_exact(measure.offset), lasts, time, offset)
        yield before


def analysed_chorale(number: int) -> tuple[Piece, tuple[Analysed, ...]]:
    """A chorale by Riemenschneider's number, with its analysis in the key of the score.

    Some analyses stand in another key than the score of the corpus: they are moved by
    the semitones that make most of the notes tones of their chords.
    """
    bwv = _index()[number]["bwv"]
    score = piece(f"R. {number}, BWV {bwv}", corpus.parse(f"bach/bwv{bwv}"))
    numerals = corpus.parse(f"bach/choraleAnalyses/riemenschneider{number:03d}")
    analysis = _analysis(numerals)
    shares = explained(score, analysis)
    moved = shares.index(max(shares))
    return score, tuple(_moved(one, moved) for one in analysis)


def madrigal(name: str) -> tuple[Piece, tuple[Analysed, ...]]:
    """A madrigal of Monteverdi's by book and number ("3.14"), with its analysis."""
    score = piece(f"madrigal {name}", corpus.parse(f"monteverdi/madrigal.{name}.mxl"))
    return score, tuple(_analysis(corpus.parse(f"monteverdi/madrigal.{name}.rntxt")))


def _analysis(numerals: stream.Score) -> list[Analysed]:
    found = []
    for numeral in numerals.flatten().getElementsByClass("RomanNumeral"):
        start = _exact(numeral.offset)
        end = start + _exact(numeral.duration.quarterLength)
        classes = frozenset(pitch.pitchClass for pitch in numeral.pitches)
        figure = f"{numeral.figure} in {numeral.key}"
        found.append(Analysed(start, end, figure, numeral.root().pitchClass, classes))
    return found


def _moved(one: Analysed, by: int) -> Analysed:
    classes = frozenset((semitone + by) % 12 for semitone in one.classes)
    return Analysed(one.start, one.end, one.figure, (one.root + by) % 12, classes)


def explained(score: Piece, analysis: Sequence[Analysed]) -> list[Fraction]:
    """The share of the sound that the analysis names, if moved by 0 to 11 semitones."""
    own, whole = [Fraction(0)] * 12, Fraction(0)
    for one in analysis:
        for note in score.notes:
            shared = min(one.end, note.end) - max(one.start, note.start)
            if shared > 0:
                whole += shared
                for semitone in one.classes:
                    own[(round(note.pitch.midi) - semitone) % 12] += shared
    return [part / whole for part in own]


@cache
def _index() -> dict[int, dict[str, object]]:
    """The chorales by Riemenschneider's number."""
    found: dict[int, dict[str, object]] = ChoraleListRKBWV().byRiemenschneider
    return found


@dataclass(frozen=True, slots=True)
class Vertical:
    """A chord that sounds complete and unmoved, as music21 names it."""

    start: Fraction
    end: Fraction
    root: int
    classes: frozenset[int]


def chorales_by_twenties() -> Iterator[tuple[Piece, tuple[Vertical, ...]]]:
    """Every chorale whose BWV number is a multiple of twenty, with its still chords."""
    known = {str(row["bwv"]) for row in _index().values()}
    numbers = {bwv: [int(part) for part in re.findall(r"\d+", bwv)] for bwv in known}
    for bwv in sorted(known, key=lambda bwv: (numbers[bwv], bwv)):
        if numbers[bwv][0] % 20 == 0:
            score = corpus.parse(f"bach/bwv{bwv}")
            yield piece(f"BWV {bwv}", score), tuple(_verticals(score))


def _verticals(score: stream.Score) -> Iterator[Vertical]:
    """Triads and sevenths that sound for a quarter or longer while nothing moves."""
    for chord in score.chordify().flatten().getElementsByClass("Chord"):
        start, lasts = _exact(chord.offset), _exact(chord.duration.quarterLength)
        if lasts >= 1 and (chord.isTriad() or chord.isSeventh()):
            classes = frozenset(pitch.pitchClass for pitch in chord.pitches)
            yield Vertical(start, start + lasts, chord.root().pitchClass, classes)


def demo(path: Path) -> tuple[Piece, tuple[Analysed, ...]]:
    """A score with chord symbols, sounding, and what they say."""
    score = converter.parse(path, forceSource=True).toSoundingPitch()
    symbols = {}
    for symbol in list(score.recurse().getElementsByClass("ChordSymbol")):
        symbols[_exact(symbol.getOffsetInHierarchy(score))] = symbol
        symbol.activeSite.remove(symbol)
    read = piece(path.stem, score)
    starts = sorted(symbols)
    ends = [*starts[1:], max(note.end for note in read.notes)]
    return read, tuple(
        _symbol(start, end, symbols[start]) for start, end in zip(starts, ends, strict=True)
    )


def _symbol(start: Fraction, end: Fraction, symbol: harmony.ChordSymbol) -> Analysed:
    classes = frozenset(pitch.pitchClass for pitch in symbol.pitches)
    return Analysed(start, end, symbol.figure, symbol.root().pitchClass, classes)
