"""When each heard note begins, to a few milliseconds.

Problem.  The model says in which frames a note sounds; a frame is 6 ms, and its windows
see several hundredths of a second.  Method, each kind in its own way:

    tongued      where the level comes within 6 dB of the note's own plateau
    repeated     the same, after the dip between two notes of one pitch
    slurred      where the partials of the new pitch reach the strength, measured against
                 their own plateau, that those of the old pitch have lost

Conventions.  Seconds from the start of the recording.  The level is smoothed by a
triangle as long as a Hann window of 10 ms, longer for tones below 100 Hz.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
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
NEARLY: Final = 0.02
"""Seconds from the place that the model has, within which it has a say."""
PLATEAU: Final = 0.3
"""Seconds of the note that its plateau is taken from, at most."""
HALF: Final = 6.0
"""Decibels under the plateau where a tongued note begins."""
GAP_DIP: Final = 7.0
"""Decibels of a dip that tell a tongued note from a slurred one."""
GONE: Final = 0.2
"""How much the old pitch says in a room, where it goes on sounding."""
PARTIALS: Final = 10
REPEAT_WINDOW: Final = 0.014
SLUR: Final = 0.024
"""Seconds of the windows in which two pitches are told apart."""
SLUR_IN_ROOM: Final = 0.032
RISE: Final = 0.012
"""Seconds over which a rise is looked for, in a room, where a pitch is struck again."""
BREAK: Final = 40.0
"""Decibels of such a rise that a full break of the phases is worth."""
BREAK_REACH: Final = 0.008
"""Seconds to either side that are compared for a break."""
DOUBT: Final = 2.0
"""Decibels that it must be worth to lie 20 ms from where the model has it."""
REPEAT_LEAD: Final = 0.003
"""Seconds by which such a place is late; measured on recorded tones in computed rooms."""
MODEL_SHARE: Final = 0.25
"""How much of a change's place in a room is what the model says: two readings err apart."""
SILENCE_LEAD: Final = 0.007
"""The same for the level after silence, which the room goes on raising."""
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
JOINED: Final = 0.03
"""Seconds between two notes that still count as none."""
JOINED_IN_ROOM: Final = 0.1


class Attack(Enum):
    """How a note begins."""

    TONGUED = "tongued"
    REPEATED = "repeated"
    SLURRED = "slurred"
    SILENCE = "after silence"


@dataclass(frozen=True, slots=True)
class Onset:
    """When a heard note begins and ends."""

    seconds: float
    end: float
    attack: Attack


def refine(
    samples: Samples, hearing: Hearing, heard: Sequence[Heard], keys: Sequence[int]
) -> list[Onset]:
    """The onset of every heard note; ``keys`` are the pitches that sounded."""
    found: list[Onset] = []
    frame = hearing.seconds_a_frame
    for number, one in enumerate(heard):
        before = heard[number - 1] if number else None
        least = JOINED_IN_ROOM if hearing.tail.matters else JOINED
        joined = before is not None and (one.first - before.end) * frame < least
        near = _Near(samples, hearing, one, keys[number])
        if joined and keys[number - 1] != keys[number]:
            found.append(near.changed(keys[number - 1], before))
        elif joined:
            found.append(near.repeated())
        else:
            late = SILENCE_LEAD if hearing.tail.matters else 0.0
            found.append(Onset(near.risen() - late, one.end * frame, Attack.SILENCE))
    return found


