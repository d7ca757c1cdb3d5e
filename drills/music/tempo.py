"""A tempo as a player counts it, and what the usual words for one mean in numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from drills.music.time import NOTE_KINDS, Length, NoteValue


@dataclass(frozen=True, slots=True)
class Tempo:
    """A tempo as the player counts it."""

    number: Fraction
    """Beats per minute."""
    beat: Length
    """What is counted, as a length, in the words of the score or of the player."""
    source: str = ""
    """Where it comes from: "bar 1 of the score", "--tempo", "assumed"."""
    assumed_from: str | None = None
    """The words of the score that ``number`` was assumed from, "" where it has none
    either; None where the number is not assumed."""

    @property
    def quarters_per_minute(self) -> Fraction:
        """The tempo in quarters a minute."""
        return self.number * self.beat.quarters

    def counted_in(self, beat: Length) -> Tempo:
        """The same tempo, counted in another length."""
        return replace(self, number=self.quarters_per_minute / beat.quarters, beat=beat)


ASSUMED: Final = Fraction(96)
"""Beats a minute where a score says nothing at all."""

TEMPO_WORDS: Final = {
    "larghetto": 63,
    "allegretto": 112,
    "andantino": 88,
    "prestissimo": 200,
    "largo": 50,
    "lento": 54,
    "grave": 44,
    "adagio": 66,
    "andante": 80,
    "moderato": 104,
    "allegro": 132,
    "vivace": 152,
    "presto": 176,
    "slow": 63,
    "medium": 112,
    "fast": 160,
    "ballad": 66,
    "march": 112,
    "waltz": 160,
}
"""Beats a minute assumed for a tempo in words only (common practice, ranges are
wide); the first word found counts, so diminutives stand before their stems."""


def tempo_in_words(text: str) -> Fraction:
    """The tempo assumed for words such as "Allegro ma non troppo"."""
    words = text.lower()
    return next((Fraction(n) for word, n in TEMPO_WORDS.items() if word in words), ASSUMED)


def has_tempo_word(text: str) -> bool:
    """True for words that name a tempo of the table."""
    return any(word in text.lower() for word in TEMPO_WORDS)


_RELATION: Final = re.compile(
    rf"(?P<old>(?:dotted ){{0,2}}(?:{'|'.join(NOTE_KINDS)})) = "
    rf"(?P<new>(?:dotted ){{0,2}}(?:{'|'.join(NOTE_KINDS)}))(?!\S)"
)
_SAME_BEAT: Final = re.compile(r"(?:istesso|lo stesso|medesimo) (?:tempo|movimento)", re.I)
"""Words that keep the beat through a change of metre (common practice)."""


def relation_in_words(text: str) -> tuple[Length, Length] | None:
    """The old value and the new one of "quarter = dotted quarter": the new lasts as the old did."""
    found = _RELATION.search(text)
    return None if found is None else (_value(found["old"]), _value(found["new"]))


def _value(words: str) -> Length:
    *dots, kind = words.split()
    return NoteValue(kind, len(dots)).length


def same_beat(text: str) -> bool:
    """True for "L'istesso tempo": the beat stays, whatever note it is."""
    return _SAME_BEAT.search(text) is not None
