"""Octaves into the range of the new instrument, with as few jumps as can be.

Problem.  At sounding pitch a flute part lies above a tuba by three octaves, and
one low phrase may need an octave that the rest does not.

Method.  The phrases of the part (flow.py: cut at rests of a beat or longer, never
inside a slur) each get a number of octaves.  Of all ways to give them, that wins
which (1) leaves fewest notes outside the range, (2) changes the octave least often,
(3) is most comfortable: a note in the highest fourth of the range, where an instrument
asks for most, weighs as much as two notes moved an octave from where they were.  So
one octave serves the whole music where one fits, and it is the music's own unless
more than half of the notes would lie at the top.  Only the notes that are drilled
count; phrases without any follow their neighbours.

The edge of a fourth is the measure of the range term of effort; the weights, and that
the bottom of a range asks less, are our own choice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from drills.music.pitch import Pitch
from drills.rewriting.cheapest import cheapest_way

SHIFTS: Final = (0, -1, 1, -2, 2, -3, 3, -4, 4, -5, 5, -6, 6)
"""Octaves that a phrase may be moved; the first wins where two are as good."""
_EDGE: Final = 5
"""Semitones of a fourth."""


@dataclass(frozen=True, slots=True, order=True)
class Discomfort:
    """What a phrase costs in an octave; compared in this order."""

    outside: int = 0
    """Notes outside the range."""
    changes: int = 0
    """Changes of octave."""
    strain: int = 0
    """Notes at the top, and notes moved from where they were."""

    def __add__(self, other: Discomfort) -> Discomfort:
        return Discomfort(
            self.outside + other.outside,
            self.changes + other.changes,
            self.strain + other.strain,
        )


_NOTHING: Final = Discomfort()
_CHANGE: Final = Discomfort(changes=1)


def octaves(
    phrases: Sequence[Sequence[tuple[Pitch, ...]]], low: Pitch | None, high: Pitch | None
) -> list[int]:
    """Octaves to move each phrase up (negative: down).

    A phrase is given by the pitches of its notes, those that count only.
    """
    if low is None or high is None:
        return [0] * len(phrases)
    found = [_phrase_costs(phrase, low, high) for phrase in phrases]
    return cheapest_way(found, lambda _, old, new: _CHANGE if old != new else _NOTHING)


def _phrase_costs(
    phrase: Sequence[tuple[Pitch, ...]], lowest: Pitch, highest: Pitch
) -> Mapping[int, Discomfort]:
    """What the phrase costs in each number of octaves."""
    pitches = [pitch.midi for note in phrase for pitch in note]
    bottom, top = lowest.midi, highest.midi
    costs: dict[int, Discomfort] = {}
    for shift in SHIFTS:
        moved = [midi + 12 * shift for midi in pitches]
        outside = sum(1 for midi in moved if not bottom <= midi <= top)
        high = sum(1 for midi in moved if midi > top - _EDGE)
        costs[shift] = Discomfort(outside, 0, 2 * high + abs(shift) * len(pitches))
    return costs