class _Near:
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

    def _plateau(self, curve: Curve) -> float:
        end = min(self.ends - 0.02, self.place + PLATEAU)
        inside = (self.times > min(self.place + 0.05, end - 0.02)) & (self.times <= end)
        return float(np.median(curve[inside])) if inside.any() else float(curve.max())

    def risen(self) -> float:
        """Where the level, from its lowest point on, comes within 6 dB of the plateau."""
        plateau = self._plateau(self.level)
        around = (self.times > self.place - 0.05) & (self.times < self.place + 0.07)
        lowest = int(np.argmin(np.where(around, self.level, np.inf)))
        return self._crossing(self.level, lowest, plateau - HALF)

    def _crossing(self, curve: Curve, start: int, value: float) -> float:
        """Where a curve first reaches a value, from a place on."""
        over = curve[start:] >= value
        if not over.any():
            return self.place
        index = start + int(np.argmax(over))
        if index == start:
            # the dip is no deeper than 6 dB: the middle of the rise out of it
            return self._middle(curve, start)
        step = (value - curve[index - 1]) / max(curve[index] - curve[index - 1], 1e-9)
        return float(self.times[index - 1] + STEP * step)

    def _middle(self, curve: Curve, lowest: int) -> float:
        end = min(lowest + 60, len(curve))
        top = float(curve[lowest:end].max())
        half = (float(curve[lowest]) + top) / 2
        over = curve[lowest:end] >= half
        return float(self.times[lowest + int(np.argmax(over))])

    def repeated(self) -> Onset:
        """The same pitch again."""
        if not self.hearing.tail.matters:
            return Onset(self.risen(), self.ends, Attack.REPEATED)
        size = int(max(REPEAT_WINDOW, 1.5 / frequency(self.key)) * self.rate)
        count = int(min(2 * PARTIALS, max(0.42 * self.rate // frequency(self.key), 1)))
        hertz = frequency(self.key, self.hearing.tuning) * np.arange(1, count + 1)
        waves = self._waves(hertz, size)
        energy = np.abs(waves) ** 2
        top = np.maximum(np.median(energy, axis=0), 1e-12)
        weight = top**0.35 / (top**0.35).sum()
        level = np.clip(10 * np.log10(np.maximum(energy, 1e-12) / top), -18, 6) @ weight
        sums = np.cumsum(np.concatenate([[0.0], level]))
        at, half = np.arange(len(level)), round(RISE / STEP)
        late, early = np.minimum(at + half, len(level)), np.maximum(at - half, 0)
        rise = (sums[late] - 2 * sums[at] + sums[early]) / half
        likely = rise + BREAK * (_broken(waves) @ weight)
        likely -= DOUBT * ((self.times - self.place) / 0.02) ** 2
        around = np.abs(self.times - self.place) < 0.05
        best = int(np.argmax(np.where(around, likely, -np.inf)))
        return Onset(float(self.times[best]) - REPEAT_LEAD, self.ends, Attack.REPEATED)

    def changed(self, old: int, before: Heard | None) -> Onset:
        """From one pitch to another: tongued where the level dips, else slurred."""
        if self.hearing.tail.matters:
            return Onset(self._slur(old, before), self.ends, Attack.SLURRED)
        near = (self.times > self.place - 0.06) & (self.times < self.place + 0.05)
        plateau = self._plateau(self.level)
        earlier = self.times < self.place - 0.06
        old_level = float(np.median(self.level[earlier])) if earlier.any() else plateau
        dip = min(plateau, old_level) - float(self.level[near].min())
        if dip > GAP_DIP:
            return Onset(self.risen(), self.ends, Attack.TONGUED)
        return Onset(self._slur(old, before), self.ends, Attack.SLURRED)

    def _slur(self, old: int, before: Heard | None) -> float:
        """Where the new pitch has come as far as the old one has gone."""
        begins = before.first * self.hearing.seconds_a_frame if before else self.start
        place, gap = self._change(old, begins)
        if not self.hearing.tail.matters:
            return max(place, gap)
        off = self.place - place
        return place + MODEL_SHARE * off if abs(off) < NEARLY else place

    def _change(self, old: int, begins: float) -> tuple[float, float]:
        """Where the change is; and, where a gap parts the two, where the new
        pitch comes within 6 dB of its plateau."""
        was = (self.times > max(begins + 0.03, self.start)) & (self.times < self.place - 0.03)
        if not was.any():
            was = self.times < max(self.place - 0.02, self.times[1])
        end = min(self.ends - 0.02, self.place + 0.15)
        now = (self.times > min(self.place + 0.03, end - 0.02)) & (self.times <= end)
        gone = self._strength(old, self.key, was)
        come = self._strength(self.key, old, now)
        change = come - GONE * gone if self.hearing.tail.matters else come - gone
        near = np.flatnonzero(np.abs(self.times - self.place) < 0.06)
        early = change[(self.times > self.place - 0.07) & (self.times < self.place - 0.025)]
        late = change[(self.times > self.place + 0.025) & (self.times < self.place + 0.07)]
        known = len(late) and len(early)
        middle = (float(np.median(early)) + float(np.median(late))) / 2 if known else 0.0
        place = self._best_crossing(change[near] - middle, near)
        if come[int(np.searchsorted(self.times, place))] >= -HALF - 1:
            return place, place
        return place, self._best_crossing((come + HALF)[near], near)

    def _best_crossing(self, curve: Curve, near: NDArray[np.int64]) -> float:
        """The change of sign that leaves most of a curve on its proper side."""
        right = np.cumsum(np.where(curve >= 0, -1, 1))
        best = int(np.argmax(right))
        if best + 1 >= len(near):
            return self.place
        low, high = curve[best], curve[best + 1]
        step = -low / (high - low) if high > low else 0.5
        return float(self.times[near[best]] + STEP * min(max(step, 0.0), 1.0))

    def _strength(self, key: int, other: int, plateau: NDArray[np.bool_]) -> Curve:
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
            energy = self.hearing.tail.follow(energy, STEP)
        top = np.maximum(np.median(energy[plateau], axis=0), 1e-12)
        weight = top**0.35
        lowest = -CLIPPED_IN_ROOM if room else -CLIPPED
        under = np.clip(10 * np.log10(np.maximum(energy, 1e-12) / top), lowest, 0.0)
        return np.asarray((under * weight).sum(axis=1) / weight.sum())

    def _energies(self, hertz: NDArray[np.floating], size: int) -> Curve:
        """Energy at some frequencies along the curve's times."""
        return np.asarray(np.abs(self._waves(hertz, size)) ** 2, dtype=np.float64)

    def _waves(self, hertz: NDArray[np.floating], size: int) -> NDArray[np.complex128]:
        """Strength and phase at some frequencies along the curve's times; the phases turn
        only as far as a tone is beside its frequency."""
        turns = 2j * np.pi * hertz[None, :] / self.rate
        waves = np.exp(-turns * np.arange(size)[:, None]) * np.hanning(size)[:, None]
        first = np.round((self.times - self.origin) * self.rate).astype(int) - size // 2
        first = np.clip(first, 0, len(self.samples) - size)
        frames = self.samples[first[:, None] + np.arange(size)[None, :]]
        return np.asarray((frames @ waves) * np.exp(-turns * first[:, None]))


def _broken(waves: NDArray[np.complex128]) -> Curve:
    """How far each partial is, around each moment, from going on as it went: 0 to 1."""
    turn = np.sum(waves[1:] * np.conj(waves[:-1]), axis=0)
    turn /= np.maximum(np.abs(turn), 1e-20)
    at, reach = np.arange(len(waves)), round(BREAK_REACH / STEP)
    late, early = waves[np.minimum(at + reach, at[-1])], waves[np.maximum(at - reach, 0)]
    off = np.abs(late - early * turn ** (2 * reach))
    return np.asarray(off / (np.abs(late) + np.abs(early) + 1e-12))
