"""What each state costs in each frame, worked out for many frames at once.

Problem.  The model asks, frame by frame and for every written note, what it costs that the
note goes on, and what it costs that it has sounded for its least time.  Method.  Notes of one
pitch and one least time share their costs, so these are worked out once for each such pair,
from running sums over the frames; the follower only adds.

Conventions.  Rows are frames; places and kinds are those of states.py, REST left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.hearing import Hearing
from drills.listening.settings import Following
from drills.listening.states import (
    ADDED,
    AGAIN,
    KINDS,
    NEVER,
    NOTE,
    WRONG,
    Costs,
    Model,
    silence_costs,
)

ROWS: Final = 256
"""Frames that are worked on at once."""


@dataclass(frozen=True, slots=True)
class FrameCosts:
    """Some frames."""

    first: int
    here: Costs
    """Frames x kinds x places: what it costs to go on."""
    settled: Costs
    """Frames x kinds x places: what it costs to have sounded for the least time."""
    sign: Costs
    """Frames x notes: what it costs to repeat a pitch; little where an attack shows."""
    quiet: Costs
    """Frames: silence."""


def frame_costs(hearing: Hearing, model: Model, s: Following, begin: int) -> Iterator[FrameCosts]:
    """All frames from ``begin`` on, some at a time."""
    quiet = silence_costs(hearing, s) * s.sharpness
    signs = s.repeat - (s.repeat + s.attack_gain) * hearing.attack
    signs = signs[:, np.searchsorted(hearing.struck, model.columns + hearing.keys[0])]
    sums = np.zeros((hearing.frames - begin + 1, len(hearing.keys)))
    np.cumsum(hearing.costs[begin:] * np.float64(s.sharpness), axis=0, out=sums[1:])
    for first in range(begin, hearing.frames, ROWS):
        end = min(first + ROWS, hearing.frames)
        here, settled = _sounding(model, s, sums, np.arange(first, end) - begin)
        sign = np.asarray(signs[first:end], dtype=np.float64)
        yield FrameCosts(first, here, settled, sign, quiet[first:end])


def _sounding(
    model: Model, s: Following, sums: Costs, rows: NDArray[np.int64]
) -> tuple[Costs, Costs]:
    shape = (len(rows), KINDS - 1, len(model.columns) + 1)
    here, settled = np.full(shape, NEVER), np.full(shape, NEVER)
    now, short = sums[rows + 1] - sums[rows], int(model.wide[0])
    brief = _over(sums, rows, short)
    kinds, which = np.unique(model.extra, axis=1, return_inverse=True)
    for number, extra in enumerate(kinds.T * s.sharpness):
        places = np.flatnonzero(which == number)
        here[:, ADDED - 1, places] = (now + extra).min(axis=1)[:, None]
        settled[:, ADDED - 1, places] = (brief + extra * short).min(axis=1)[:, None]
    here[:, NOTE - 1, 1:] = here[:, AGAIN - 1, 1:] = now[:, model.columns]
    settled[:, AGAIN - 1, 1:] = brief[:, model.columns]
    for wide in np.unique(model.wide[1:]):
        whole = _over(sums, rows, int(wide))
        own = np.flatnonzero(model.wide[1:] == wide)
        settled[:, NOTE - 1, own + 1] = whole[:, model.columns[own]]
        for column in np.unique(model.columns[own]):
            those = own[model.columns[own] == column]
            others = model.others[:, those[0]] * s.sharpness
            settled[:, WRONG - 1, those + 1] = (whole + others * wide).min(axis=1)[:, None]
    for column in np.unique(model.columns):
        those = np.flatnonzero(model.columns == column)
        others = model.others[:, those[0]] * s.sharpness
        here[:, WRONG - 1, those + 1] = (now + others).min(axis=1)[:, None]
    return here, settled


def _over(sums: Costs, rows: NDArray[np.int64], wide: int) -> Costs:
    """Costs of each key over the last ``wide`` frames."""
    return np.asarray(sums[rows + 1] - sums[np.maximum(rows + 1 - wide, 0)])
