"""Keys in words: "F major", "B flat minor", "no key"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from drills.music.pitch import KeySignature
from drills.reading.other.word_notes import ACCIDENTALS

_TONIC: Final = re.compile(r"([A-Ga-g])(#|b|♯|♭)?")
_NO_KEY: Final = ("no", "key")
_MODES: Final = {"major": 0, "minor": -3}
_FIFTHS: Final = {step: place - 1 for place, step in enumerate("FCGDAEB")}
_MOST_FIFTHS: Final = 7
_SIGNS: Final = {"flat": "b", "sharp": "#"}
LONGEST: Final = 3
"""Words of a key at most."""


def key_length(words: Sequence[str]) -> int:
    """How many of the words, from the first on, name a key; 0 where they name none."""
    here = [word.lower() for word in words[:LONGEST]]
    if tuple(here[:2]) == _NO_KEY:
        return 2
    if not here or not _TONIC.fullmatch(here[0]):
        return 0
    if len(here) > 1 and here[1] in _MODES:
        return 2
    return 3 if len(here) > 2 and here[1] in _SIGNS and here[2] in _MODES else 0


def tonic_of(key: KeySignature) -> str:
    """The name of the first degree, as it is written: "Bb"; of a minor key its own."""
    place = key.fifths + 1 - _MODES.get(key.mode, 0)
    return "FCGDAEB"[place % 7] + ("#" * (place // 7) if place > 0 else "b" * -(place // 7))


def read_key(words: Sequence[str]) -> KeySignature:
    """The key that so many words name; ValueError says what is wrong with it."""
    here = [word.lower() for word in words]
    if tuple(here) == _NO_KEY:
        return KeySignature(0)
    spelled, mode = here[0] + _SIGNS.get(here[1], ""), here[-1]
    fifths = _FIFTHS[spelled[0].upper()] + 7 * ACCIDENTALS[spelled[1:]] + _MODES[mode]
    if abs(fifths) > _MOST_FIFTHS:
        raise ValueError(f"{spelled} {mode} has more than seven sharps or flats")
    return KeySignature(fifths, mode)
