"""From what a player types to a click pattern.

    beats            every beat                 4    2,4    2.5    beats 2 and 4
    offbeats         half-way between           groups      the first of each group
    every 3 sixteenths    every dotted quarter    every 2 triplet eighths    eighths
    every 2 bars     the first beat of every second bar     bars
    2 with 2 without    bars in turn            2 with 2 without: offbeats
    fading           less with every rung       none
    drums            the groove alone, here only

Numbers may be written as words up to nine; case and spaces do not count.
"""

from __future__ import annotations

import re
from difflib import get_close_matches
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.music.time import NOTE_KINDS, Length
from drills.sheets.clicks.pattern import Pattern
from drills.sheets.clicks.patterns import (
    Bars,
    Beats,
    Divided,
    Drums,
    Every,
    Fading,
    Groups,
    NoClick,
    Offbeats,
    WithWithout,
)
from drills.sheets.clicks.words import COUNTS, ORDINALS, PLURALS, SINGULARS

NAMED: Final[dict[str, Pattern]] = {
    "beats": Beats(),
    "offbeats": Offbeats(),
    "groups": Groups(),
    "divided": Divided(),
    "bars": Bars(),
    "fading": Fading(),
    "drums": Drums(),
    "none": NoClick(),
}
"""Patterns of one word, as the help lists them."""

_ALSO: Final[dict[str, Pattern]] = {
    "beat": Beats(),
    "every beat": Beats(),
    "offbeat": Offbeats(),
    "every bar": Bars(),
    "fade": Fading(),
    "no click": NoClick(),
    "silence": NoClick(),
}

_VALUES: Final = {
    **{word: kind for kind, word in PLURALS.items()},
    **{word: kind for kind, word in SINGULARS.items()},
    **{kind: kind for kind in PLURALS},
    **{f"{kind}s": kind for kind in PLURALS},
    **{"8th": "eighth", "8ths": "eighth", "quarter note": "quarter", "quarter notes": "quarter"},
    **{"eighth note": "eighth", "eighth notes": "eighth", "half note": "half"},
    **{"half notes": "half", "sixteenth note": "16th", "sixteenth notes": "16th"},
    **{"semibreve": "whole", "minim": "half", "crotchet": "quarter", "quaver": "eighth"},
    **{"semiquaver": "16th", "demisemiquaver": "32nd", "semibreves": "whole", "minims": "half"},
    **{"crotchets": "quarter", "quavers": "eighth", "semiquavers": "16th"},
    **{"demisemiquavers": "32nd"},
}
"""What a note value is called -> its MusicXML name."""

_FORMS: Final = {
    "dotted": Fraction(3, 2),
    "double-dotted": Fraction(7, 4),
    "triplet": Fraction(2, 3),
}

MOST_COUNTED: Final = 64
"""Note values from click to click, or bars in a turn; more is a slip of the pen."""

_NUMBERS: Final = {word: n for n, word in enumerate(COUNTS)} | {
    word: n for n, word in enumerate(ORDINALS) if word
}
_FIGURES: Final = re.compile(r"(\d{1,9})(?:st|nd|rd|th)?")
_HOW: Final = (
    "write beats, 4 or 2,4, offbeats, groups, every 3 sixteenths, every 2 bars, 2 with "
    "2 without, fading or none"
)


_LEADING: Final = re.compile(r"(?:clicks? )?(?:on (?=[a-z]))?(?:the )?(?:first beat of )?")
"""What may stand before the words that tell one pattern from another."""


def read_pattern(text: str) -> Pattern:
    """The pattern that ``text`` names; raises UsageError with the ways to write one."""
    words = _LEADING.sub("", " ".join(text.lower().split()))
    if words in NAMED or words in _ALSO:
        return NAMED.get(words) or _ALSO[words]
    for read in (_with_and_without, _chosen_beats, _every):
        found = read(words)
        if found is not None:
            return found
    near = get_close_matches(words, NAMED, 1)
    hint = f"did you mean {near[0]}? " if near else ""
    raise UsageError(f"{text!r} is not a click pattern; {hint}{_HOW}")


def _with_and_without(words: str) -> Pattern | None:
    """``2 with 2 without``, ``two bars with, two without: 4``."""
    found = re.fullmatch(
        r"(\w+)(?: bars?)? with,?(?: and)? (\w+)(?: bars?)? without(?:[:,] ?(.+))?", words
    )
    if found is None:
        return None
    sounding, silent = (_count(one, words) for one in found.group(1, 2))
    inside = Beats() if found[3] is None else read_pattern(found[3])
    if isinstance(inside, WithWithout):
        raise UsageError(f"{words!r} has two turns of bars; give one")
    return WithWithout(sounding, silent, inside)


_BEAT: Final = r"\d{1,9}(?:\.\d{1,9})?(?:\+\d{1,9}/\d{1,9})?"
_BEATS: Final = re.compile(rf"(?:on )?(?:beats? )?({_BEAT}(?: ?(?:,|and| ) ?{_BEAT})*)(?: only)?")


def _chosen_beats(words: str) -> Pattern | None:
    """``4``, ``2,4``, ``on beats 2 and 4 only``, ``2.5``."""
    found = _BEATS.fullmatch(words)
    if found is None:
        return None
    try:
        numbers = {sum(map(Fraction, one.split("+"))) for one in re.findall(_BEAT, found[1])}
    except ZeroDivisionError:
        raise UsageError(f"{words!r} divides a beat by nothing") from None
    if min(numbers) < 1:
        raise UsageError(f"{words!r}: the beats of a bar are counted from 1")
    return Beats(tuple(sorted(Fraction(number) for number in numbers)))


def _every(words: str) -> Pattern | None:
    """``every 3 sixteenths``, ``every second bar``, ``every dotted quarter``, ``eighths``."""
    rest = words.removeprefix("in ").removeprefix("every ")
    first, _, after = rest.partition(" ")
    counts = _value(rest) is None and (first in _NUMBERS or _FIGURES.fullmatch(first))
    number, what = (first, after) if counts and after else ("1", rest)
    if what in {"bar", "bars"}:
        return Bars(_count(number, words))
    value = _value(what)
    return None if value is None else Every(_count(number, words), value)


def _value(words: str) -> Length | None:
    """A note value in words, such as "triplet eighths" or "eighth triplets"."""
    words = words.replace("double dotted", "double-dotted")
    turned = re.fullmatch(r"(.+) triplets?", words)
    words = f"triplet {turned[1]}" if turned else words
    form, _, name = words.partition(" ")
    factor, name = (_FORMS[form], name) if form in _FORMS else (Fraction(1), words)
    kind = _VALUES.get(name)
    return None if kind is None else NOTE_KINDS[kind] * factor


def _count(word: str, words: str) -> int:
    """A number in figures or words, from 1 to MOST_COUNTED."""
    digits = _FIGURES.fullmatch(word)
    number = int(digits[1]) if digits else _NUMBERS.get(word)
    if number is None:
        raise UsageError(f"{words!r}: {word!r} is not a number; {_HOW}")
    if not 1 <= number <= MOST_COUNTED:
        raise UsageError(f"{words!r}: choose a number from 1 to {MOST_COUNTED}, not {number}")
    return number
