"""What begins when: the attacks of parts and of other readers, to be compared."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from drills.music.pitch import CONCERT, Pitch
from drills.music.score import Note, Part
from drills.reading.musicxml import open_score, read_all

Attacks = Counter[tuple[Fraction, int]]
"""Quarters from the start, and sounding MIDI number; grace notes left out."""


def attacks_of(parts: Iterable[Part], *, written: bool = False) -> Attacks:
    """The attacks of some parts, on a time line that adds up their bars.

    ``written``: with the pitches that are read, not those that sound.
    """
    found: Attacks = Counter()
    for part in parts:
        at = Fraction(0)
        for bar in part.bars:
            moved = CONCERT if written else bar.instrument.transposition
            for voice in bar.voices:
                for event in voice.events:
                    if isinstance(event, Note) and event.is_attack:
                        for tone in event.tones:
                            if isinstance(tone, Pitch):
                                sounding = moved.sounding(tone).midi
                                found[at + event.start.quarters, int(sounding)] += 1
            at += bar.length.quarters
    return found


def read_attacks(path: Path, *, written: bool = False) -> Attacks:
    """The attacks of a file as this program reads it."""
    return attacks_of(read_all(open_score(path)), written=written)


def rounded(attacks: Attacks) -> Attacks:
    """To the two hundredth of a quarter: other readers count in floats or ticks."""
    found: Attacks = Counter()
    for (at, pitch), count in attacks.items():
        found[Fraction(round(at * 200), 200), pitch] += count
    return found


def agreement(one: Attacks, other: Attacks) -> float:
    """The share of attacks that both have, of those that the richer one has."""
    both, other = rounded(one), rounded(other)
    most = max(sum(both.values()), sum(other.values()), 1)
    return sum((both & other).values()) / most
