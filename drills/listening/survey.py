"""What is so of a recording as a whole, found in one go through it.

Problem.  What is loud, what is silence and what the room adds cannot be told from a piece of
a recording.  Method.  The levels of all frames are counted, block by block, in steps of a
quarter of a decibel, so that an hour takes no more memory than a minute.

Conventions.  Levels in dB of full scale.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.room import Tail, tail_of
from drills.listening.spectra import (
    Floats,
    Samples,
    Window,
    frame_count,
    hop_samples,
    noise_floor,
    piece_of,
)

LEVEL: Final = 0.014
"""Seconds that a level is taken over."""
LOWEST: Final = -120.0
STEP: Final = 0.25
FRAMES: Final = 8192
"""Frames that are counted at once."""
NOISE_WINDOW: Final = 0.032
"""Seconds."""


@dataclass(frozen=True, slots=True)
class Survey:
    """A recording as a whole."""

    tail: Tail
    least: float
    """The level of its quietest frame, ..."""
    quiet: float
    """... that under which three frames in a hundred lie, ..."""
    loud: float
    """... that over which five in a hundred lie, ..."""
    most: float
    """... and that of its loudest."""
    noise: Floats
    """The steady noise: power of a sample for each cycle a sample, from 0 to half a cycle a
    sample in even steps."""

    def noise_at(self, cycles: NDArray[np.floating]) -> NDArray[np.float64]:
        """The noise at frequencies in cycles a sample."""
        steps = np.linspace(0, 0.5, len(self.noise))
        return np.asarray(np.interp(cycles, steps, self.noise))


def survey_of(samples: Samples, rate: int, lowest: float) -> Survey:
    """Go through a recording whose lowest partial has ``lowest`` hertz."""
    count, hop = frame_count(len(samples), rate), hop_samples(rate)
    found = np.zeros(round(-LOWEST / STEP) + 1, dtype=np.int64)
    for first in range(0, count, FRAMES):
        centres = np.arange(first, min(first + FRAMES, count), dtype=np.int64) * hop + hop // 2
        level = np.clip(levels(samples, centres, int(LEVEL * rate)), LOWEST, 0.0)
        found += np.bincount(np.round((level - LOWEST) / STEP).astype(int), minlength=len(found))
    below = np.cumsum(found) / max(count, 1)
    least, quiet, loud, most = (
        LOWEST + STEP * int(np.argmax(below > share)) for share in (0.0, 0.03, 0.95, 1 - 1e-9)
    )
    window = Window.of(NOISE_WINDOW, rate, 0.0, rate)
    noise = np.pad(noise_floor(window, samples, rate), 1, mode="edge")
    noise /= float((window.shape**2).sum())
    tail = tail_of(samples, rate, lowest, 4000.0)
    return Survey(tail, least, quiet, loud, most, np.asarray(noise, dtype=np.float32))


def levels(samples: Samples, centres: NDArray[np.int64], size: int) -> Floats:
    """Level around places, dB of full scale, by the mean square of ``size`` samples."""
    low, high = int(centres[0]) - size, int(centres[-1]) + size
    sums = np.cumsum(np.pad(piece_of(samples, low, high).astype(np.float64) ** 2, (1, 0)))
    mean = (sums[centres + size // 2 - low] - sums[centres - size // 2 - low]) / (size // 2 * 2)
    return np.asarray(10 * np.log10(np.maximum(mean, 1e-12)), dtype=np.float32)
