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

from drills.listening.room import Tail
from drills.listening.signs import attacks
from drills.listening.spectra import (
    HOP,
    PERIODS,
    WINDOWS,
    Floats,
    Samples,
    Window,
    frame_count,
    hop_samples,
    noise_floor,
    weighed,
    without,
)
from drills.listening.survey import LEVEL, Survey, levels, survey_of

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
SOUNDS: Final = 0.35
"""Cost below which a key is taken to sound."""
BOTH: Final = 3
"""Semitones above the edge between two windows that are seen through both, and the better
counts: the shorter one holds few of their periods, and a neighbour just under the edge,
seen through the longer one alone, would fit better than the tone itself."""
PIECE: Final = 1024
"""Frames that are worked on at once."""
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
    attack: Floats
    """Frames x struck keys: how clearly the key is struck there, 0 to 1."""
    struck: tuple[int, ...]
    survey: Survey
    """What is so of the whole recording."""

    @property
    def tail(self) -> Tail:
        """What the room adds."""
        return self.survey.tail

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
    noise: Floats
    keys: tuple[int, ...]
    once: Floats
    often: Floats
    parts: tuple[Floats, ...]


def _bands(samples: Samples, keys: Sequence[int], rate: int, tuning: float) -> list[_Band]:
    found = []
    top = min(0.45 * rate, max(5000.0, 3 * frequency(keys[-1])))
    for place, seconds in enumerate(WINDOWS):
        long = place == len(WINDOWS) - 1
        above = frequency(keys[0]) * 0.5 if place == 0 else PERIODS / WINDOWS[place - 1]
        own = tuple(
            k
            for k in keys
            if (long or frequency(k) * seconds >= PERIODS)
            and (place == 0 or frequency(k - BOTH) < above)
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


@dataclass(frozen=True, slots=True)
class Ear:
    """All that hearing a recording needs and that does not change within it."""

    samples: Samples
    rate: int
    keys: tuple[int, ...]
    struck: tuple[int, ...]
    """Those that may be struck again."""
    tuning: float
    bands: tuple[_Band, ...]
    survey: Survey

    @classmethod
    def of(
        cls,
        samples: Samples,
        rate: int,
        keys: Sequence[int],
        struck: Sequence[int],
        tuning: float = 0.0,
        *,
        survey: Survey | None = None,
    ) -> Ear:
        """For the keys (in order, without gaps) at a tuning."""
        survey = survey or survey_of(samples, rate, frequency(keys[0]) * 0.6)
        bands = tuple(_bands(samples, keys, rate, tuning))
        return cls(samples, rate, tuple(keys), tuple(struck), tuning, bands, survey)

    def hear(self, first: int, end: int) -> Hearing:
        """The frames first .. end - 1."""
        hop, keys, tail = hop_samples(self.rate), self.keys, self.survey.tail
        costs = np.full((end - first, len(keys)), WORST, dtype=np.float32)
        centres = np.arange(first, end, dtype=np.int64) * hop + hop // 2
        for begin in range(0, len(centres), PIECE):
            some = slice(begin, min(begin + PIECE, len(centres)))
            for band in self.bands:
                energy = _followed(band.window, self.samples, centres[some], tail, band.noise)
                low = band.keys[0] - keys[0]
                columns = slice(low, low + len(band.keys))
                found = _band_costs(band, weighed(energy))
                costs[some, columns] = np.minimum(costs[some, columns], found)
        level = levels(self.samples, centres, int(LEVEL * self.rate))
        top = min(6000.0, 0.45 * self.rate)
        short = Window.of(SHORT, self.rate, frequency(keys[0]) * 0.6, top)
        waves = short.waves(self.samples, centres)
        plain: NDArray[np.floating] = waves.real**2 + waves.imag**2
        dry = tail.follow(plain, HOP) if tail.matters else plain
        sounding = costs[:, [key - keys[0] for key in self.struck]] < SOUNDS
        periods = [frequency(key, self.tuning) / self.rate for key in self.struck]
        attack = attacks(short, waves, dry, periods, sounding, room=tail.matters)
        return Hearing(
            self.rate, hop, keys, self.tuning, costs, level, attack, self.struck, self.survey
        )


def hear(
    samples: Samples, rate: int, keys: Sequence[int], struck: Sequence[int], tuning: float = 0.0
) -> Hearing:
    """Listen to a whole recording, which must not be long."""
    return Ear.of(samples, rate, keys, struck, tuning).hear(0, frame_count(len(samples), rate))


def _followed(
    window: Window, samples: Samples, centres: NDArray[np.int64], tail: Tail, noise: Floats
) -> Floats:
    """Spectra without the room, which is followed from some time before on."""
    if not tail.matters:
        return without(window.energy(samples, centres), noise)
    hop = int(centres[1] - centres[0]) if len(centres) > 1 else 1
    before = centres[0] - hop * np.arange(WARM_UP, 0, -1)
    energy = without(window.energy(samples, np.concatenate([before, centres])), noise)
    return tail.follow(energy, HOP)[WARM_UP:]
