"""Signs of an attack: how far the partials of a key have just dipped.

Problem.  The same pitch struck again changes nothing but, for a moment, its strength.
Method.  The levels of the key's own partials, each against its usual one, so that other
tones and noise say little.

Conventions.  Decibels, frames x keys.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.spectra import Floats, Window

PARTIALS: Final = 14
DEEP: Final = 14.0
"""The deepest dip of a partial that counts, dB."""


def partial_levels(
    window: Window,
    energy: Floats,
    frequencies: Sequence[float],
    sounding: NDArray[np.bool_],
) -> Floats:
    """For each frequency (cycles a sample) the mean of its partials' levels, dB, each against
    its own usual one where the key is ``sounding`` (frames x keys)."""
    found = np.empty((len(energy), len(frequencies)), dtype=np.float32)
    for column, f0 in enumerate(frequencies):
        bins = np.arange(1, PARTIALS + 1) * f0 * window.padded
        places = np.round(bins).astype(np.int64) - window.low
        level = 10 * np.log10(energy[:, places[(places >= 0) & (places < energy.shape[1])]] + 1e-12)
        sounds = sounding[:, column]
        top = np.median(level[sounds], axis=0) if sounds.sum() > 5 else np.median(level, axis=0)
        weight = 10 ** ((top - top.max()) * 0.035)
        under = np.clip(level - top, -DEEP, DEEP / 2)
        found[:, column] = (under * weight).sum(axis=1) / weight.sum()
    return found


def dips(curves: Floats) -> Floats:
    """How far each curve has just risen from a dip, and had fallen into it, in dB.

    At each frame: the lowest value of the last 40 ms, against the lower of the highest
    in the 90 ms before that and the highest in the next 50 ms.
    """
    behind, ahead, around = 15, 9, 7
    padded = np.pad(curves, ((behind + around, ahead), (0, 0)), mode="edge")
    view = np.lib.stride_tricks.sliding_window_view(padded, behind + around + ahead + 1, axis=0)
    before = view[..., :behind].max(axis=-1)
    lowest = view[..., behind : behind + around].min(axis=-1)
    after = view[..., behind + around :].max(axis=-1)
    return np.asarray(np.maximum(np.minimum(before, after) - lowest, 0), dtype=np.float32)
