"""Chord symbols: from what a part prints to what sounds, the way back, and what a player types.

Conventions.  A symbol's names are written for its part; a Chord sounds.  Degrees
follow the W3C MusicXML 4.0 schema (``degree-alter``): an added degree counts from
a dominant chord, so that an added 7 is minor; an altered one from the tone that
the kind has.  A degree that is to be altered but is not there is added; one that
is to be taken away but is not there changes nothing.  Microtones of a degree
count as the nearest semitone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.harmony.chord import NO_CHORD, Chord, ChordTone, Harmony, PitchClass, Source
from drills.harmony.kinds import KINDS
from drills.harmony.suffixes import Change, changes, chord_named, read_suffix
from drills.lines import bar_starts
from drills.music.pitch import STEPS, Transposition
from drills.music.score import ChordDegree, ChordSymbol, Part
from drills.music.time import Position


def chord_of(symbol: ChordSymbol, transposition: Transposition) -> Chord:
    """The chord that sounds where a part of ``transposition`` reads the symbol.

    A kind "other" without degrees is read by the text that the score prints; where
    that says nothing either, only the root is known.
    """
    if not symbol.root or symbol.kind == "none":
        return NO_CHORD
    root = PitchClass.parse(symbol.root).moved(transposition)
    bass = PitchClass.parse(symbol.bass).moved(transposition) if symbol.bass else None
    if symbol.kind != "other" or symbol.degrees or not symbol.text:
        tones = _with_degrees(KINDS[symbol.kind].tones, symbol.degrees)
        return chord_named(root, symbol.kind, tones, bass)
    try:
        kind, tones = read_suffix(symbol.text)
    except ValueError:
        alone = None if bass == root else bass
        return Chord(root, "other", KINDS["other"].tones, alone, symbol.text)
    return chord_named(root, kind, tones, bass)


def _with_degrees(
    tones: Iterable[ChordTone], degrees: Iterable[ChordDegree]
) -> tuple[ChordTone, ...]:
    """The tones after each degree in turn has been added, altered or taken away."""
    found = list(tones)
    for degree in degrees:
        own = [tone for tone in found if tone.number == degree.number]
        if degree.kind == "subtract":
            found = [tone for tone in found if tone.number != degree.number]
        elif degree.kind == "alter" and own:
            found.remove(own[0])
            found.append(ChordTone(degree.number, own[0].alter + round(degree.alter)))
        else:
            found.append(
                ChordTone(degree.number, _in_dominant(degree.number) + round(degree.alter))
            )
    return tuple(found)


def _in_dominant(number: int) -> int:
    """How a degree that is added is altered before its own alteration."""
    return -1 if number == 7 else 0


def symbol_of(chord: Chord, start: Position, transposition: Transposition) -> ChordSymbol:
    """The symbol that a part of ``transposition`` reads for a chord that sounds.

    The root is respelled where the part's interval would make a double sharp or
    flat, or a Cb, Fb, E# or B#, of a plain name; the bass follows it.
    """
    if chord.root is None:
        return ChordSymbol(start, "", "none")
    back = Transposition(-transposition.diatonic, -transposition.chromatic)
    root = _readable(chord.root.moved(back), chord.root)
    bass = (
        "" if chord.bass is None else str(_readable(_beside(chord, chord.bass, root), chord.bass))
    )
    degrees = tuple(
        _degree(change, chord.kind) for change in changes(KINDS[chord.kind].tones, chord.tones)
    )
    if chord.kind == "other" and not degrees:
        return ChordSymbol(start, str(root), "other", chord.suffix.strip(), bass)
    return ChordSymbol(start, str(root), chord.kind, "", bass, degrees)


def _degree(change: Change, kind: str) -> ChordDegree:
    number, alter = change.tone.number, change.tone.alter
    if change.how == "add":
        return ChordDegree(number, Fraction(alter - _in_dominant(number)), "add")
    if change.how == "subtract":
        return ChordDegree(number, Fraction(0), "subtract")
    own = next(tone for tone in KINDS[kind].tones if tone.number == number)
    return ChordDegree(number, Fraction(alter - own.alter), "alter")


_RARE: Final = ("Cb", "Fb", "E#", "B#")
_PLAIN: Final = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
"""The name by which each semitone is read most easily (common practice)."""


def _readable(written: PitchClass, sounding: PitchClass) -> PitchClass:
    """The name, or a plain one of the same sound where transposing has made it hard to read."""
    hard = abs(written.alter) > 2 or (_is_hard(written) and not _is_hard(sounding))
    return PitchClass.parse(_PLAIN[written.semitone]) if hard else written


def _is_hard(name: PitchClass) -> bool:
    return abs(name.alter) > 1 or str(name) in _RARE


def _beside(chord: Chord, bass: PitchClass, root: PitchClass) -> PitchClass:
    """The chord's bass at the same interval from another root."""
    if chord.root is None:
        raise ValueError("there is no chord to count from")
    number = (STEPS.index(bass.step) - STEPS.index(chord.root.step)) % 7 + 1
    natural = chord.root.above(number, 0)
    return root.above(number, bass.alter - natural.alter)


