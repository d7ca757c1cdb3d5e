"""How a click pattern is said: note values, counts, beats."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from drills.music.time import Length, NoteValue

PLURALS: Final = {
    "whole": "whole notes",
    "half": "halves",
    "quarter": "quarters",
    "eighth": "eighths",
    "16th": "sixteenths",
    "32nd": "thirty-seconds",
    "64th": "sixty-fourths",
}
"""Note values as a player says several of them."""

SINGULARS: Final = {
    "whole": "whole note",
    "half": "half",
    "quarter": "quarter",
    "eighth": "eighth",
    "16th": "sixteenth",
    "32nd": "thirty-second",
    "64th": "sixty-fourth",
}
"""The same of one."""

COUNTS: Final = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
ORDINALS: Final = ("", "", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
DOTS: Final = ("", "dotted ", "double-dotted ")


def values_named(value: Length) -> str:
    """``dotted quarters``, ``triplet eighths``: several notes of a length."""
    named = _name(value, 2)
    return f"times {value} quarters" if named is None else named


def has_name(value: Length, max_dots: int = 2) -> bool:
    """True for a note value, or one of a triplet, that is no shorter than a sixty-fourth."""
    return _name(value, max_dots) is not None


def _name(value: Length, max_dots: int) -> str | None:
    for factor, word, most in ((Fraction(1), "", max_dots), (Fraction(3, 2), "triplet ", 0)):
        found = NoteValue.of(Length(value.quarters * factor), most)
        if found is not None and found.kind in PLURALS:
            return f"{DOTS[found.dots]}{word}{PLURALS[found.kind]}"
    return None


def beat_named(number: Fraction) -> str:
    """A beat as it is typed: "4", "2.5", "2+1/3"."""
    if number.denominator == 1:
        return str(number)
    if 100 % number.denominator == 0:
        return f"{float(number):g}"
    return f"{number.numerator // number.denominator}+{number % 1}"


def counted(number: int) -> str:
    """Small numbers as words: "three"."""
    return COUNTS[number] if number < len(COUNTS) else str(number)


def ordinal(number: int) -> str:
    """From "second" on."""
    return ORDINALS[number] if number < len(ORDINALS) else f"{number}th"


def listed(names: Sequence[object]) -> str:
    """ "1", "2 and 4", "1, 3 and 5"."""
    texts = [str(name) for name in names]
    return " and ".join((", ".join(texts[:-1]), texts[-1])) if len(texts) > 1 else texts[0]
