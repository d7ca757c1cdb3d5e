"""How a room goes on sounding, and a spectrum without it.

Problem.  In a room the tones before are still heard under the one that sounds.  Method.
Partials that end are looked for: how far they have fallen after 60 and 180 ms tells what
the room adds and how fast that dies away (exponentially, as in Polack's model of late
reverberation; from memory, by way of Lebart, Boucher and Denbigh, Acta Acustica 87, 2001).
What the room holds is then followed from frame to frame, each frequency by itself, and
taken off.

Conventions.  Energies, not amplitudes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.spectra import (
    HOP,
    Floats,
    Samples,
    Window,
    frame_count,
    hop_samples,
    noise_floor,
    without,
)

EARLY: Final = 0.06
"""Seconds after which a tone that ended is looked for ..."""
LATE: Final = 0.18
"""... and looked for again."""
STRONG: Final = 12.0
"""Decibels under the strongest partial of its frame that a partial may be."""
CLEAR: Final = 25.0
"""Decibels over the noise that it must be, or its fall would be the noise's doing."""
FALLEN: Final = 8.0
"""Decibels that a partial must have fallen to count as one that ended."""
SILENT: Final = -32.0
"""Decibels that a tenth of the falls surpass after ``EARLY`` where no room holds them up;
the rest of the falls, of low tones above all, are hidden by what sounds beside them."""
SLOWEST: Final = 25.0
STEEPER: Final = 1.6
"""What follows hides a part of each fall: a room falls by ``SLOWEST`` and so many times what
was measured.  From computed rooms of 0.3 to 2 s (30 to 200 dB a second)."""
LONGEST: Final = 30.0
"""Seconds of a recording that are looked at."""
KEPT: Final = 0.02
"""Share of the energy that is always left."""
PIECE: Final = 2048
"""Frames that are looked at at once."""
HEARD_BEFORE: Final = 0.2
"""Seconds that a tone is thought to have filled the room."""


@dataclass(frozen=True, slots=True)
class Tail:
    """What a room adds."""

    early: float
    """Energy of what is left ``EARLY`` seconds after a tone, as a share of the tone's."""
    fall: float
    """Decibels a second."""

    def follow(self, energy: NDArray[np.floating], step: float) -> NDArray[np.floating]:
        """Energies (times x frequencies) without what the room still holds of earlier ones."""
        keep = 10 ** (-self.fall * step / 10)
        filled = (1 - keep ** (HEARD_BEFORE / step)) / (1 - keep)
        gain = self.early / (keep ** (EARLY / step) * filled)
        steady = gain * keep / (1 - keep)
        held = energy[0] * np.float32(steady / (1 + steady))
        found = np.empty_like(energy)
        least = np.float32(KEPT) * energy
        for now, bound, direct in zip(energy, least, found, strict=True):
            np.subtract(now, held, out=direct)
            np.maximum(direct, bound, out=direct)
            held = np.float32(keep) * (held + np.float32(gain) * direct)
        return found

    @property
    def matters(self) -> bool:
        """False in the open, where nothing is worth taking off."""
        return self.early > 0.004


OPEN_AIR: Final = Tail(0.0, 300.0)


def tail_of(samples: Samples, rate: int, lowest: float, highest: float) -> Tail:
    """What the room of a recording adds, between two frequencies in hertz."""
    window = Window.of(0.048, rate, lowest, highest)
    hop = hop_samples(rate)
    count = min(frame_count(len(samples), rate), int(LONGEST / HOP))
    noise = noise_floor(window, samples, rate)
    clear = 10 * np.log10(noise + 1e-12) + CLEAR
    early, late = round(EARLY * rate / hop), round(LATE * rate / hop)
    falls: list[list[Floats]] = [[], []]
    for first in range(0, count, PIECE):
        centres = np.arange(first, min(first + PIECE, count), dtype=np.int64) * hop
        energy = without(window.energy(samples, centres), noise)
        level = 10 * np.log10(energy + 1e-12)
        strong = _strong(level) & (level > clear)
        for found, lag in zip(falls, (early, late), strict=True):
            fall = (level[lag:] - level[:-lag])[strong[:-lag]]
            found.append(fall[fall < -FALLEN])
    both = [np.concatenate(found) for found in falls]
    if min(len(found) for found in both) < 20:
        return OPEN_AIR
    if np.percentile(both[0], 10) < SILENT:
        return OPEN_AIR
    first_fall, second_fall = (float(np.median(found)) for found in both)
    slope = max((first_fall - second_fall) / (LATE - EARLY), 0.0)
    return Tail(10 ** (first_fall / 10), SLOWEST + STEEPER * slope)


def _strong(level: Floats) -> NDArray[np.bool_]:
    """Partials of the tones that sound: peaks of their frame, strong in it and in all."""
    most = level.max(axis=1)
    peak = np.zeros(level.shape, dtype=bool)
    peak[:, 1:-1] = (level[:, 1:-1] >= level[:, :-2]) & (level[:, 1:-1] >= level[:, 2:])
    loud = np.percentile(most, 95) - STRONG - 3
    return np.asarray(peak & (level > most[:, None] - STRONG) & (level > loud))