# What a player types

_TYPED: Final = re.compile(r"([A-G](?:bb|##|[b#♭♯])?)(.*?)(?:/([A-G](?:bb|##|[b#♭♯])?))?")
_NO_CHORD: Final = re.compile(r"n\.?\s?c\.?|no chord", re.IGNORECASE)


def parse_chord(text: str) -> Chord:
    """A chord as a player types it, in concert pitch: ``Bbm7b5``, ``F#maj7/A#``, ``N.C.``.

    Root, kind, degrees in a bracket or without, bass after a slash; spaces do not
    matter.  What ``str`` makes of a chord is read back as the same chord.  Raises
    UsageError for what cannot be read.
    """
    said = text.strip()
    if _NO_CHORD.fullmatch(said):
        return Chord(None, source=Source.PLAYER)
    found = _TYPED.fullmatch(said)
    if found is None:
        raise UsageError(
            f"chord {text!r}: it does not begin with a root; write a capital letter from "
            "A to G, with # or b where needed, as in Bbm7 (or N.C. for no chord)"
        )
    try:
        kind, tones = read_suffix(found[2])
    except ValueError as problem:
        raise UsageError(
            f"chord {text!r}: {str(problem)!r} after the root {found[1]} is not understood; "
            "write a kind such as m7, maj7, dim7 or sus4, then degrees in a bracket, "
            "as in C7(b9,#11), then the bass, as in C7/E"
        ) from None
    bass = _name(found[3]) if found[3] else None
    return chord_named(_name(found[1]), kind, tones, bass, source=Source.PLAYER)


def _name(typed: str) -> PitchClass:
    return PitchClass.parse(typed.replace("♭", "b").replace("♯", "#"))


# A part's symbols on its time line


def symbol_harmonies(part: Part) -> tuple[Harmony, ...]:
    """The part's chord symbols as chords that sound, each up to the next or the part's end.

    Quarters from the start of the part.  A bar without a symbol keeps the chord
    before it; "no chord" ends one and stands as a Harmony of its own, so that it
    can be told from a place that no symbol speaks of.  Repeated bars count once,
    as printed; of two symbols at one place the last is kept.
    """
    placed: dict[Fraction, Chord] = {}
    for bar, base in zip(part.bars, bar_starts(part), strict=True):
        for symbol in bar.chords:
            chord = chord_of(symbol, bar.instrument.transposition)
            placed[base + symbol.start.quarters] = chord
    end = sum((bar.length.quarters for bar in part.bars), Fraction(0))
    starts = sorted(start for start in placed if start < end)
    return tuple(
        Harmony(start, following, placed[start])
        for start, following in zip(starts, [*starts[1:], end], strict=True)
    )
