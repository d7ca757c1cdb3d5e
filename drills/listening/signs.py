"""Signs of an attack: a dip of a key's partials, and a break in how they go on.

Problem.  The same pitch struck again changes nothing but, for a moment, its strength; and in
a room not even that.  Method.  The levels of the key's own partials, each against its usual
one, so that other tones and noise say little; in a room their phases as well.

Conventions.  Decibels, frames x keys.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.spectra import Floats, Waves, Window

PARTIALS: Final = 14
REACH: Final = 2
"""Frames to either side of a moment that are compared ..."""
STEADY: Final = 9
"""... and over which it is told how fast each partial turns."""
DEEP: Final = 14.0
"""The deepest dip of a partial that counts, dB."""
CLEAR_DIP: Final = 6.0
"""Decibels of a dip that are a clear sign."""
USUAL_BREAK: Final = 0.08
"""How far over the recording's usual value a break is none yet ..."""
CLEAR_BREAK: Final = 0.25
"""... and how much further it is a clear sign."""
DIP_SHARE: Final = 0.55
BREAK_SHARE: Final = 0.65
"""What either says in a room, where neither is sure by itself."""


def attacks(
    window: Window,
    waves: Waves,
    energy: NDArray[np.floating],
    frequencies: Sequence[float],
    sounding: NDArray[np.bool_],
    *,
    room: bool,
) -> Floats:
    """How clearly a key is struck, 0 to 1: by its dip, in a room by its break as well.

    ``energy`` is that of the waves without the room; ``frequencies`` in cycles a sample.
    """
    dip = np.clip(dips(partial_levels(window, energy, frequencies, sounding)) / CLEAR_DIP, 0, 1)
    if not room:
        return np.asarray(dip)
    broken = breaks(window, waves, frequencies, sounding)
    usual = float(np.median(broken[sounding])) if sounding.any() else 0.5
    clear = np.clip((broken - usual - USUAL_BREAK) / CLEAR_BREAK, 0, 1)
    return np.asarray(np.clip(DIP_SHARE * dip + BREAK_SHARE * clear, 0, 1))


def partial_levels(
    window: Window,
    energy: NDArray[np.floating],
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


def breaks(
    window: Window, waves: Waves, frequencies: Sequence[float], sounding: NDArray[np.bool_]
) -> Floats:
    """How far the partials of each key are from going on as they went, 0 to 1.

    A tone that goes on turns its phases evenly; one that begins anew does not, even where it
    is as strong as what the room holds of the one before (after the complex difference of
    Duxbury, Bello, Davies and Sandler, DAFx 2003, from memory).
    """
    found = np.empty((len(waves), len(frequencies)), dtype=np.float32)
    frames = np.arange(len(waves))
    late = np.minimum(frames + REACH, len(waves) - 1)
    early = np.maximum(frames - REACH, 0)
    for column, f0 in enumerate(frequencies):
        bins = np.round(np.arange(1, PARTIALS + 1) * f0 * window.padded).astype(np.int64)
        places = bins - window.low
        own = waves[:, places[(places >= 0) & (places < waves.shape[1])]]
        turn = np.zeros_like(own)
        turn[1:] = own[1:] * np.conj(own[:-1])
        sums = np.concatenate([np.zeros_like(own[:1]), np.cumsum(turn, axis=0)])
        high, low = np.minimum(frames + STEADY, len(own)), np.maximum(frames - STEADY, 0)
        even = sums[high] - sums[low]
        even /= np.maximum(np.abs(even), 1e-20)
        gone_on = own[early] * even ** (late - early)[:, None]
        size = np.abs(own)
        off = np.abs(own[late] - gone_on) / (size[late] + size[early] + 1e-9)
        sounds = sounding[:, column]
        top = np.median(size[sounds], axis=0) if sounds.sum() > 5 else np.median(size, axis=0)
        weight = (top / max(float(top.max()), 1e-9)) ** 0.7
        found[:, column] = (off * weight).sum(axis=1) / weight.sum()
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
