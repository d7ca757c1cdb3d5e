"""Chord symbols: from what a part prints to what sounds, the way back, and what a player types.

Conventions.  A symbol's names are written for its part; a Chord sounds.  Degrees
follow the W3C MusicXML 4.0 schema (``degree-alter``): an added degree counts from
a dominant chord, so that an added 7 is minor; an altered one from the tone that
the kind has.  An altered fifth that is added to a perfect one takes its place unless
the symbol prints "add": no usual chord has both (beside a perfect fifth they are #11
and b13), but programs write "add" for C7(b5) too (common practice; so does music21).
A degree that is to be altered but is not there is added; one that is to be taken away
but is not there changes nothing, nor does one that would be altered by more than three
semitones.  Microtones count as the nearest semitone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.harmony.chord import NO_CHORD, Chord, ChordTone, Harmony, PitchClass, Source
from drills.harmony.kinds import KINDS, Kind
from drills.harmony.suffixes import Change, changes, chord_named, read_suffix
from drills.music.lines import bar_starts
from drills.music.pitch import CONCERT, LARGEST_ALTER, STEPS, Transposition
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
        prints_add = "add" in symbol.text
        tones = _with_degrees(KINDS[symbol.kind].tones, symbol.degrees, literal=prints_add)
        return chord_named(root, symbol.kind, tones, bass)
    try:
        kind, tones = read_suffix(symbol.text)
    except ValueError:
        alone = None if bass == root else bass
        return Chord(root, "other", KINDS["other"].tones, alone, symbol.text)
    return chord_named(root, kind, tones, bass)


def _with_degrees(
    tones: Iterable[ChordTone], degrees: Iterable[ChordDegree], *, literal: bool
) -> tuple[ChordTone, ...]:
    """The tones after each degree in turn has been added, altered or taken away.

    ``literal``: an added fifth stands beside the chord's own.
    """
    found = list(tones)
    for degree in degrees:
        own = [tone for tone in found if tone.number == degree.number]
        if degree.kind == "subtract":
            found = [tone for tone in found if tone not in own]
            continue
        meant = own == [_PERFECT_FIFTH] and degree.alter and not literal
        replaces = degree.kind == "alter" or meant
        altered = own and replaces
        from_alter = own[0].alter if altered else _in_dominant(degree.number)
        tone = ChordTone(degree.number, from_alter + round(degree.alter))
        if abs(tone.alter) > LARGEST_ALTER or tone in found:
            continue
        if altered:
            found.remove(own[0])
        found.append(tone)
    return tuple(found)


_PERFECT_FIFTH: Final = ChordTone(5)


def _in_dominant(number: int) -> int:
    """How a degree that is added is altered before its own alteration."""
    return -1 if number == 7 else 0


def symbol_of(chord: Chord, start: Position, transposition: Transposition) -> ChordSymbol:
    """The symbol that a part of ``transposition`` reads for a chord that sounds.

    The root is respelled where the part's interval makes the chord harder to read
    than it is in concert pitch (F#7 would be D#7, with an F double sharp, for an alto
    saxophone: Eb7); the bass follows it.  The text holds the whole suffix wherever
    the kind alone does not say it.
    """
    if chord.root is None:
        return ChordSymbol(start, "", "none")
    root = _readable(chord, chord.root.moved(CONCERT - transposition))
    bass = "" if chord.bass is None else str(_beside(chord, chord.bass, root))
    kind = KINDS[chord.kind]
    degrees = tuple(_degree(change, kind) for change in changes(kind.tones, chord.tones))
    text = "" if chord.suffix == kind.suffix else chord.suffix
    return ChordSymbol(start, str(root), chord.kind, text, bass, degrees)


def _degree(change: Change, kind: Kind) -> ChordDegree:
    """A change of the kind as a degree, which the symbol's text prints already."""
    number, alter = change.tone.number, change.tone.alter
    if change.how == "subtract":
        relative = 0
    elif change.how == "add":
        relative = alter - _in_dominant(number)
    else:
        relative = alter - next(tone.alter for tone in kind.tones if tone.number == number)
    return ChordDegree(number, Fraction(relative), change.how, printed=False)


_RARE: Final = ("Cb", "Fb", "E#", "B#")
_PLAIN: Final = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
"""The name by which each semitone is read most easily (common practice)."""


def _readable(chord: Chord, root: PitchClass) -> PitchClass:
    """A root written for a part, or the plain name of its sound where that reads more easily."""
    if chord.root is None:
        raise ValueError("there is no chord to write")
    plain = PitchClass.parse(_PLAIN[root.semitone])
    sounding, written, instead = (_hard_names(chord, name) for name in (chord.root, root, plain))
    too_far = abs(root.alter) > MOST_SIGNS
    return plain if too_far or (instead < written and sounding < written) else root


MOST_SIGNS: Final = 2
"""Sharps or flats that a name may have in MusicXML's usual readers."""


def _hard_names(chord: Chord, root: PitchClass) -> int:
    """How many tones and basses on that root need a double sharp or flat, Cb, Fb, E# or B#."""
    names = [root.above(tone.number, tone.alter) for tone in chord.tones]
    if chord.bass is not None:
        names.append(_beside(chord, chord.bass, root))
    return sum(abs(name.alter) > 1 or str(name) in _RARE for name in names)


def _beside(chord: Chord, bass: PitchClass, root: PitchClass) -> PitchClass:
    """The chord's bass at the same interval from another root, if that can be written."""
    if chord.root is None:
        raise ValueError("there is no chord to count from")
    number = (STEPS.index(bass.step) - STEPS.index(chord.root.step)) % 7 + 1
    natural = chord.root.above(number, 0)
    found = root.above(number, bass.alter - natural.alter)
    return PitchClass.parse(_PLAIN[found.semitone]) if abs(found.alter) > MOST_SIGNS else found


# What a player types

_TYPED: Final = re.compile(r"([A-G](?:bb|##|[b#♭♯])?)(.*?)(?:/([A-G](?:bb|##|[b#♭♯])?))?")
_NO_CHORD: Final = re.compile(r"n\.?c\.?|nochord", re.IGNORECASE)


def parse_chord(text: str) -> Chord:
    """A chord as a player types it, in concert pitch: ``Bbm7b5``, ``F#maj7/A#``, ``N.C.``.

    Root, kind, degrees in a bracket or without, bass after a slash; spaces do not
    matter.  What ``str`` makes of a chord is read back as the same chord.  Raises
    UsageError for what cannot be read.
    """
    said = "".join(text.split())
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
            f"chord {text!r}: {problem}; write the root, a kind such as m7, maj7, dim7 or sus4, "
            "degrees in one bracket and the bass after a slash, as in C7(b9,#11)/E"
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
        for start, following in zip(starts, [*starts, end][1:], strict=True)
    )
