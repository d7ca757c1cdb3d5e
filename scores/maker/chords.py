"""Chord symbols: how the source writes a kind, and what MusicXML calls it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of chord."""

    name: str
    """MusicXML 4.0 ``kind-value``."""
    text: str
    """What is printed for it."""
    flat_ninth: bool = False
    """A flat ninth is added."""


KINDS: Final = {
    "": Kind("major", ""),
    "m": Kind("minor", "m"),
    "6": Kind("major-sixth", "6"),
    "m6": Kind("minor-sixth", "m6"),
    "7": Kind("dominant", "7"),
    "m7": Kind("minor-seventh", "m7"),
    "dim7": Kind("diminished-seventh", "dim7"),
    "9": Kind("dominant-ninth", "9"),
    "7b9": Kind("dominant", "7", flat_ninth=True),
}
"""Suffix of a chord symbol in the source -> its kind."""
