"""What is seen about one attack in a room: its partials, those of the note before, the level.

Problem.  In a room no single curve tells when a note begins: the notes before still sound, and
interfere.  Method.  Several curves together, each against its own plateau, for a network that
has learnt how they go together (attack_net.py): the partials of the new pitch and of the old
one in long and in short windows, how they break off from going on as they went, and the level
of low and of high sound; with what the room holds of earlier sound taken off, and as they are.

Conventions.  Seconds from the start of what is heard.  Views are decibels, clipped and divided
by ten, or shares, on a grid of ``GRID_STEP`` about the place that the model has.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.room import Tail
from drills.listening.spectra import Floats, Samples, piece_of
from drills.listening.survey import Survey

GRID_STEP: Final = 0.004
"""Seconds between two values of a view."""
REACH: Final = 33
"""Steps that a view reaches to either side of the place."""
BEYOND: Final = 17
"""Steps beyond that, which a plateau may be taken from."""
PARTIALS: Final = 12
LONG: Final = 0.032
SHORT: Final = 0.016
"""Seconds of the windows."""
LOWEST: Final = 2.2
"""Periods of the lowest tone that a long window holds at least; a short one half of them."""
SHARED: Final = 1.0
"""Bins of the long window that partials of the two pitches must be apart."""
FLATTER: Final = 0.35
"""Exponent of a partial's energy: weak ones say as much as strong ones, and there are more."""
DEEPEST: Final = 18.0
HIGHEST: Final = 3.0
"""Decibels under and over the plateau that are told apart."""
BREAK_REACH: Final = 2
"""Steps to either side that are compared for a break."""
BANDS: Final = ((0.0, 1500.0), (1500.0, 7000.0))
"""Hertz of low and of high sound."""
CHANNELS: Final = 12
FACTS: Final = 8


@dataclass(frozen=True, slots=True)
class Around:
    """One attack, as far as the model has it: seconds and MIDI keys."""

    place: float
    end: float
    key: int
    old: int | None
    """The key before; None after silence."""
    old_begin: float
    """When that began; where there is none, when what is before ended."""


@dataclass(frozen=True, slots=True)
class Views:
    """The curves (grid x CHANNELS) and what is known besides (FACTS)."""

    curves: Floats
    facts: Floats


