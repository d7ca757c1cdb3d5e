"""Tones of music and of drones: a wind-like sum of harmonics, in tune to the sample.

Method: one cycle of each tone is added up from sines and read at the exact speed,
between its points by straight lines (wavetable synthesis).  With 4096 points the
error of that lies more than 100 dB below the tone.  Harmonics grow weaker towards
the top, the more so the higher the note, and end below 0.45 of the rate, so that
nothing folds back.  There is no vibrato: the player is to tune to it.

The frequency of a key is that of practice.events.frequency; keys may be fractions.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from drills.output.audio.shapes import Wave, half_cosine

HELD: Final = 0.5
"""Peak of a tone against that of a click at the same gain: what lasts is heard louder than
what is over in a moment (the ear adds up about a fifth of a second: from memory)."""
POINTS: Final = 4096
"""Of one cycle."""
_HIGHEST: Final = 0.45
_WEAKEST: Final = 1e-4
"""Harmonics below -80 dB are left out."""


@dataclass(frozen=True, slots=True)
class Timbre:
    """How a voice sounds."""

    slope: float
    """Harmonic k has a level of k ** -slope ..."""
    even: float
    """... times this for the even ones (a closed pipe is weak in them) ..."""
    bright: float
    """... and falls by 6 dB at this many Hz, by 12 dB an octave above."""
    attack: float
    """Seconds from silence to full level, along half a cosine."""
    release: float
    """Seconds from full level to silence, before the tone's end."""


TIMBRES: Final = {
    "line": Timbre(1.0, 0.45, 2600, 0.006, 0.018),
    "octave": Timbre(1.2, 1.0, 2600, 0.006, 0.018),
    "section": Timbre(1.5, 1.0, 1500, 0.010, 0.025),
    "bass": Timbre(1.0, 0.6, 900, 0.080, 0.150),
    "chord": Timbre(1.8, 0.8, 1200, 0.080, 0.150),
}
"""By voice; a line speaks as soon as a tongued note does, a drone creeps in."""
_OTHER: Final = TIMBRES["line"]


@dataclass(frozen=True, slots=True, eq=False)
class Cycle:
    """One cycle of a tone."""

    points: Wave
    steps: Wave
    """From each point to the next."""


def timbre_of(voice: str) -> Timbre:
    """The timbre of a voice; that of the line for one without its own."""
    return TIMBRES.get(voice, _OTHER)


@lru_cache(maxsize=256)
def cycle(timbre: Timbre, hertz: float, rate: int) -> Cycle:
    """One cycle with a peak of 1; silence for a tone above what the rate can hold."""
    at = np.arange(POINTS) * (2 * np.pi / POINTS)
    points = np.zeros(POINTS)
    for number, level in enumerate(harmonics(timbre, hertz, rate), 1):
        points += level * np.sin(number * at)
    points /= np.abs(points).max() or 1.0
    return Cycle(points, np.roll(points, -1) - points)


def harmonics(timbre: Timbre, hertz: float, rate: int) -> tuple[float, ...]:
    """The level of each harmonic of a tone, from the first on; none above what the rate holds."""
    found: list[float] = []
    for number in range(1, int(_HIGHEST * rate / hertz) + 1):
        level = _level(timbre, number, hertz)
        if level < _WEAKEST:
            break
        found.append(level)
    return tuple(found)


def _level(timbre: Timbre, number: int, hertz: float) -> float:
    dull = 1 + (number * hertz / timbre.bright) ** 2
    base = 1 + (hertz / timbre.bright) ** 2
    even = timbre.even if number % 2 == 0 else 1.0
    return float(number**-timbre.slope * even * base / dull)


def heard(cycle_: Cycle, per_sample: float, first: int, last: int) -> Wave:
    """Samples ``first`` to ``last`` of a tone without its envelope.

    ``per_sample`` is points of the cycle a sample.  Every sample is worked out from
    its own number, so that it does not matter in how many pieces they are asked for.
    """
    at = np.arange(first + 1, last + 1) * per_sample
    whole = at.astype(np.int64)
    at -= whole
    whole &= POINTS - 1
    out = cycle_.steps[whole]
    out *= at
    out += cycle_.points[whole]
    return out


@lru_cache(maxsize=64)
def ramp(count: int) -> Wave:
    """An attack of ``count`` samples; backwards it is a release."""
    return half_cosine(count)
