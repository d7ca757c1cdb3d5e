"""Notes to which another pitch fits clearly better than the one that is written.

Problem.  A wrong pitch is dear, or every tone that is a little out of tune would be called one;
a short note has too few frames to pay for it, and a wrong semitone passes for the written one.
Method.  When it is known from when to when a note sounds, its middle is looked at again, without
the attack and the end that it shares with its neighbours: there the written pitch, where it was
played, costs at most 0.02 a frame more than one beside it (1,850 notes of recorded tones in the
dry and in a room through a phone), and a semitone beside it about 0.2.

Conventions.  Costs are those of hearing.py, 0 to about 1 a frame.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from drills.listening.following import Heard
from drills.listening.hearing import Hearing
from drills.listening.states import NOTE, WRONG

CLEARLY: Final = 0.1
"""How much less another pitch must cost."""
FARTHEST: Final = 6
"""Semitones to either side: farther ones may be harmonics of what sounds."""
EDGE: Final = 3
"""Frames at both ends that are left out ..."""
FEWEST: Final = 6
"""... and those that must be left."""


def reread(hearing: Hearing, heard: Sequence[Heard], keys: Sequence[int]) -> tuple[Heard, ...]:
    """What was heard, notes of another pitch than is written called so.

    ``keys`` may go on with those of what follows.
    """
    return tuple(
        replace(one, kind=WRONG) if one.kind == NOTE and _is_other(hearing, one, key) else one
        for one, key in zip(heard, keys, strict=False)
    )


def _is_other(hearing: Hearing, one: Heard, key: int) -> bool:
    first, end = one.first + EDGE, one.end - EDGE
    if end - first < FEWEST:
        return False
    costs = hearing.costs[first:end].mean(axis=0)
    place = hearing.key_index(key)
    near = costs[max(place - FARTHEST, 0) : place + FARTHEST + 1]
    return float(costs[place] - near.min()) > CLEARLY
