"""Which of many things can have been played: a cheap first look at a recording.

Problem.  Following a recording through every drill of a sheet takes a second or two for each.
Method.  The recording is heard once.  Its keys, one after the other, are cut into neighbours,
each with how long it is until the next; so are those of each drill, which is played again
and again.  The share of the neighbours that are in the other, both ways, with less for other
proportions, is the harmonic mean of the two (van Rijsbergen's F, from memory).  Only the best
few are then followed in full: this does not decide.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby, pairwise
from typing import Final

import numpy as np

from drills.listening.hearing import Hearing, hear
from drills.listening.spectra import Samples
from drills.listening.tuning import tunings_of
from drills.listening.wanted import Wanted

ENOUGH: Final = 60.0
"""Seconds of a recording that are looked at."""
SOUNDS: Final = 0.6
"""Cost of a key up to which something sounds: the best one counts, so this leaves out silence."""
SHORTEST: Final = 6
"""Frames that a key sounds at least to be one."""
QUIET: Final = 25.0
"""Decibels under what is loud from which on nothing is looked at."""
FOLLOWED: Final = 4
"""Things that are followed in full."""
DOUBTFUL: Final = 0.3
"""What speaks for the best one at least; else all are followed."""
FAR: Final = 0.6
"""Octaves of proportion (a factor of 1.5) that take away most of what speaks for neighbours."""

Neighbours = tuple[int, int, float]
"""A key, the next one, and log2 of how long the first lasts of the second."""


def likeliest(samples: Samples, rate: int, some: Sequence[Wanted]) -> tuple[int, ...]:
    """Indices of those that fit what sounds best, the best first; all where they are few."""
    if len(some) <= FOLLOWED:
        return tuple(range(len(some)))
    keys = range(min(one.keys.start for one in some), max(one.keys.stop for one in some))
    struck = tuple(sorted({key for one in some for key in one.struck}))
    piece = samples[: int(ENOUGH * rate)]
    tuning = tunings_of(piece, rate, keys)[0]
    heard = _heard(hear(piece, rate, keys, struck, tuning))
    scores = [_alike(heard, _written(one)) for one in some]
    if max(scores) < DOUBTFUL:
        return tuple(range(len(some)))
    order = sorted(range(len(some)), key=lambda n: -scores[n])
    return tuple(order[:FOLLOWED])


def _heard(hearing: Hearing) -> list[Neighbours]:
    best = np.where(
        hearing.costs.min(axis=1) < SOUNDS, hearing.costs.argmin(axis=1) + hearing.keys[0], 0
    )
    best[hearing.level < hearing.survey.loud - QUIET] = 0
    found: list[tuple[int, int]] = []
    at = 0
    for key, run in groupby(best.tolist()):
        count = len(list(run))
        if key and count >= SHORTEST and (not found or found[-1][0] != key):
            found.append((key, at))
        at += count
    return _neighbours([key for key, _ in found], [float(first) for _, first in found], float(at))


def _written(wanted: Wanted) -> list[Neighbours]:
    """Those of something that is played twice."""
    last = wanted.notes[-1]
    end = last.at + last.length
    keys: list[int] = []
    at: list[float] = []
    for again in (0.0, end):
        for note in wanted.notes:
            if not keys or keys[-1] != note.key:
                keys.append(note.key)
                at.append(note.at + again)
    return _neighbours(keys, at, 2 * end)


def _neighbours(keys: Sequence[int], at: Sequence[float], end: float) -> list[Neighbours]:
    lasts = [max(after - before, 1e-3) for before, after in pairwise([*at, end])]
    return [
        (a, b, float(np.log2(one / other)))
        for (a, b), (one, other) in zip(pairwise(keys), pairwise(lasts), strict=True)
    ]


def _alike(some: Sequence[Neighbours], others: Sequence[Neighbours]) -> float:
    if not some or not others:
        return 0.0
    there, back = _share(some, others), _share(others, some)
    return 2 * there * back / (there + back) if there + back else 0.0


def _share(some: Sequence[Neighbours], others: Sequence[Neighbours]) -> float:
    """How much of ``some`` is found among ``others``."""
    known: dict[tuple[int, int], list[float]] = {}
    for a, b, proportion in others:
        known.setdefault((a, b), []).append(proportion)
    return sum(
        max(
            (0.3 + 0.7 * float(np.exp(-(((x - own) / FAR) ** 2))) for x in known.get((a, b), ())),
            default=0.0,
        )
        for a, b, own in some
    ) / len(some)
