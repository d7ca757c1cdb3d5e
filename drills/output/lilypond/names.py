"""Players' names at the left of a section's staves: in full once, then as abbreviations.

Problem.  Seventeen names stand beside seventeen small staves: an abbreviation
must be short, be read by its player at once, and be no other player's.  Method.
Known words are abbreviated as scores do (common practice), the pitch that an
instrument is built in is left out, numbers are kept; where two players would
read alike, what was left out comes back, and last their place in the score.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from typing import Final

ABBREVIATIONS: Final = {
    "accordion": "Acc.",
    "alto": "A.",
    "baritone": "Bar.",
    "bass": "B.",
    "basset": "Bst.",
    "bassoon": "Bsn.",
    "bells": "Bells",
    "celesta": "Cel.",
    "cello": "Vc.",
    "clarinet": "Cl.",
    "contra": "C.",
    "contrabass": "Cb.",
    "contrabassoon": "Cbsn.",
    "cornet": "Cnt.",
    "cymbals": "Cym.",
    "double": "D.",
    "drum": "Dr.",
    "drums": "Dr.",
    "english": "E.",
    "euphonium": "Euph.",
    "flugelhorn": "Flg.",
    "flute": "Fl.",
    "glockenspiel": "Glock.",
    "guitar": "Gtr.",
    "harp": "Hp.",
    "horn": "Hn.",
    "marimba": "Mar.",
    "oboe": "Ob.",
    "organ": "Org.",
    "percussion": "Perc.",
    "piano": "Pno.",
    "piccolo": "Picc.",
    "recorder": "Rec.",
    "saxophone": "Sax.",
    "solo": "Solo",
    "soprano": "S.",
    "sousaphone": "Sousa.",
    "staff": "staff",
    "tenor": "T.",
    "timpani": "Timp.",
    "trombone": "Tbn.",
    "trumpet": "Tpt.",
    "trompete": "Trp.",
    "trompette": "Trp.",
    "tuba": "Tuba",
    "vibraphone": "Vib.",
    "viola": "Va.",
    "violin": "Vn.",
    "violoncello": "Vc.",
    "xylophone": "Xyl.",
}
"""Words of players' names and what scores print for them (common practice)."""

LONGEST_WORD: Final = 5
"""Letters of a word that has no abbreviation of its own; of a longer one four are kept."""
LONGEST_SHORT: Final = 14
LONGEST_LINE: Final = 22
"""Characters of one of the two lines of a full name."""

CAPITAL: Final = 1.45
"""A capital letter in characters of usual width (from Helvetica's table of widths)."""
WIDEST: Final = 1.85
WIDE_ONES: Final = frozenset("MWmw@%&…")
"""Signs that are wider than a capital letter."""

_KEY_ONLY: Final = re.compile(r"\s+in\s+\S+(?:\s+(?:flat|sharp|clef))?", re.IGNORECASE)
_WORD: Final = re.compile(r"[^\W\d_]+", re.UNICODE)


def short_names(names: Sequence[str]) -> tuple[str, ...]:
    """An abbreviation for each name; no two are alike."""
    found = [_short(_KEY_ONLY.sub("", name)) for name in names]
    for again in (_short, lambda name: name):
        counts = Counter(found)
        found = [
            again(name) if counts[short] > 1 else short
            for name, short in zip(names, found, strict=True)
        ]
    counts = Counter(found)
    return tuple(
        f"{_cut(short)} ({place})".strip() if counts[short] > 1 or not short else short
        for place, short in enumerate(found, 1)
    )


def _short(name: str) -> str:
    """A name with its words abbreviated: "Alto saxophone 2" is "A. Sax. 2"."""
    words = re.sub(r"\b([A-G])[\s-]flat\b", "\\1\u266d", name)
    text = _WORD.sub(lambda word: _short_word(word[0]), words)
    return _cut(" ".join(text.replace("..", ".").split()))


def _short_word(word: str) -> str:
    plain = word.lower()
    known = ABBREVIATIONS.get(plain) or ABBREVIATIONS.get(plain.removesuffix("s"))
    if known or len(word) <= LONGEST_WORD:
        return known or word
    return f"{word[:4]}."


def characters(text: str) -> float:
    """How wide a text is, in characters of usual width."""
    return sum(WIDEST if sign in WIDE_ONES else CAPITAL if sign.isupper() else 1 for sign in text)


def _cut(text: str) -> str:
    return text if len(text) <= LONGEST_SHORT else f"{text[: LONGEST_SHORT - 1].rstrip()}…"


def name_lines(name: str) -> tuple[str, ...]:
    """A full name in one line, or in two where it is long."""
    plain = " ".join(name.split())
    if len(plain) <= LONGEST_LINE:
        return (plain,)
    breaks = [place for place, sign in enumerate(plain) if sign == " "]
    if not breaks:
        return (_shortened(plain),)
    middle = min(breaks, key=lambda place: abs(place - len(plain) / 2))
    return _shortened(plain[:middle]), _without_beginning(plain[middle + 1 :])


def _shortened(line: str) -> str:
    return line if len(line) <= LONGEST_LINE else f"{line[: LONGEST_LINE - 1].rstrip()}…"


def _without_beginning(line: str) -> str:
    """The end of a line, where the number of a player stands."""
    return line if len(line) <= LONGEST_LINE else f"…{line[1 - LONGEST_LINE :].lstrip()}"
