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
from typing import Final

from drills.music.pitch import Pitch

SHIFTS: Final = (0, -1, 1, -2, 2, -3, 3, -4, 4, -5, 5, -6, 6)
"""Octaves that a phrase may be moved; the first wins where two are as good."""
_EDGE: Final = 5
"""Semitones of a fourth."""

Cost = tuple[int, int, int]
"""Notes outside, changes of octave, discomfort; compared in this order."""
Place = tuple[int, int, int]


def octaves(
    phrases: Sequence[Sequence[tuple[Pitch, ...]]], low: Pitch | None, high: Pitch | None
) -> list[int]:
    """Octaves to move each phrase up (negative: down).

    A phrase is given by the pitches of its notes, those that count only.
    """
    if low is None or high is None:
        return [0] * len(phrases)
    found = [_phrase_costs(phrase, low, high) for phrase in phrases]
    return _cheapest(found)


def _phrase_costs(
    phrase: Sequence[tuple[Pitch, ...]], lowest: Pitch, highest: Pitch
) -> Mapping[int, Cost]:
    """For each number of octaves: notes outside, no change, discomfort."""
    pitches = [pitch.midi for note in phrase for pitch in note]
    bottom, top = lowest.midi, highest.midi
    costs: dict[int, Cost] = {}
    for shift in SHIFTS:
        moved = [midi + 12 * shift for midi in pitches]
        outside = sum(1 for midi in moved if not bottom <= midi <= top)
        high = sum(1 for midi in moved if midi > top - _EDGE)
        costs[shift] = (outside, 0, 2 * high + abs(shift) * len(pitches))
    return costs


def _cheapest(phrases: Sequence[Mapping[int, Cost]]) -> list[int]:
    """One number of octaves for each phrase, on the cheapest way through them all."""
    cost: dict[int, Cost] = dict.fromkeys(SHIFTS, (0, 0, 0))
    came: list[dict[int, int]] = []
    for phrase in phrases:
        stay_or_go = min(SHIFTS, key=lambda shift: cost[shift])
        now: dict[int, Cost] = {}
        back: dict[int, int] = {}
        for shift in SHIFTS:
            going = _sum(cost[stay_or_go], (0, 1, 0)) if came else cost[stay_or_go]
            goes = going < cost[shift]
            back[shift] = stay_or_go if goes else shift
            now[shift] = _sum(going if goes else cost[shift], phrase[shift])
        cost = now
        came.append(back)
    found: list[int] = []
    shift = min(SHIFTS, key=lambda one: cost[one])
    for back in reversed(came):
        found.append(shift)
        shift = back[shift]
    return found[::-1]


def _sum(one: Cost, other: Cost) -> Cost:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]
