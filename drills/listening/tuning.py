"""The player's own A: how far a take as a whole lies from A = 440 Hz.

Method.  At some loud moments the best periodicity of any wanted key is taken, for every
tuning from half a semitone down to half a semitone up: at the period, and at several, which
tell tunings apart but alone are also several periods of quite other keys at quite other
tunings (four of one as three of its fourth).  The tuning that fits best on the whole is
refined by a parabola.  Near half a semitone it could be the next key as well, so
the other reading is returned too.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.hearing import frequency
from drills.listening.spectra import Floats, Samples, Window, frame_count, hop_samples, weighed
from drills.listening.survey import levels

Curve = NDArray[np.float64]

MOMENTS: Final = 500
LOOKED_AT: Final = 20_000
"""Frames of a recording that are looked at for loud moments, ..."""
PIECE: Final = 500
"""... so many at once."""
STEP: Final = 5.0
"""Cents."""
WINDOW: Final = 0.08
DOUBTFUL: Final = 32.0
"""Cents from which on the tuning could as well be that of the next key."""
SHORTEST: Final = 0.15
"""Seconds under which nothing is said about the pitch of a note."""
PIECE_LENGTH: Final = 0.06
"""Seconds of the pieces of one tone, ..."""
PIECE_STEP: Final = 0.01
"""... from one to the next, ..."""
MOST_PIECES: Final = 60
"""... and how many of them there are at most: of a long tone they lie farther apart."""
EDGE: Final = 0.015
"""Seconds left out at both ends of a tone, where it comes from another or goes to it."""
OUTER: Final = 1.5
"""Weight of the first and the last piece, which stand for what lies beside them as well."""
FAR: Final = 15.0
"""Cents from the mean from which on a piece weighs less: vibrato is narrower as a rule."""
ROUNDS: Final = 4
FINE: Final = 4.0
"""Cents."""
UNCLEAR: Final = 0.3
"""Periodicity of a tone's pieces, on average, under which its pitch is not told: other tones or
noise are louder than it."""
FEWEST_INNER: Final = 4
"""Pieces of which the outermost, that lie nearest other tones, say nothing about steadiness."""


def tunings_of(samples: Samples, rate: int, keys: Sequence[int]) -> tuple[float, ...]:
    """Cents above A = 440 Hz: the likeliest, and where it is doubtful the other one."""
    loud = _loud_moments(samples, rate)
    if len(loud) < 10:
        return (0.0,)
    chosen = loud[np.unique(np.linspace(0, len(loud) - 1, MOMENTS).astype(int))]
    window = Window.of(WINDOW, rate, frequency(keys[0]) * 0.6, 4000.0)
    power = weighed(window.energy(samples, chosen))
    share = power / np.maximum(power.sum(axis=1, keepdims=True), 1e-12)
    cents = np.arange(-50.0, 50.0, STEP)
    lags = np.array([[rate / frequency(k, c) for k in keys] for c in cents])
    times = np.clip(np.round(0.02 * rate / lags), 1, None)
    fits = np.array(
        [
            float(
                np.mean(
                    (share @ window.kernel(lag) + share @ window.kernel(lag * often)).max(axis=1)
                )
            )
            for lag, often in zip(lags, times, strict=True)
        ]
    )
    best = int(fits.argmax())
    low, high = fits[best - 1], fits[(best + 1) % len(fits)]
    bend = low - 2 * fits[best] + high
    shift = 0.5 * (low - high) / bend if bend < 0 else 0.0
    found = float(cents[best] + STEP * shift)
    if abs(found) < DOUBTFUL:
        return (found,)
    return (found, found - 100.0 if found > 0 else found + 100.0)


def _loud_moments(samples: Samples, rate: int) -> NDArray[np.int64]:
    """Samples about which it is loud, of at most ``LOOKED_AT`` over the whole recording."""
    hop, count = hop_samples(rate), frame_count(len(samples), rate)
    every = -(-count // LOOKED_AT)
    centres = np.arange(0, count, every, dtype=np.int64) * hop
    level = np.concatenate(
        [
            levels(samples, centres[first : first + PIECE], int(0.03 * rate))
            for first in range(0, len(centres), PIECE)
        ]
    )
    return np.asarray(centres[level > np.percentile(level, 95) - 14])


def cents_of(
    samples: Samples, rate: int, begin: float, end: float, hertz: float
) -> tuple[float, float] | None:
    """Cents of a tone beside ``hertz``, and how unsteady it is (half the range of the middle two
    thirds of its pieces, cents).  None where it is too short, or no pitch near ``hertz`` is clear.

    From the autocorrelation of pieces of 60 ms (longer for low tones) every 10 ms, the first and
    the last 15 ms left out; what all pieces say as a mean, since that is what a vibrato is heard
    at (Shonle and Horan, J. Acoust. Soc. Am. 67, 1980, from memory), loud pieces weighing more,
    and those less that lie far off, on which another tone still sounds.
    """
    length = max(PIECE_LENGTH, 6 / hertz)
    first, last = begin + EDGE, end - EDGE
    if last - first < length or end - begin < SHORTEST:
        return None
    count = int(min((last - first - length) / PIECE_STEP + 1, MOST_PIECES))
    centres = (np.linspace(first + length / 2, last - length / 2, count) * rate).astype(np.int64)
    window = Window.of(length, rate, hertz * 0.7, min(hertz * 8.5, 0.45 * rate))
    energy = window.energy(samples, centres)
    found, clear = _pieces(window, energy, rate / hertz)
    weight = np.sqrt(energy.sum(axis=1, dtype=np.float64)) + 1e-12
    if np.average(clear, weights=weight) < UNCLEAR:
        return None
    weight[[0, -1]] *= OUTER
    mean = float(np.median(found))
    for _ in range(ROUNDS):
        near = weight / np.maximum(np.abs(found - mean) / FAR, 1) ** 2
        mean = float(np.average(found, weights=near))
    inner = found[1:-1] if count > FEWEST_INNER else found
    return mean, float(np.percentile(inner, 84) - np.percentile(inner, 16)) / 2


def _pieces(window: Window, energy: Floats, period: float) -> tuple[Curve, Curve]:
    """Cents of every piece beside a period in samples, and how periodic it is there, 0 to 1."""
    power = weighed(energy)
    cents = np.arange(-60.0, 60.0 + FINE, FINE)
    lags = period / 2 ** (cents / 1200)
    times = max(np.floor(0.3 * window.size / lags.max()), 1)
    fits = (power / np.maximum(power.sum(axis=1, keepdims=True), 1e-12)) @ window.kernel(
        lags * times
    )
    best = np.clip(fits.argmax(axis=1), 1, len(cents) - 2)
    rows = np.arange(len(best))
    low, mid, high = fits[rows, best - 1], fits[rows, best], fits[rows, best + 1]
    bend = np.minimum(low - 2 * mid + high, -1e-9)
    return cents[best] + np.clip(FINE * 0.5 * (low - high) / bend, -FINE, FINE), mid
