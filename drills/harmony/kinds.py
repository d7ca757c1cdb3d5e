"""THE TABLE OF CHORD KINDS: the 33 kinds of MusicXML 4.0, their tones and names.

Source.  Names and tones: W3C MusicXML 4.0 schema, simple type ``kind-value``,
whose documentation spells 26 of the kinds as intervals.  The printed suffixes
are common practice.  The kinds that the schema names but does not spell are
decided here, each with its reason, in ``_TABLE``:

- Italian, French and German are counted from the written root as their lowest
  tone (Ab C F# is an Italian sixth on Ab): a chord symbol names its root, and
  the sixth that gives these chords their name is measured from the bass.
- Neapolitan needs a key to be one; as a chord by itself it is a major triad on
  the lowered second, which is the written root.  Its bass is the written bass:
  a symbol that wants the usual first inversion says so.
- Tristan is F B D# G# on F, spelled as in the opera's second bar.
- other has its root alone; all else comes from the symbol's degrees.
- none has no tones: nothing sounds that could be counted.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from drills.harmony.chord import ChordTone


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of chord."""

    name: str
    """A MusicXML 4.0 ``kind-value``."""
    tones: tuple[ChordTone, ...]
    """Counted from the root, ascending."""
    suffix: str
    """What is printed after the root; no two kinds share one, so that it can be read back."""
    words: str
    """The kind as a player says it: "dominant seventh"."""


_LABEL: Final = re.compile(r"(b{0,3}|#{0,3})(\d{1,2})")


def tone_of(label: str) -> ChordTone:
    """The way back from ``tone_label``; ValueError for a label that is none."""
    found = _LABEL.fullmatch("1" if label == "R" else label)
    if found is None or not 1 <= int(found[2]) <= 13:
        raise ValueError(f"{label!r} is not a tone such as R, b3 or #11")
    return ChordTone(int(found[2]), len(found[1]) * (-1 if "b" in found[1] else 1))


_TABLE: Final = (
    ("major", "R 3 5", "", "major triad"),
    ("minor", "R b3 5", "m", "minor triad"),
    ("augmented", "R 3 #5", "+", "augmented triad"),
    ("diminished", "R b3 b5", "dim", "diminished triad"),
    ("dominant", "R 3 5 b7", "7", "dominant seventh"),
    ("major-seventh", "R 3 5 7", "maj7", "major seventh"),
    ("minor-seventh", "R b3 5 b7", "m7", "minor seventh"),
    ("diminished-seventh", "R b3 b5 bb7", "dim7", "diminished seventh"),
    ("augmented-seventh", "R 3 #5 b7", "+7", "augmented seventh"),
    ("half-diminished", "R b3 b5 b7", "m7(b5)", "half-diminished seventh"),
    ("major-minor", "R b3 5 7", "m(maj7)", "minor triad with major seventh"),
    ("major-sixth", "R 3 5 6", "6", "major triad with sixth"),
    ("minor-sixth", "R b3 5 6", "m6", "minor triad with sixth"),
    ("dominant-ninth", "R 3 5 b7 9", "9", "dominant ninth"),
    ("major-ninth", "R 3 5 7 9", "maj9", "major ninth"),
    ("minor-ninth", "R b3 5 b7 9", "m9", "minor ninth"),
    ("dominant-11th", "R 3 5 b7 9 11", "11", "dominant eleventh"),
    ("major-11th", "R 3 5 7 9 11", "maj11", "major eleventh"),
    ("minor-11th", "R b3 5 b7 9 11", "m11", "minor eleventh"),
    ("dominant-13th", "R 3 5 b7 9 11 13", "13", "dominant thirteenth"),
    ("major-13th", "R 3 5 7 9 11 13", "maj13", "major thirteenth"),
    ("minor-13th", "R b3 5 b7 9 11 13", "m13", "minor thirteenth"),
    ("suspended-second", "R 2 5", "sus2", "suspended second"),
    ("suspended-fourth", "R 4 5", "sus4", "suspended fourth"),
    ("Neapolitan", "R 3 5", " Neap.", "Neapolitan chord"),
    ("Italian", "R 3 #6", " It.6", "Italian sixth"),
    ("French", "R 3 #4 #6", " Fr.6", "French sixth"),
    ("German", "R 3 5 #6", " Ger.6", "German sixth"),
    ("pedal", "R", " ped.", "pedal point"),
    ("power", "R 5", "5", "fifth without third"),
    ("Tristan", "R #4 #6 #9", " Tristan", "Tristan chord"),
    ("other", "R", " other", "chord spelled by its degrees"),
    ("none", "", "N.C.", "no chord"),
)
"""MusicXML name, tones, printed suffix, words.  A suffix that is a word stands off its root."""

KINDS: Final[Mapping[str, Kind]] = MappingProxyType(
    {
        name: Kind(name, tuple(tone_of(label) for label in tones.split()), suffix, words)
        for name, tones, suffix, words in _TABLE
    }
)
"""Every MusicXML 4.0 ``kind-value`` in the order of the schema."""


def tone_label(tone: ChordTone) -> str:
    """For print: "R", "3", "b3", "#11", "bb7", "13"."""
    if tone == ChordTone(1):
        return "R"
    return ("#" * tone.alter if tone.alter > 0 else "b" * -tone.alter) + str(tone.number)


def tone_words(tone: ChordTone) -> str:
    """In words: "root", "minor third", "perfect fifth", "raised eleventh", "flat ninth".

    Up to the seventh by the names of intervals, above it as players say the
    tones of a chord (common practice): a ninth is major, an eleventh perfect
    unless it is called flat or raised.
    """
    name = _NUMBERS[tone.number - 1]
    if tone.number in (1, *range(8, 14)):
        return f"{_times(abs(tone.alter), 'raised' if tone.alter > 0 else 'flat')}{name}"
    perfect = tone.number in (4, 5)
    if not tone.alter:
        return f"{'perfect' if perfect else 'major'} {name}"
    if tone.alter == -1 and not perfect:
        return f"minor {name}"
    size = abs(tone.alter) - (tone.alter < 0 and not perfect)
    return f"{_times(size, 'augmented' if tone.alter > 0 else 'diminished')}{name}"


def number_words(number: int) -> str:
    """ "fourth", "ninth": the number of a tone, without its size."""
    return _NUMBERS[number - 1]


_NUMBERS: Final = (
    *("root", "second", "third", "fourth", "fifth", "sixth", "seventh"),
    *("octave", "ninth", "tenth", "eleventh", "twelfth", "thirteenth"),
)
_TIMES: Final = ("", "", "doubly ", "triply ")


def _times(count: int, word: str) -> str:
    """The word and a space, said to be doubled where it is; nothing for a count of 0."""
    how_often = _TIMES[count] if count < len(_TIMES) else f"{count} times "
    return f"{how_often}{word} " if count else ""
