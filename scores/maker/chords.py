"""Chord symbols: how the source writes a kind, and what MusicXML calls it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of chord."""

    name: str
    """MusicXML 4.0 ``kind-value``."""
    degrees: tuple[tuple[int, int, str], ...] = ()
    """Number, alteration in semitones and type of each degree besides the kind's own."""


KINDS: Final = {
    "": Kind("major"),
    "m": Kind("minor"),
    "7": Kind("dominant"),
    "m7": Kind("minor-seventh"),
    "maj7": Kind("major-seventh"),
    "6": Kind("major-sixth"),
    "m6": Kind("minor-sixth"),
    "9": Kind("dominant-ninth"),
    "m9": Kind("minor-ninth"),
    "13": Kind("dominant-13th"),
    "dim": Kind("diminished"),
    "dim7": Kind("diminished-seventh"),
    "m7b5": Kind("half-diminished"),
    "sus4": Kind("suspended-fourth"),
    "7sus4": Kind("suspended-fourth", ((7, -1, "add"),)),
    "7b9": Kind("dominant", ((9, -1, "add"),)),
    "6/9": Kind("major-sixth", ((9, 0, "add"),)),
}
"""Suffix of a chord symbol in the source -> its kind."""
