"""The states of the model that follows a take, and what does not change from frame to frame.

Conventions.  Costs are added and the lowest wins.  Notes are numbered from 0; place 0 of
the arrays over places is the silence before the first note, place i + 1 is note i.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.hearing import Hearing
from drills.listening.settings import USUAL, Following
from drills.listening.wanted import Wanted

Costs = NDArray[np.float64]
Whole = NDArray[np.int64]

REST, NOTE, AGAIN, WRONG, ADDED = range(5)
"""What sounds at a place."""
KINDS: Final = 5
NEVER: Final = 1e12
MISREAD: Final = (12, 19, 24, 28, 31)
"""Semitones between the first harmonics of a tone, as which its pitch is misread."""


def silence_costs(hearing: Hearing, settings: Following = USUAL) -> Costs:
    """What it costs to call each frame silence: dear where pitched sound is heard."""
    level = hearing.level.astype(np.float64)
    high = hearing.survey.loud
    low = max(hearing.survey.quiet, high - 70)
    floor = np.clip((level - low - 3) / max(min(high - low - 6, 30), 6), 0, 1)
    best = hearing.costs.min(axis=1).astype(np.float64)
    usual = float(np.median(best[level > high - 12])) if (level > high - 12).any() else 0.0
    pitched = np.clip(1 - best + usual, 0, 1)
    quiet = settings.quiet + 0.9 * np.minimum(1, 1.6 * floor) * np.maximum(pitched, 0.35)
    return np.asarray(np.minimum(quiet, settings.noise + usual))


@dataclass(frozen=True, slots=True)
class Model:
    """Everything that does not change from frame to frame."""

    columns: Whole
    same: NDArray[np.bool_]
    """Place i and the one before have one pitch."""
    skip: Costs
    back: Costs
    others: Costs
    """Keys x notes: what is added to another pitch in place of a note."""
    extra: Costs
    """Keys x places: what is added to a pitch that sounds after a place and is not written."""
    wide: Whole
    """Frames that each place lasts at least; the first, that an added note lasts."""
    gap: int


def model_of(hearing: Hearing, wanted: Wanted, s: Following) -> Model:
    keys = np.array([note.key for note in wanted.notes])
    columns = keys - hearing.keys[0]
    grace = np.array([note.grace for note in wanted.notes])
    apart = np.abs(np.array(hearing.keys)[:, None] - keys[None, :])
    others = np.where(apart == 0, NEVER, _unlikely(apart, s))
    # Where two tones meet in a room they look like a lower one that both are harmonics of.
    around = np.concatenate([apart[:, :1], apart, apart[:, -1:]], axis=1)
    mixed = np.isin(around, MISREAD)
    extra = _unlikely(np.minimum(around[:, :-1], around[:, 1:]), s)
    extra += np.where(mixed[:, :-1] | mixed[:, 1:], s.octave_frame, 0.0)
    back = np.array(
        [0.0 if n.beat or i == 0 else s.back_off_beat for i, n in enumerate(wanted.notes)]
    )
    same = np.zeros(len(keys), dtype=bool)
    same[1:] = keys[1:] == keys[:-1]
    lasts = np.array([s.shortest_share * n.length * wanted.pace for n in wanted.notes])
    lasts = np.concatenate([[s.shortest], np.clip(lasts, s.shortest, s.shortest_worst)])
    return Model(
        columns,
        same,
        np.concatenate([[0.0], np.cumsum(np.where(grace, 0.7, s.missed))]),
        back,
        others,
        extra,
        np.maximum(np.round(lasts / hearing.seconds_a_frame), 2).astype(np.int64),
        round(s.gap / hearing.seconds_a_frame),
    )


def _unlikely(apart: Whole, s: Following) -> Costs:
    """What a pitch costs in each frame for being so many semitones from what is written."""
    found = np.where(np.isin(apart, MISREAD), s.octave_frame, 0.0) + s.wrong_frame
    return np.asarray(found + s.far_frame * np.maximum(apart - 7, 0))
