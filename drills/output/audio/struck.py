"""THE TABLE of struck sounds: what each is made of, and the finished waveform.

The modes of the bodies are our own choice by ear, near what textbooks of acoustics
give for such bars, heads and plates; no sample and no sound font is used.  Every
sound begins with its first sample; clicks are at their peak within a millisecond or two.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final
from zlib import crc32

import numpy as np

from drills.output.audio.shapes import Hiss, Mode, Wave, finished, hissing, ringing, tap
from drills.output.audio.truepeak import oversampled

_GOLDEN: Final = 0.6180339887
"""Its multiples spread most evenly over an octave and share no ratio."""
TAIL_STEP: Final = 1024
"""Samples from one entry of ``Struck.tails`` to the next."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """A struck sound."""

    modes: tuple[Mode, ...] = ()
    hisses: tuple[Hiss, ...] = ()
    tap: float = 0.0
    """Level of the stick's contact."""


def _plate(lowest: float, highest: float, level: float, decay: float) -> tuple[Mode, ...]:
    """The crowded modes of a cymbal: no ratio simple, so that no pitch comes out.

    Each starts somewhere else in its swing; together they would be one loud tick.
    """
    places = [(_GOLDEN * number) % 1 for number in range(1, 17)]
    return tuple(
        Mode(
            lowest * (highest / lowest) ** place,
            level / 4,
            decay * (1 - 0.5 * place),
            phase=(number * number * _GOLDEN) % 1,
        )
        for number, place in enumerate(places)
    )


RECIPES: Final = {
    "high-wood-block": Recipe((Mode(1150, 1, 0.09), Mode(2480, 0.5, 0.05), Mode(3950, 0.2, 0.03))),
    "low-wood-block": Recipe((Mode(780, 1, 0.1), Mode(1690, 0.5, 0.06), Mode(2750, 0.25, 0.035))),
    "claves": Recipe((Mode(2480, 1, 0.11), Mode(6100, 0.2, 0.03))),
    "high-claves": Recipe((Mode(3300, 1, 0.11), Mode(7900, 0.2, 0.03))),
    "side-stick": Recipe(
        (Mode(470, 0.5, 0.05), Mode(1720, 0.8, 0.06), Mode(3300, 0.4, 0.04)),
        (Hiss(2000, 8000, 0.2, 0.03),),
        tap=0.4,
    ),
    "beep": Recipe((Mode(1500, 1, 0.12),)),
    "low-beep": Recipe((Mode(1000, 1, 0.12),)),
    "bell": Recipe(
        (
            Mode(1180, 0.6, 1.4),
            Mode(2390, 1, 1.1),
            Mode(3540, 0.5, 0.8),
            Mode(4790, 0.35, 0.5),
            Mode(7010, 0.2, 0.3),
        )
    ),
    "bass-drum": Recipe((Mode(52, 1, 0.45, 90),), (Hiss(150, 3500, 0.08, 0.03),), tap=0.35),
    "snare": Recipe(
        (Mode(188, 0.7, 0.16, 30), Mode(332, 0.4, 0.12)),
        (Hiss(1200, 9500, 0.35, 0.24),),
        tap=0.6,
    ),
    "brush-snare": Recipe(
        (Mode(200, 0.1, 0.1),), (Hiss(1400, 10000, 0.4, 0.28, rise=0.004),), tap=0.3
    ),
    "closed-hi-hat": Recipe(
        _plate(5200, 12500, 0.5, 0.08), (Hiss(6500, 14500, 0.4, 0.1),), tap=0.35
    ),
    "pedal-hi-hat": Recipe(_plate(3800, 9500, 0.5, 0.06), (Hiss(4200, 11000, 0.4, 0.08),), tap=0.3),
    "open-hi-hat": Recipe(_plate(5000, 12500, 0.4, 0.7), (Hiss(6000, 14500, 0.4, 0.9),), tap=0.35),
    "ride": Recipe(
        (Mode(2950, 0.3, 0.35), *_plate(3300, 9500, 0.35, 1.4)),
        (Hiss(5000, 13500, 0.12, 1.3),),
        tap=0.4,
    ),
    "ride-bell": Recipe(
        (
            Mode(1240, 0.5, 0.9),
            Mode(2110, 0.8, 0.8),
            Mode(3390, 0.6, 0.7),
            *_plate(4100, 9500, 0.2, 1.1),
        ),
        tap=0.25,
    ),
    "crash": Recipe(
        _plate(2100, 9800, 0.5, 1.9),
        (Hiss(2300, 13500, 0.4, 1.9, rise=0.002),),
        tap=0.4,
    ),
    "low-tom": Recipe((Mode(92, 1, 0.5, 45), Mode(150, 0.3, 0.25)), (), tap=0.35),
    "mid-tom": Recipe((Mode(134, 1, 0.42, 55), Mode(218, 0.3, 0.2)), (), tap=0.35),
    "high-tom": Recipe((Mode(192, 1, 0.36, 65), Mode(312, 0.3, 0.17)), (), tap=0.35),
    "tambourine": Recipe(
        _plate(6800, 14000, 0.4, 0.25), (Hiss(7000, 15000, 0.35, 0.22, rise=0.001),), tap=0.3
    ),
    "cowbell": Recipe(
        (Mode(562, 0.8, 0.3), Mode(846, 1, 0.3), Mode(1710, 0.4, 0.15), Mode(2560, 0.3, 0.12)),
        tap=0.2,
    ),
    "high-bongo": Recipe((Mode(404, 1, 0.14, 60), Mode(870, 0.3, 0.06)), (), tap=0.3),
    "low-bongo": Recipe((Mode(272, 1, 0.18, 45), Mode(590, 0.3, 0.08)), (), tap=0.3),
    "maracas": Recipe((), (Hiss(5000, 13000, 0.4, 0.07, rise=0.003),), tap=0.3),
    "triangle": Recipe(
        (
            Mode(1630, 0.15, 1.2),
            Mode(4130, 1, 1.5),
            Mode(5870, 0.5, 1.2),
            Mode(7940, 0.35, 0.9),
            Mode(10600, 0.2, 0.6),
        )
    ),
}
"""One for each of practice.voices.SOUNDS."""

