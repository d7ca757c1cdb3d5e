"""Single words of LilyPond: strings from strangers, pitches, values, clefs, keys.

Problem.  LilyPond runs Scheme, and Scheme runs anything; so nothing that a
score or a player says may reach LilyPond other than inside a quoted string.
Method.  ``ly_string`` replaces what LilyPond's reader or Pango refuse (control
characters, line and paragraph separators, byte-order marks, lone surrogates)
and escapes the two characters that mean something inside quotes.  Everything
else in this module is built from numbers and from the tables below.

Notation follows the LilyPond 2.24 Notation Reference: note names in the
default language (``fis``, ``bes``; quarter tones ``cih``, ``ceh``), absolute
octaves (middle C is ``c'``).
"""

from __future__ import annotations

import unicodedata
from fractions import Fraction
from typing import Final

from drills.music.pitch import STEPS, KeySignature, Pitch, Tone, Unpitched
from drills.music.score import Bar, Clef
from drills.music.time import START, Length, NoteValue, TimeSignature


class LilyPond(str):
    """Text that is LilyPond already, built by this package; templates print it as it is."""

    __slots__ = ()


NOTHING: Final = LilyPond()

REPLACEMENT: Final = "\N{REPLACEMENT CHARACTER}"

_BLANKS: Final = frozenset("\u2028\u2029\ufeff")
"""Printed as nothing, but read as a new line or refused: they become a space."""

ALTERATIONS: Final = {
    Fraction(-2): "eses",
    Fraction(-3, 2): "eseh",
    Fraction(-1): "es",
    Fraction(-1, 2): "eh",
    Fraction(0): "",
    Fraction(1, 2): "ih",
    Fraction(1): "is",
    Fraction(3, 2): "isih",
    Fraction(2): "isis",
}
"""LilyPond's default note-name endings by semitones."""

DURATIONS: Final = {
    "maxima": r"\maxima",
    "long": r"\longa",
    "breve": r"\breve",
    "whole": "1",
    "half": "2",
    "quarter": "4",
    "eighth": "8",
    "16th": "16",
    "32nd": "32",
    "64th": "64",
    "128th": "128",
    "256th": "256",
    "512th": "512",
    "1024th": "1024",
}
"""LilyPond's name of each note value."""

CLEFS: Final = {
    ("G", 1): "french",
    ("G", 2): "treble",
    ("F", 3): "varbaritone",
    ("F", 4): "bass",
    ("F", 5): "subbass",
    ("C", 1): "soprano",
    ("C", 2): "mezzosoprano",
    ("C", 3): "alto",
    ("C", 4): "tenor",
    ("C", 5): "baritone",
    ("percussion", 0): "percussion",
}
"""LilyPond's clef by sign and line; the percussion clef has no line."""

_USUAL_LINE: Final = {"G": 2, "F": 4, "C": 3}
_OCTAVE_FIGURE: Final = {-2: "_15", -1: "_8", 0: "", 1: "^8", 2: "^15"}


def _safe(character: str) -> str:
    """One character as LilyPond may print it."""
    if character in _BLANKS or unicodedata.category(character) == "Cc":
        return " "
    if unicodedata.category(character) == "Cs":
        return REPLACEMENT
    return character


