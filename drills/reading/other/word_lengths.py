"""Lengths as players say them: "dotted quarter", "16ths", "eighth triplets", "quavers"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from drills.music.time import NoteValue, Tuplet

_NAMES: Final = {
    "whole": "whole",
    "semibreve": "whole",
    "half": "half",
    "halve": "half",
    "minim": "half",
    "quarter": "quarter",
    "4th": "quarter",
    "crotchet": "quarter",
    "eighth": "eighth",
    "8th": "eighth",
    "quaver": "eighth",
    "sixteenth": "16th",
    "16th": "16th",
    "semiquaver": "16th",
    "thirty-second": "32nd",
    "32nd": "32nd",
    "demisemiquaver": "32nd",
    "sixty-fourth": "64th",
    "64th": "64th",
    "hemidemisemiquaver": "64th",
}
"""Names in the singular, American and British, and their MusicXML ``note-type-value``."""
_TUPLETS: Final = {
    "duplet": Tuplet(2, 3),
    "triplet": Tuplet(3, 2),
    "quadruplet": Tuplet(4, 3),
    "quintuplet": Tuplet(5, 4),
    "sextuplet": Tuplet(6, 4),
    "septuplet": Tuplet(7, 4),
}
"""How many in the time of how many (common practice)."""
_DOTTED: Final = "dotted"
_IGNORED: Final = {"note", "notes"}


def is_length_word(word: str) -> bool:
    """True for a word that says, or helps to say, how long notes are."""
    return all(map(_known, _parts(word)))


def read_length(words: Sequence[str]) -> tuple[NoteValue, Tuplet | None]:
    """The value and the tuplet that some words say; raises ValueError with what to write."""
    parts = [part for word in words for part in _parts(word)]
    names = [_NAMES[part] for part in parts if part in _NAMES]
    tuplets = [_TUPLETS[part] for part in parts if part in _TUPLETS]
    dots = parts.count(_DOTTED)
    if not names and tuplets and not dots:
        names = ["eighth"]
    if len(names) != 1 or len(tuplets) > 1 or dots > 2:
        raise ValueError("says no length; write, for example, 16ths, dotted quarter, or triplets")
    return NoteValue(names[0], dots), tuplets[0] if tuplets else None


def _parts(word: str) -> list[str]:
    """``Dotted-quarters`` as ``dotted``, ``quarter``."""
    plain = word.lower()
    pieces = [plain] if _singular(plain) in _NAMES else plain.split("-")
    return [_singular(piece) for piece in pieces]


def _singular(word: str) -> str:
    return re.sub(r"(?<=[a-z])s$", "", word)


def _known(part: str) -> bool:
    return part in _NAMES or part in _TUPLETS or part == _DOTTED or part in _IGNORED
