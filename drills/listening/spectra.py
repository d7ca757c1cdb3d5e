"""Short spectra of a recording, and how periodic each is at a wanted period.

Problem.  Whether a tone of a given pitch sounds in a few hundredths of a second.
Method.  The autocorrelation of a windowed piece, divided by that of its window
(Boersma, Proceedings of the Institute of Phonetic Sciences 17, 1993, from memory), is 1
where the sound repeats exactly after the lag.  It is a sum of cosines over the power
spectrum, so it is evaluated for just the lags that are asked for, at fractions of a
sample, as one matrix product.

Conventions.  Samples are floats, mono.  A frame is a place ``HOP`` seconds after the one
before; its windows are centred on it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Waves = NDArray[np.complexfloating]


class Samples(Protocol):
    """Mono samples of a recording: an array, or a file of which pieces are read."""

    def __len__(self) -> int:
        """How many."""
        ...

    def __getitem__(self, piece: slice, /) -> Floats:
        """Some of them."""
        ...


HOP: Final = 0.006
"""Seconds from frame to frame, rounded to whole samples."""
WINDOWS: Final = (0.032, 0.048, 0.080)
"""Lengths of the windows, seconds: high tones change fast, low ones need long windows."""
PERIODS: Final = 5.0
"""Periods that a window must hold at least."""
LOUDNESS_POWER: Final = 0.6
"""Exponent of the power spectrum: weak partials count for more than their energy."""
NOISE_FRAMES: Final = 1200
"""Frames, over the whole recording, that tell its noise."""
NOISE_REACH: Final = 200.0
"""Hertz to either side over which noise is thought to be even."""
NOISE_OVER: Final = 2.0
NOISE_TRACE: Final = 0.002
BLOCK: Final = 256
"""Frames that are worked on at once."""
PADDED: Final = 1.5
"""Length of a transform in windows: lags of up to half a window are not mixed with others."""


@dataclass(frozen=True, slots=True)
class Window:
    """One length of window and the bins that are looked at."""

    size: int
    """Samples."""
    padded: int
    shape: Floats
    low: int
    high: int
    bins: NDArray[np.float64]
    """Their frequencies, cycles a sample."""

    @classmethod
    def of(cls, seconds: float, rate: int, lowest: float, highest: float) -> Window:
        """A Hann window; looked at between two frequencies in hertz."""
        size = 2 * (int(seconds * rate) // 2)
        padded = _quick(int(PADDED * size))
        shape = np.hanning(size + 2)[1:-1].astype(np.float32)
        low = max(1, int(lowest / rate * padded))
        high = min(padded // 2, int(highest / rate * padded) + 1)
        return cls(size, padded, shape, low, high, np.arange(low, high) / padded)

    def energy(self, samples: Samples, centres: NDArray[np.int64]) -> Floats:
        """Energies (frames x bins); outside the samples there is silence."""
        found = np.empty((len(centres), self.high - self.low), dtype=np.float32)
        for rows, wave in self._waves(samples, centres):
            found[rows] = wave.real**2 + wave.imag**2
        return found

    def waves(self, samples: Samples, centres: NDArray[np.int64]) -> Waves:
        """The same with phases, which turn as the tones do."""
        found = np.empty((len(centres), self.high - self.low), dtype=np.complex64)
        for rows, wave in self._waves(samples, centres):
            found[rows] = wave
        return found

    def _waves(self, samples: Samples, centres: NDArray[np.int64]) -> Iterator[tuple[slice, Waves]]:
        first = centres - self.size // 2
        hop = int(first[1] - first[0]) if len(first) > 1 else 1
        if 0 < hop < self.size and (np.diff(first) == hop).all():
            piece = piece_of(samples, int(first[0]), int(first[-1]) + self.size)
            frames = np.lib.stride_tricks.sliding_window_view(piece, self.size)[::hop]
        else:
            frames = np.stack([piece_of(samples, int(at), int(at) + self.size) for at in first])
        for begin in range(0, len(first), BLOCK):
            rows = slice(begin, begin + BLOCK)
            yield rows, np.fft.rfft(frames[rows] * self.shape, self.padded)[:, self.low : self.high]

    def kernel(self, lags: NDArray[np.float64]) -> Floats:
        """What turns a spectrum that sums to 1 into its periodicity at lags in samples."""
        cosines = np.cos(2 * np.pi * self.bins[:, None] * lags[None, :])
        x = np.clip(lags / self.size, 0, 0.75)  # the autocorrelation of a Hann window
        own = (1 - x) * (2 / 3 + np.cos(2 * np.pi * x) / 3) + np.sin(2 * np.pi * x) / (2 * np.pi)
        return (cosines / own[None, :]).astype(np.float32)


def piece_of(samples: Samples, low: int, high: int) -> Floats:
    """Samples low .. high - 1, silent outside the recording."""
    begin, end = max(low, 0), min(high, len(samples))
    inside = samples[begin : max(end, begin)]
    if low >= 0 and high <= len(samples):
        return inside
    found = np.zeros(high - low, dtype=np.float32)
    if len(inside):
        found[begin - low : begin - low + len(inside)] = inside
    return found


def _quick(least: int) -> int:
    """The smallest even length that is at least so long and a product of 2, 3 and 5."""
    size = least + least % 2
    while True:
        rest = size
        for prime in (2, 3, 5):
            while rest % prime == 0:
                rest //= prime
        if rest == 1:
            return size
        size += 2


def noise_floor(window: Window, samples: Samples, rate: int) -> Floats:
    """The steady noise of a recording in each bin: what is there in its quietest moments.

    From the tenth percentile over time, which for noise is a ninth of its mean, made
    smooth over the bins, so that no tone is taken for noise.
    """
    hop = hop_samples(rate)
    count = frame_count(len(samples), rate)
    places = np.unique(np.linspace(0, count - 1, min(count, NOISE_FRAMES)).astype(np.int64))
    energy = window.energy(samples, places * hop)
    low = np.percentile(energy, 10, axis=0) / -np.log(0.9)
    reach = max(int(NOISE_REACH / rate * window.padded), 3)
    padded = np.pad(low, reach, mode="edge")
    view = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1)
    return np.asarray(np.median(view, axis=1), dtype=np.float32)


def without(energy: Floats, noise: Floats) -> Floats:
    """Energies without steady noise; a trace is left."""
    less = np.float32(NOISE_OVER) * noise
    return np.asarray(np.maximum(energy - less, np.float32(NOISE_TRACE) * energy))


def weighed(energy: Floats) -> Floats:
    """Energies so that weak partials count for more."""
    return np.asarray(energy ** np.float32(LOUDNESS_POWER))


def frame_count(samples: int, rate: int) -> int:
    """Frames of a recording."""
    return max(samples // hop_samples(rate), 1)


def hop_samples(rate: int) -> int:
    """Samples from frame to frame."""
    return max(round(HOP * rate), 1)