def clean(text: str) -> str:
    """``text`` without what cannot be printed, on one line."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_safe(character) for character in text)


def shortened(text: str, longest: int) -> str:
    """``text`` without outer blanks, cut after ``longest`` characters with an ellipsis."""
    plain = " ".join(clean(text).split())
    return plain if len(plain) <= longest else f"{plain[: longest - 1].rstrip()}…"


def ly_string(text: str) -> LilyPond:
    r"""A quoted LilyPond string that reads as ``text``: ``say "hi"`` -> ``"say \"hi\""``."""
    escaped = clean(text).replace("\\", "\\\\").replace('"', '\\"')
    return LilyPond(f'"{escaped}"')


def comment(text: str) -> LilyPond:
    """``text`` for a one-line LilyPond comment; it never opens a block comment."""
    return LilyPond(clean(text).replace("{", "(").replace("}", ")"))


def pitch(tone: Tone) -> str:
    """A tone's absolute LilyPond name; a drum is named by where its head stands.

    LilyPond spells in quarter tones up to a double sharp or flat: a finer
    microtone goes to the nearest quarter tone, a triple alteration to the
    neighbouring step.
    """
    if isinstance(tone, Unpitched):
        return tone.step.lower() + _octave(tone.octave)
    near = _within_double(tone)
    return near.step.lower() + ALTERATIONS[near.alter] + _octave(near.octave)


def _octave(octave: int) -> str:
    """Octave marks: C3 has none, middle C has one tick."""
    return "'" * (octave - 3) if octave >= 3 else "," * (3 - octave)


def _within_double(tone: Pitch) -> Pitch:
    """``tone`` in whole quarter tones, respelled where it is altered more than twice."""
    alter = Fraction(round(tone.alter * 2), 2)
    if abs(alter) <= 2:
        return Pitch(tone.step, alter, tone.octave)
    octave, index = divmod(tone.diatonic + (1 if alter > 0 else -1), 7)
    neighbour = Pitch(STEPS[index], Fraction(0), octave)
    exact = Pitch(tone.step, alter, tone.octave)
    return Pitch(STEPS[index], exact.midi - neighbour.midi, octave)


def value(written: NoteValue) -> str:
    """A note value with its dots: ``8.``."""
    return DURATIONS[written.kind] + "." * written.dots


def scaled(length: Length) -> str:
    """Any length as a scaled whole note, for skips, syllables and whole-bar rests: ``1*3/4``."""
    wholes = length.quarters / 4
    if wholes == 1:
        return "1"
    return f"1*{wholes.numerator}" + (f"/{wholes.denominator}" if wholes.denominator > 1 else "")


def real_length(bar: Bar) -> Length:
    """The bar's length, or more where an exporter left an event hanging out of it."""
    events = bar.voices[0].events if bar.voices else ()
    if not events:
        return bar.length
    last = events[-1]  # what one voice plays never overlaps
    return max(bar.length, last.start + last.length - START)


def moment(length: Length) -> str:
    """A length as a Scheme moment."""
    wholes = length.quarters / 4
    return f"#(ly:make-moment {wholes.numerator}/{wholes.denominator})"


def clef(wanted: Clef) -> str:
    """The command for a clef.

    A clef on a line that LilyPond does not name stands on its usual line, and
    tablature and "none" read as treble: the pitches stay as they are.
    """
    if wanted.sign == "percussion":
        centre = r"\set Staff.middleCClefPosition = -6 \set Staff.middleCPosition = -6"
        return rf"\clef percussion {centre}"
    sign = wanted.sign if wanted.sign in _USUAL_LINE else "G"
    name = CLEFS.get((sign, wanted.line), CLEFS[sign, _USUAL_LINE[sign]])
    return rf'\clef "{name}{_OCTAVE_FIGURE.get(wanted.octave_change, "")}"'


def key(signature: KeySignature) -> str:
    """The command for a key signature (printed alike for major and minor)."""
    if signature.custom:
        pairs = " ".join(f"({STEPS.index(step)} . {alter / 2})" for step, alter in signature.custom)
        return rf"\set Staff.keyAlterations = #'({pairs})"
    tonic_fifths = signature.fifths + 1
    step = "FCGDAEB"[tonic_fifths % 7]
    alter = max(-2, min(2, tonic_fifths // 7))
    return rf"\key {step.lower()}{ALTERATIONS[Fraction(alter)]} \major"


def time(signature: TimeSignature) -> str:
    """The command for a time signature, with the sign where the score prints one."""
    if len(signature.counts) > 1:
        counts = " ".join(str(count) for count in signature.counts)
        return rf"\compoundMeter #'(({counts} {signature.unit}))"
    sign = r"\once \override Staff.TimeSignature.style = #'C " if signature.symbol else ""
    return rf"{sign}\time {signature.count}/{signature.unit}"
