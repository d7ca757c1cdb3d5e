"""Notes to which, as a whole or in part, another pitch fits clearly better than the written one.

Problem.  A wrong or added pitch is dear, or every tone that is a little out of tune would be
called one; a short note has too few frames to pay for it, and a semitone passes for its
neighbour.  Method.  When it is known from when to when a note sounds, its middle is looked at
again, without the attack and the end that it shares with its neighbours.  Where the written
pitch was played it costs at most 0.02 a frame more than one beside it (1,850 notes of recorded
tones, in the dry and in a room through a phone); where a semitone beside it was, about 0.2.  A
long note may be only in part what is written: before it, or after it, one was added, of a pitch
that is neither the note's nor its neighbours'.

Conventions.  Costs are those of hearing.py, 0 to about 1 a frame.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.following import Heard
from drills.listening.hearing import Hearing
from drills.listening.states import ADDED, NOTE, WRONG

Gains = NDArray[np.float64]

CLEARLY: Final = 0.1
"""How much less another pitch must cost all through a note, a frame, ..."""
IN_PART: Final = 0.08
"""... or in a part of it, ..."""
APART: Final = 0.15
"""How much more a pitch beside the written one usually costs; where the whole recording leans
towards one, by less than that, its tuning was told wrongly, and so much more is asked for."""
ENOUGH: Final = 5
"""Notes that tell where a recording leans to."""
HIDDEN: Final = 1.8
"""... and how much in all its frames together: of notes in which nothing is hidden none had more
than 1.4, in 40 takes as above."""
FARTHEST: Final = 6
"""Semitones to either side: farther ones may be harmonics of what sounds."""
EDGE: Final = 3
"""Frames at both ends that are left out ..."""
FEWEST: Final = 6
"""... and those that must be left."""
LEAST: Final = 9
"""Frames of a part that is a note of its own."""


def reread(hearing: Hearing, heard: Sequence[Heard], keys: Sequence[int]) -> tuple[Heard, ...]:
    """What was heard, notes of another pitch than is written called so, hidden ones parted off.

    ``keys`` may go on with those of what follows.
    """
    found: list[Heard] = []
    gains = {
        number: _better(hearing, one, key, ()).mean(axis=0)
        for number, (one, key) in enumerate(zip(heard, keys, strict=False))
        if one.kind == NOTE and one.end - one.first >= 2 * EDGE + FEWEST
    }
    lean = np.zeros(2 * FARTHEST + 1)
    if len(gains) >= ENOUGH:
        lean = np.maximum(np.median(list(gains.values()), axis=0) + APART, 0.0)
    for number, (one, key) in enumerate(zip(heard, keys, strict=False)):
        if number not in gains:
            found.append(one)
        elif (gains[number] - lean).max() > CLEARLY:
            found.append(replace(one, kind=WRONG))
        else:
            beside = [keys[n] for n in (number - 1, number + 1) if 0 <= n < len(keys)]
            found += _parts(one, _better(hearing, one, key, beside) - lean)
    return tuple(found)


def _better(hearing: Hearing, one: Heard, key: int, beside: Sequence[int]) -> Gains:
    """Frames of its middle x the semitones about it: how much less each costs than its own pitch
    and those ``beside`` it, which may sound on or begin early."""
    place = hearing.key_index(key)
    columns = np.clip(np.arange(place - FARTHEST, place + FARTHEST + 1), 0, len(hearing.keys) - 1)
    known = [hearing.key_index(other) for other in (key, *beside)]
    costs = hearing.costs[one.first + EDGE : one.end - EDGE].astype(np.float64)
    return np.asarray(costs[:, known].min(axis=1, keepdims=True) - costs[:, columns])


def _parts(one: Heard, better: Gains) -> list[Heard]:
    """A note, and one that was added before or after it."""
    frames = len(better)
    if frames < LEAST + FEWEST:
        return [one]
    sums = np.cumsum(better, axis=0)
    sizes = np.arange(LEAST, frames - FEWEST + 1)
    early = _clear(sums[sizes - 1], sizes)
    late = _clear(sums[-1] - sums[frames - sizes - 1], sizes)
    if max(early.max(), late.max()) < HIDDEN:
        return [one]
    if late.max() >= early.max():
        cut = one.end - EDGE - int(sizes[int(late.argmax())])
        return [replace(one, end=cut), Heard(ADDED, one.note, cut, one.end)]
    cut = one.first + EDGE + int(sizes[int(early.argmax())])
    added = Heard(ADDED, one.note - 1, one.first, cut)
    return [added, replace(one, first=cut)]


def _clear(sums: Gains, sizes: NDArray[np.int64]) -> Gains:
    """The most that any pitch gains over the first, or last, so many frames; 0 where it is not
    clear."""
    best = sums.max(axis=1)
    return np.where(best > IN_PART * sizes, best, 0.0)
