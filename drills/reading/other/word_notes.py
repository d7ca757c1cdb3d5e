"""Note heads in words, and what to say of a word that is none."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from drills.music.pitch import Pitch

_TONE: Final = re.compile(r"([A-Ga-g])(##|bb|[#bx♯♭])?(-?\d{1,2})?")
_OCTAVES: Final = range(10)
ACCIDENTALS: Final = {
    "": 0,
    "#": 1,
    "♯": 1,
    "b": -1,
    "♭": -1,
    "##": 2,
    "x": 2,
    "bb": -2,
}
"""Semitones of the signs that a name may have."""


class BadWordError(ValueError):
    """A word that cannot be read; the message says which, where and what to write."""


def read_tone(head: str) -> tuple[Pitch, bool]:
    """The pitch that ``bb4`` names, and whether it has a sign; ValueError says what is wrong."""
    found = _TONE.fullmatch(head)
    if found is None:
        raise ValueError(not_a_note(head))
    step, accidental, octave = found.groups()
    if octave is None:
        raise ValueError(f"has no octave; write {head}4 or {head}5 (c4 is middle C)")
    if int(octave) not in _OCTAVES:
        raise ValueError("lies outside the octaves 0 to 9 (c4 is middle C)")
    alter = Fraction(ACCIDENTALS[accidental or ""])
    return Pitch(step.upper(), alter, int(octave)), bool(accidental)


def not_a_note(word: str) -> str:
    """Why a word is no note, and what to write."""
    if re.fullmatch(r"[hH](is|#|b)?-?\d?", word):
        return "h is no note here; B natural is b, B flat is bb"
    if re.fullmatch(r"[A-Ga-g](is|es|s)-?\d?", word):
        return f"write # or b for the accidental, such as {word[0]}#5 or {word[0]}b5"
    return (
        "is no note, length or bar line; a note is c5, f#5 or bb4, a length 16ths, eighth or "
        "dotted quarter, a rest r"
    )


def in_quarters(amount: Fraction) -> str:
    """``3 1/2 quarters``."""
    whole, part = divmod(amount, 1)
    text = f"{whole} {part}" if whole and part else str(part or whole)
    return f"{text} quarter{'' if amount == 1 else 's'}"
