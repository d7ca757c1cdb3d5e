"""What a recording holds at every moment: the cost of each pitch, of silence, of an attack.

Problem.  A model that follows the written notes asks at every moment how badly each
semitone fits what sounds.  Method.  The periodicity at the period and at a multiple of it
(several periods tell neighbours apart), lowered where a half, third or fifth of the
period fits as well, since then the tone is an octave or a twelfth higher.

Conventions.  A cost is 0 for a perfect fit and about 1 for none.  Keys are MIDI numbers of
sounding pitch; the tuning is in cents above A = 440 Hz.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.room import OPEN_AIR, Tail, tail_of
from drills.listening.spectra import (
    HOP,
    PERIODS,
    WINDOWS,
    Floats,
    Window,
    blocks,
    frame_count,
    hop_samples,
    noise_floor,
    weighed,
    without,
)

FINE: Final = (-40.0, -20.0, 0.0, 20.0, 40.0)
"""Cents beside a semitone at which it is still looked for."""
SEVERAL: Final = 0.014
"""Seconds that several periods together should reach ..."""
MOST_PERIODS: Final = 8.0
"""... in at most so many: a semitone is then half a period off, which tells it best."""
PARTS: Final = ((2, 2.0, 0.03, 0.45), (3, 1.5, 0.025, 0.45), (5, 1.25, 0.02, 0.25))
"""Part of the period; what a spectrum without the partials between loses; the share of
the sound that they must have; the cost where they have nothing."""
WORST: Final = 1.2
SHORT: Final = 0.018
"""Seconds of the windows that see a dip between two attacks."""
PARTIALS: Final = 14
SOUNDS: Final = 0.35
"""Cost below which a key is taken to sound."""
DEEP: Final = 14.0
"""The deepest dip of a partial that counts, dB."""
WARM_UP: Final = 60
"""Frames before a block that the room is followed over."""


@dataclass(frozen=True, slots=True)
class Hearing:
    """A recording as the model sees it."""

    rate: int
    hop: int
    keys: tuple[int, ...]
    tuning: float
    costs: Floats
    """Frames x keys."""
    level: Floats
    """Frames, dB of full scale."""
    dip: Floats
    """Frames x struck keys: how far, in dB, the key's partials have just been below what
    lies around."""
    tail: Tail = OPEN_AIR
    struck: tuple[int, ...] = ()

    @property
    def frames(self) -> int:
        """How many."""
        return len(self.level)

    @property
    def seconds_a_frame(self) -> float:
        """Exact hop."""
        return self.hop / self.rate

    def key_index(self, key: int) -> int:
        """Column of a key."""
        return key - self.keys[0]


def frequency(key: float, tuning: float = 0.0) -> float:
    """Hertz of a MIDI number."""
    return float(440.0 * 2 ** ((key - 69 + tuning / 100) / 12))


@dataclass(frozen=True, slots=True)
class _Band:
    """The keys that share a window."""

    window: Window
    noise: NDArray[np.float64]
    keys: tuple[int, ...]
    once: Floats
    often: Floats
    parts: tuple[Floats, ...]


def _bands(samples: Floats, keys: Sequence[int], rate: int, tuning: float) -> list[_Band]:
    found = []
    top = min(0.45 * rate, max(5000.0, 3 * frequency(keys[-1])))
    for place, seconds in enumerate(WINDOWS):
        long = place == len(WINDOWS) - 1
        above = frequency(keys[0]) * 0.5 if place == 0 else PERIODS / WINDOWS[place - 1]
        own = tuple(
            k
            for k in keys
            if (long or frequency(k) * seconds >= PERIODS) and (place == 0 or frequency(k) < above)
        )
        if not own:
            continue
        window = Window.of(seconds, rate, frequency(own[0]) * 0.6, top)
        cents = np.array([tuning + f for f in FINE])
        lags = np.array([rate / frequency(k, c) for k in own for c in cents])
        times = np.clip(np.round(SEVERAL * rate / lags), 1, MOST_PERIODS)
        times = np.minimum(times, np.maximum(np.floor(0.45 * window.size / lags), 1))
        found.append(
            _Band(
                window,
                noise_floor(window, samples, rate),
                own,
                window.kernel(lags),
                window.kernel(lags * times),
                tuple(window.kernel(lags / part) for part, *_ in PARTS),
            )
        )
    return found


def _band_costs(band: _Band, power: Floats) -> Floats:
    total = power.sum(axis=1, keepdims=True)
    share = power / np.maximum(total, 1e-12)
    once = share @ band.once
    several = 0.5 * once + 0.5 * (share @ band.often)
    cost = 1 - several
    for (_, loses, needs, worst), kernel in zip(PARTS, band.parts, strict=True):
        between = (once - share @ kernel) / loses
        cost += worst * np.clip(1 - between / needs, 0, 1)
    best = cost.reshape(len(power), len(band.keys), len(FINE)).min(axis=2)
    return np.asarray(np.clip(best, 0, WORST), dtype=np.float32)


def hear(
    samples: Floats, rate: int, keys: Sequence[int], struck: Sequence[int], tuning: float = 0.0
) -> Hearing:
    """Listen to a recording for the keys (in order, without gaps); ``struck`` are those that
    may be struck again."""
    hop = hop_samples(rate)
    count = frame_count(len(samples), rate)
    bands = _bands(samples, keys, rate, tuning)
    tail = tail_of(samples, rate, frequency(keys[0]) * 0.6, 4000.0)
    costs = np.empty((count, len(keys)), dtype=np.float32)
    level = np.empty(count, dtype=np.float32)
    short = Window.of(SHORT, rate, frequency(keys[0]) * 0.6, min(6000.0, 0.45 * rate))
    curves = np.empty((count, len(struck)), dtype=np.float32)
    periods = [frequency(key, tuning) / rate for key in struck]
    for first, end in blocks(count):
        centres = np.arange(first, end, dtype=np.int64) * hop + hop // 2
        for band in bands:
            found = _band_costs(band, _dry(band.window, samples, centres, tail, band.noise))
            low = keys.index(band.keys[0])
            costs[first:end, low : low + len(band.keys)] = found
        level[first:end] = levels(samples, centres, int(0.014 * rate))
        energy = _followed(short, samples, centres, tail, np.zeros(1))
        sounding = costs[first:end, [key - keys[0] for key in struck]] < SOUNDS
        curves[first:end] = _curves(short, energy, periods, sounding)
    return Hearing(rate, hop, tuple(keys), tuning, costs, level, dips(curves), tail, tuple(struck))


def _curves(
    window: Window,
    energy: NDArray[np.float64],
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


def _dry(
    window: Window,
    samples: Floats,
    centres: NDArray[np.int64],
    tail: Tail,
    noise: NDArray[np.float64],
) -> Floats:
    """Weighed spectra without the room and steady noise."""
    return weighed(_followed(window, samples, centres, tail, noise))


def _followed(
    window: Window,
    samples: Floats,
    centres: NDArray[np.int64],
    tail: Tail,
    noise: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Spectra without the room, which is followed from some time before on."""
    if not tail.matters:
        return without(window.energy(samples, centres), noise)
    hop = int(centres[1] - centres[0]) if len(centres) > 1 else 1
    before = centres[0] - hop * np.arange(WARM_UP, 0, -1)
    energy = without(window.energy(samples, np.concatenate([before, centres])), noise)
    return tail.follow(energy, HOP)[WARM_UP:]


def levels(samples: Floats, centres: NDArray[np.int64], size: int) -> Floats:
    """Level around places, dB of full scale, by the mean square of ``size`` samples."""
    low, high = int(centres[0]) - size, int(centres[-1]) + size
    piece = np.zeros(high - low + 1, dtype=np.float64)
    inside = slice(max(low, 0), min(high, len(samples)))
    piece[1 + inside.start - low : 1 + inside.stop - low] = samples[inside].astype(np.float64) ** 2
    sums = np.cumsum(piece)
    mean = (sums[centres + size // 2 - low] - sums[centres - size // 2 - low]) / (size // 2 * 2)
    return np.asarray(10 * np.log10(np.maximum(mean, 1e-12)), dtype=np.float32)


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
