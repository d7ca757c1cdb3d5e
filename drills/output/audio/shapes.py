"""What struck sounds are put together from: ringing modes, filtered hiss, a tap.

Method: modal synthesis (a struck body rings in decaying sines) and noise shaped in
the frequency domain, as textbooks of computer music describe them.  Nothing
sounds before the first sample, since every envelope begins with it.

Conventions: times in seconds, frequencies in Hz, levels linear; ``rate`` is samples
a second.  A decay is the time in which a sound falls by 60 dB.  Randomness is the raw
output of a PCG64 bit generator, whose stream NumPy keeps the same from version to
version (NumPy Enhancement Proposal 19), so that a sound is the same sound every time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

Wave = npt.NDArray[np.float64]

_SIXTY_DECIBELS: Final = float(np.log(1000.0))
_SETTLING: Final = 0.02
"""Seconds in which a glide comes down to a third."""
_EDGE: Final = 0.25
"""How far a band's edges reach, in octaves to either side."""
_HIGHEST: Final = 0.45
"""Of the rate: nothing is made above, so that nothing folds back."""


@dataclass(frozen=True, slots=True)
class Mode:
    """A frequency at which the body rings."""

    hertz: float
    level: float
    decay: float
    """Seconds to fall by 60 dB."""
    glide: float = 0.0
    """Hz by which it starts too high."""
    phase: float = 0.0
    """In cycles: where in its swing it starts."""


@dataclass(frozen=True, slots=True)
class Hiss:
    """Noise: snares, jingles, beads, the wash of a cymbal."""

    low: float
    high: float
    """Hz."""
    level: float
    decay: float
    rise: float = 0.0
    """Seconds until it is at its loudest."""


def ringing(mode: Mode, count: int, rate: int) -> Wave:
    """A mode that rings out, at full level.

    With no phase the first sample is one past the zero crossing, so that it sounds at once.
    """
    if mode.hertz + mode.glide > _HIGHEST * rate:
        return np.zeros(count)
    at = np.arange(1, count + 1) / rate
    bent = mode.glide * _SETTLING * (1 - np.exp(-at / _SETTLING))
    swinging = np.sin(2 * np.pi * (mode.hertz * at + bent + mode.phase))
    return swinging * falling(mode.decay, count, rate)


def hissing(hiss: Hiss, seed: int, rate: int) -> Wave:
    """Noise between two frequencies, as long as its decay; its mean square is 1 at the start."""
    count = max(2, round(hiss.decay * rate))
    spectrum = np.fft.rfft(white(count, seed))
    octaves = np.log2(np.maximum(np.fft.rfftfreq(count, 1 / rate), 1.0))
    top = min(hiss.high, _HIGHEST * rate)
    inside = _slope(octaves - np.log2(hiss.low)) * _slope(np.log2(top) - octaves)
    noise = np.fft.irfft(spectrum * inside, count)
    noise /= np.sqrt(np.mean(noise**2)) or 1.0
    rising = np.minimum(1.0, np.arange(1, count + 1) / max(1.0, hiss.rise * rate))
    return noise * rising * falling(hiss.decay, count, rate)


def tap(seconds: float, count: int, rate: int) -> Wave:
    """The stick meeting the body: at its highest in the first sample, then gone."""
    touch: Wave = np.exp(-np.arange(count) / (seconds * rate))
    return touch


def falling(decay: float, count: int, rate: int) -> Wave:
    """From 1 down by 60 dB in ``decay`` seconds, and on."""
    fallen: Wave = np.exp(np.arange(count) * (-_SIXTY_DECIBELS / (decay * rate)))
    return fallen


def white(count: int, seed: int) -> Wave:
    """Noise between -1 and 1: the upper 53 bits of PCG64's 64."""
    raw = np.random.PCG64(seed).random_raw(count)
    return (raw >> np.uint64(11)).astype(np.float64) * 2.0**-52 - 1.0


def finished(wave: Wave) -> Wave:
    """Without a constant part, ending in silence, with a peak of 1.

    What is constant is taken out along the sound's own envelope, so that nothing
    sounds before or after it.
    """
    count = len(wave)
    ending = max(1, count // 5)
    wave = wave.copy()
    wave[-ending:] *= half_cosine(ending)[::-1]
    # the constant part lies where the sound is loud, not in its tail
    envelope = np.abs(wave) + 1e-12
    wave -= envelope * (wave.sum() / envelope.sum())
    wave /= np.abs(wave).max()
    return wave


def half_cosine(count: int) -> Wave:
    """A ramp from just above 0 to just below 1, without a corner at either end."""
    sine: Wave = np.sin(np.arange(1, count + 1) * (np.pi / 2 / (count + 1)))
    return sine * sine


def _slope(octaves: Wave) -> Wave:
    """From 0 to 1 across an edge."""
    inside = np.clip(octaves / (2 * _EDGE) + 0.5, 0.0, 1.0)
    return inside * inside * (3 - 2 * inside)
