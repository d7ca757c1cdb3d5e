"""Curves about one attack: its level and how strong its partials are, millisecond by millisecond.

Problem.  A place between two frames of the model is told from what sounds there, and from
that only as far as neither noise nor the room makes it.  Method.  The level of the samples,
from which what is mostly noise was filtered (Wiener's filter, smooth over frequency, so that
it blurs little over time); the strengths of a pitch's own partials, steady noise taken off;
in a room, what it holds of earlier sound taken off both (room.py).

Conventions.  Seconds from the start of what is heard; levels in decibels.  The level is
smoothed by a triangle as long as a Hann window of 10 ms, longer for tones below 100 Hz.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.following import Heard
from drills.listening.hearing import Hearing, frequency
from drills.listening.spectra import Samples, piece_of

Curve = NDArray[np.float64]

STEP: Final = 0.001
"""Seconds between two values of a curve."""
BEFORE: Final = 0.12
"""Seconds before the model's place that are looked at."""
PLATEAU: Final = 0.3
"""Seconds of the note that its plateau is taken from, at most."""
PARTIALS: Final = 10
SLUR: Final = 0.024
"""Seconds of the windows in which two pitches are told apart."""
SLUR_IN_ROOM: Final = 0.032
BREAK_REACH: Final = 0.008
"""Seconds to either side that are compared for a break."""
CLEAR: Final = 0.02
"""Seconds of the pieces in which tone and noise are compared; their spectra are even over so
few hertz that the filter blurs nothing by more than a few milliseconds."""
NOISELESS: Final = 0.0003
"""Noise, as a share of the tone, that is let be."""
LEAST: Final = 0.03
"""The least that the filter leaves."""
SMOOTH: Final = np.hanning(7)[1:-1] / np.hanning(7).sum()
FAINT: Final = 0.01
"""What is left at least of a level without noise."""
SHARED: Final = 1.0
"""Bins of a window that two partials must be apart at least."""
CLIPPED: Final = 12.0
"""Decibels under its plateau below which a pitch counts as silent."""
CLIPPED_IN_ROOM: Final = 15.0