@lru_cache(maxsize=256)
def _waves_of(
    key: int, tuning: float, rate: int
) -> tuple[NDArray[np.floating], NDArray[np.complexfloating]]:
    """Hertz of the partials of a key; their waves in a long and in a short window (one size)."""
    first = 440.0 * 2 ** ((key - 69 + tuning / 100) / 12)
    hertz = first * np.arange(1, int(np.clip(0.42 * rate // first, 1, PARTIALS)) + 1)
    longest = int(LONG * rate)
    size = int(max(LONG, LOWEST / first) * rate)
    short = int(max(SHORT, LOWEST / 2 / first) * rate)
    shapes = np.zeros((2, max(size, longest)))
    for row, wide in enumerate((size, short)):
        left = (shapes.shape[1] - wide) // 2
        shapes[row, left : left + wide] = np.hanning(wide) / np.hanning(wide).sum()
    turns = np.exp(-2j * np.pi * hertz[None, :] / rate * np.arange(shapes.shape[1])[:, None])
    both = np.concatenate([turns * shapes[0][:, None], turns * shapes[1][:, None]], axis=1)
    return hertz, both.astype(np.complex64)


class Viewer:
    """Looks at attacks of one recording."""

    def __init__(self, samples: Samples, rate: int, tuning: float, survey: Survey) -> None:
        self.samples, self.rate, self.survey = samples, rate, survey
        self.tail: Tail = survey.tail
        self.tuning = round(tuning, 1)

    def views(self, at: Around) -> Views:
        """What is seen about an attack."""
        steps = np.arange(-REACH, REACH + BEYOND + 1)
        times = at.place + GRID_STEP * steps
        now = self._now(times, at)
        was = (times > at.old_begin + 0.03) & (times < at.place - 0.03)
        if not was.any():
            was = steps < -REACH + 4
        new, new_short = self._waves(times, at.key)
        old = at.key if at.old is None else at.old
        gone, gone_short = (new, new_short) if old == at.key else self._waves(times, old)
        own, other = self._own(at.key, old), self._own(old, at.key)
        silent = at.old is None
        channels = [
            self._strength(new, at.key, own, now, dry=True),
            self._strength(new_short, at.key, own, now, dry=True),
            self._strength(new, at.key, own, now, dry=False, power=1.0),
            self._strength(new_short, at.key, slice(None), now, dry=False, power=0.7),
            _none(times) if silent else self._strength(gone, old, other, was, dry=True),
            _none(times) if silent else self._strength(gone_short, old, other, was, dry=False),
            _broken(new_short, now),
            np.zeros(len(times)) if silent else _broken(gone_short, was),
            *self._levels(times, now),
        ]
        curves = np.stack(channels, axis=1)[: 2 * REACH + 1]
        facts = (
            1.0 if old == at.key and not silent else 0.0,
            1.0 if silent else 0.0,
            min(at.end - at.place, 0.5) * 4,
            min(at.place - at.old_begin, 0.5) * 4,
            (at.key - 64) / 16,
            (at.key - old) / 8,
            np.clip(10 * np.log10(self.tail.early + 1e-4) / 10 + 1.5, -1, 2),
            min(self.tail.fall, 250.0) / 100 - 1,
        )
        return Views(curves.astype(np.float32), np.array(facts, dtype=np.float32))

    def _now(self, times: NDArray[np.floating], at: Around) -> NDArray[np.bool_]:
        """The moments that a plateau is taken from."""
        end = min(at.end - 0.02, at.place + 0.2)
        return np.asarray(
            (times > min(at.place + 0.04, end - 0.02)) & (times <= max(end, times[REACH + 2]))
        )

    def _waves(
        self, times: NDArray[np.floating], key: int
    ) -> tuple[NDArray[np.complexfloating], NDArray[np.complexfloating]]:
        hertz, kernel = _waves_of(key, self.tuning, self.rate)
        size = len(kernel)
        first = np.round(times * self.rate).astype(np.int64) - size // 2
        piece = piece_of(self.samples, int(first[0]), int(first[-1]) + size)
        frames = np.asarray(piece, dtype=np.float32)[(first - first[0])[:, None] + np.arange(size)]
        found = frames @ kernel
        found *= np.exp(-2j * np.pi / self.rate * first[:, None] * np.tile(hertz, 2)[None, :])
        return found[:, : len(hertz)], found[:, len(hertz) :]

    def _own(self, key: int, other: int) -> slice | NDArray[np.bool_]:
        """The partials that the other pitch does not share, as long as some remain."""
        if key == other:
            return slice(None)
        hertz = _waves_of(key, self.tuning, self.rate)[0]
        theirs = _waves_of(other, self.tuning, self.rate)[0][0]
        apart = np.abs(hertz / theirs - np.maximum(np.round(hertz / theirs), 1)) * theirs
        own = apart > SHARED / max(LONG, LOWEST / hertz[0])
        return own if own.any() else slice(None)

    def _strength(
        self,
        waves: NDArray[np.complexfloating],
        key: int,
        own: slice | NDArray[np.bool_],
        plateau: NDArray[np.bool_],
        *,
        dry: bool,
        power: float = FLATTER,
    ) -> NDArray[np.floating]:
        """How far a pitch is under its plateau: the weighted mean of its partials, dB / 10."""
        energy = (waves.real.astype(np.float64) ** 2 + waves.imag**2)[:, own]
        hertz = _waves_of(key, self.tuning, self.rate)[0][own]
        noise = self.survey.noise_at(hertz / self.rate) * 1.5 / (LONG * self.rate)
        energy = np.maximum(energy - noise, 0.01 * energy)
        if dry and self.tail.matters:
            energy = np.asarray(self.tail.follow(energy, GRID_STEP), dtype=np.float64)
        top = np.maximum(np.median(energy[plateau], axis=0), 1e-13)
        weight = top**power
        under = np.clip(10 * np.log10(np.maximum(energy, 1e-14) / top), -DEEPEST, HIGHEST)
        return np.asarray((under @ weight) / weight.sum() / 10)

    def _levels(
        self, times: NDArray[np.floating], plateau: NDArray[np.bool_]
    ) -> list[NDArray[np.floating]]:
        """Low and high sound, each without the room and as it is, under its plateau, dB / 10."""
        size = int(SHORT * self.rate)
        first = np.round(times * self.rate).astype(np.int64) - size // 2
        piece = piece_of(self.samples, int(first[0]), int(first[-1]) + size)
        frames = np.asarray(piece, dtype=np.float32)[(first - first[0])[:, None] + np.arange(size)]
        power = np.abs(np.fft.rfft(frames * np.hanning(size).astype(np.float32), axis=1)) ** 2
        hertz = np.arange(power.shape[1]) * self.rate / size
        noise = self.survey.noise_at(hertz / self.rate) * (np.hanning(size) ** 2).sum()
        found = []
        for low, high in BANDS:
            inside = (hertz >= low) & (hertz < high)
            energy = power[:, inside].sum(axis=1, dtype=np.float64)
            energy = np.maximum(energy - noise[inside].sum(), 0.02 * energy)[:, None]
            for curve in (self.tail.follow(energy, GRID_STEP), energy):
                top = max(float(np.median(curve[plateau])), 1e-12)
                under = np.clip(10 * np.log10(np.maximum(curve, 1e-13) / top), -25.0, 10.0)
                found.append(under[:, 0] / 10)
        return found


def _none(times: NDArray[np.floating]) -> NDArray[np.floating]:
    return np.full(len(times), -DEEPEST / 10)


def _broken(waves: NDArray[np.complexfloating], plateau: NDArray[np.bool_]) -> NDArray[np.floating]:
    """How far the partials are, around each moment, from going on as they went: 0 to 1."""
    inside = plateau.nonzero()[0]
    steady = waves[inside]
    turn = (steady[1:] * np.conj(steady[:-1])).sum(axis=0)
    turn = turn / np.maximum(np.abs(turn), 1e-20)
    weight = np.maximum(np.median(np.abs(steady) ** 2, axis=0), 1e-13) ** FLATTER
    at = np.arange(len(waves))
    late = waves[np.minimum(at + BREAK_REACH, at[-1])]
    early = waves[np.maximum(at - BREAK_REACH, 0)]
    off = np.abs(late - early * turn ** (2 * BREAK_REACH))
    return np.asarray((off / (np.abs(late) + np.abs(early) + 1e-9)) @ weight / weight.sum())