_TAP_SECONDS: Final = 0.0003

CHOKED_BY: Final = {
    "closed-hi-hat": ("open-hi-hat",),
    "pedal-hi-hat": ("open-hi-hat",),
    "open-hi-hat": ("open-hi-hat",),
}
"""A hi-hat that closes stops the one that was open (General MIDI keys 42, 44 and 46)."""


@dataclass(frozen=True, slots=True, eq=False)
class Struck:
    """A finished sound."""

    wave: Wave
    """Mono, with a peak of 1; never changed."""
    tails: tuple[float, ...]
    """The highest true peak from each TAIL_STEP samples on."""


@cache
def struck(name: str, rate: int) -> Struck:
    """The sound at a rate, made once.  KeyError for a name that the table does not have."""
    recipe = RECIPES[name]
    decays = [one.decay for one in recipe.modes] + [one.decay for one in recipe.hisses]
    count = round(max(decays) * rate)
    wave = np.zeros(count)
    for one in recipe.modes:
        wave += one.level * ringing(one, count, rate)
    for noise in recipe.hisses:
        part = hissing(noise, crc32(name.encode()), rate)
        wave[: len(part)] += noise.level * part[:count]
    if recipe.tap:  # it comes first, whatever the noise does in its first samples
        touched = round(_TAP_SECONDS * rate)
        wave[:touched] *= np.arange(1, touched + 1) / touched
        wave += recipe.tap * tap(_TAP_SECONDS, count, rate)
    wave = finished(wave)
    wave.flags.writeable = False
    return Struck(wave, _tails(wave))


def _tails(wave: Wave) -> tuple[float, ...]:
    steps = -(-len(wave) // TAIL_STEP)
    peaks = oversampled(wave)
    highest = [
        float(peaks[4 * TAIL_STEP * step : 4 * (TAIL_STEP * (step + 1) + 12)].max())
        for step in range(steps)
    ]
    return tuple(float(peak) for peak in np.maximum.accumulate(highest[::-1])[::-1])