class Curves:
    """The neighbourhood of one attack."""

    def __init__(self, samples: Samples, hearing: Hearing, one: Heard, key: int) -> None:
        frame = hearing.seconds_a_frame
        self.rate, self.hearing = hearing.rate, hearing
        self.place = one.first * frame
        self.ends = one.end * frame
        self.key = key
        self.start = self.place - BEFORE
        last = min(max(self.ends, self.place + 0.05), self.place + PLATEAU) + 0.03
        low = int(self.start * self.rate)
        self.samples = piece_of(
            samples, low - self.rate // 10, int(last * self.rate) + self.rate // 10
        )
        self.origin = (low - self.rate // 10) / self.rate
        self.times = np.arange(self.start, last, STEP)
        self.level = self._level()

    def _level(self) -> Curve:
        width = max(0.0065, 0.5 / frequency(self.key))
        size = max(int(width * self.rate), 2)
        clear, noise = self._cleared()
        sums = np.cumsum(np.concatenate([[0.0], clear**2]))
        box = (sums[size:] - sums[:-size]) / size
        sums = np.cumsum(np.concatenate([[0.0], box]))
        triangle = (sums[size:] - sums[:-size]) / size
        centre = (np.arange(len(triangle)) + size - 1) / self.rate + self.origin
        energy = np.interp(self.times, centre, triangle)
        if noise:
            energy = np.maximum(energy - noise, FAINT * energy)
        if self.hearing.tail.matters:
            energy = self.hearing.tail.follow(energy[:, None], STEP)[:, 0]
        return np.asarray(10 * np.log10(energy + 1e-12))

    def _cleared(self) -> tuple[Curve, float]:
        """The samples with what is mostly noise weakened (Wiener's filter), and the power of
        the noise that is left in them."""
        samples = self.samples.astype(np.float64)
        first = round((self.place + 0.03 - self.origin) * self.rate)
        last = round((min(self.ends, self.place + PLATEAU) - self.origin) * self.rate)
        size = int(CLEAR * self.rate)
        starts = np.arange(first, max(last - size, first) + 1, size // 2)
        starts = np.clip(starts, 0, len(samples) - size)
        shape = np.hanning(size)
        found = np.fft.rfft(samples[starts[:, None] + np.arange(size)] * shape, 2 * size)
        tone = (np.abs(found) ** 2).mean(axis=0) / (shape**2).sum()
        noise = self.hearing.survey.noise_at(np.arange(size + 1) / (2 * size))
        if noise.sum() < NOISELESS * tone.sum():
            return samples, 0.0
        gain = np.convolve(np.clip(1 - noise / np.maximum(tone, 1e-15), LEAST, 1), SMOOTH, "same")
        spectrum = np.fft.rfft(samples)
        cycles = np.arange(len(spectrum)) / len(samples)
        spectrum *= np.interp(cycles, np.arange(size + 1) / (2 * size), gain)
        return np.fft.irfft(spectrum, len(samples)), float((noise * gain**2).mean())

    def plateau_of(self, curve: Curve) -> float:
        """What a curve keeps to once the note sounds."""
        end = min(self.ends - 0.02, self.place + PLATEAU)
        inside = (self.times > min(self.place + 0.05, end - 0.02)) & (self.times <= end)
        return float(np.median(curve[inside])) if inside.any() else float(curve.max())

    def crossing(self, curve: Curve, start: int, value: float) -> float:
        """Where a curve first reaches a value, from a place on."""
        over = curve[start:] >= value
        if not over.any():
            return self.place
        index = start + int(np.argmax(over))
        if index == start:
            # the dip is no deeper than 6 dB: the middle of the rise out of it
            return self.middle(curve, start)
        step = (value - curve[index - 1]) / max(curve[index] - curve[index - 1], 1e-9)
        return float(self.times[index - 1] + STEP * step)

    def middle(self, curve: Curve, lowest: int) -> float:
        """The middle of the rise out of a dip."""
        end = min(lowest + 60, len(curve))
        top = float(curve[lowest:end].max())
        half = (float(curve[lowest]) + top) / 2
        over = curve[lowest:end] >= half
        return float(self.times[lowest + int(np.argmax(over))])

    def best_crossing(self, curve: Curve, near: NDArray[np.int64]) -> float:
        """The change of sign that leaves most of a curve on its proper side."""
        right = np.cumsum(np.where(curve >= 0, -1, 1))
        best = int(np.argmax(right))
        if best + 1 >= len(near):
            return self.place
        low, high = curve[best], curve[best + 1]
        step = -low / (high - low) if high > low else 0.5
        return float(self.times[near[best]] + STEP * min(max(step, 0.0), 1.0))

    def strength(self, key: int, other: int, plateau: NDArray[np.bool_]) -> Curve:
        """How far a pitch is under its plateau, dB: the mean of its partials.

        Partials that the other pitch shares are left out, as long as some remain.
        """
        tuning = self.hearing.tuning
        f0, f1 = frequency(key, tuning), frequency(other, tuning)
        room = self.hearing.tail.matters
        size = int(max(SLUR_IN_ROOM if room else SLUR, 2.5 / f0) * self.rate)
        count = int(min(PARTIALS, max(0.42 * self.rate // f0, 1)))
        harmonics = f0 * np.arange(1, count + 1)
        apart = np.abs(harmonics / f1 - np.maximum(np.round(harmonics / f1), 1)) * f1
        own = apart > SHARED * self.rate / size
        harmonics = harmonics[own] if own.any() else harmonics
        energy = self._energies(harmonics, size)
        noise = self.hearing.survey.noise_at(harmonics / self.rate) * (np.hanning(size) ** 2).sum()
        energy = np.maximum(energy - noise, FAINT * energy)
        if room:
            energy = np.asarray(self.hearing.tail.follow(energy, STEP), dtype=np.float64)
        top = np.maximum(np.median(energy[plateau], axis=0), 1e-12)
        weight = top**0.35
        lowest = -CLIPPED_IN_ROOM if room else -CLIPPED
        under = np.clip(10 * np.log10(np.maximum(energy, 1e-12) / top), lowest, 0.0)
        return np.asarray((under * weight).sum(axis=1) / weight.sum())

    def _energies(self, hertz: NDArray[np.floating], size: int) -> Curve:
        """Energy at some frequencies along the curve's times."""
        return np.asarray(np.abs(self.waves(hertz, size)) ** 2, dtype=np.float64)

    def waves(self, hertz: NDArray[np.floating], size: int) -> NDArray[np.complex128]:
        """Strength and phase at some frequencies along the curve's times; the phases turn
        only as far as a tone is beside its frequency."""
        turns = 2j * np.pi * hertz[None, :] / self.rate
        waves = np.exp(-turns * np.arange(size)[:, None]) * np.hanning(size)[:, None]
        first = np.round((self.times - self.origin) * self.rate).astype(int) - size // 2
        first = np.clip(first, 0, len(self.samples) - size)
        frames = self.samples[first[:, None] + np.arange(size)[None, :]]
        return np.asarray((frames @ waves) * np.exp(-turns * first[:, None]))


def broken(waves: NDArray[np.complex128]) -> Curve:
    """How far each partial is, around each moment, from going on as it went: 0 to 1."""
    turn = np.sum(waves[1:] * np.conj(waves[:-1]), axis=0)
    turn /= np.maximum(np.abs(turn), 1e-20)
    at, reach = np.arange(len(waves)), round(BREAK_REACH / STEP)
    late, early = waves[np.minimum(at + reach, at[-1])], waves[np.maximum(at - reach, 0)]
    off = np.abs(late - early * turn ** (2 * reach))
    return np.asarray(off / (np.abs(late) + np.abs(early) + 1e-12))
