"""How loud each voice is, and how far the whole is turned down so that nothing clips.

Conventions: gains in decibels, added to those of practice.voices.VOICES.  A click of
level 1 and gain 0 peaks at REFERENCE in every file, so that files of
different days sound alike; only a mix that would come above CEILING is turned down,
as a whole, so that the balance stays what the player chose.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import isfinite
from typing import Final

import numpy as np

from drills.errors import UsageError
from drills.output.audio.mixing import Scene
from drills.output.audio.truepeak import TAPS, Wave, true_peak
from drills.sound.practice.voices import VOICES

REFERENCE: Final = -9.0
"""Decibels of full scale at which a click peaks."""
CEILING: Final = -1.0
"""Decibels of full scale that no true peak exceeds (EBU R 128: at most -1 dB true peak)."""
_GAINS: Final = (-60.0, 20.0)


def amplitudes(gains: Mapping[str, float]) -> dict[str, float]:
    """The linear full scale of every voice.

    ``gains`` are decibels on top of the usual ones.  Raises UsageError for a voice
    that does not exist and for a gain outside -60 to 20 dB.
    """
    for name, gain in gains.items():
        if name not in VOICES:
            raise UsageError(f"there is no voice {name!r}; there are {', '.join(VOICES)}")
        if not (isfinite(gain) and _GAINS[0] <= gain <= _GAINS[1]):
            raise UsageError(
                f"a gain of {gain} dB for {name} is out of range; "
                f"give one from {_GAINS[0]:.0f} to {_GAINS[1]:.0f}"
            )
    return {
        name: linear(REFERENCE + voice.gain + gains.get(name, 0.0))
        for name, voice in VOICES.items()
    }


def linear(decibels: float) -> float:
    """-20 dB is 0.1."""
    return float(10.0 ** (decibels / 20))


def headroom(scenes: Iterable[Scene]) -> float:
    """The factor, at most 1, that keeps the true peak of the whole at CEILING or below.

    A block whose sounds together cannot come that high is not even mixed; the rest is
    measured (truepeak.py).
    """
    ceiling = linear(CEILING)
    highest = 0.0
    before: Scene | Wave | None = None
    for scene in scenes:
        if scene.bound() <= ceiling:
            before = scene
            continue
        samples = scene.mixed()
        if isinstance(before, Scene):
            before = before.mixed()
        highest = max(highest, true_peak(samples, _last(before)))
        before = samples
    return min(1.0, ceiling / highest) if highest else 1.0


def _last(samples: Wave | None) -> Wave:
    """The samples that come before a block, as many as the interpolation looks back on."""
    led = np.zeros(TAPS - 1)
    if samples is not None:
        count = min(len(samples), TAPS - 1)
        led[len(led) - count :] = samples[len(samples) - count :]
    return led
