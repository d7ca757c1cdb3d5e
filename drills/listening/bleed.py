"""A practice sound that bleeds into the recording: where it lies, and the recording without it.

Problem.  Who plays along to clicks or drums over a loudspeaker, or with an ear free of the
headphones, has them on the recording; a click that falls on a short note spoils its pitch, one
within a long note looks like an attack.  What sounded and when is known.  Method.  Its sudden
rises are laid beside those of the recording (the cross-correlation has one peak, since a ladder
repeats at no tempo).  How the way from the loudspeaker into the recording changes it, the room
and the microphone, is estimated as the mean of cross spectra over blocks, each frequency of a
block with the less weight the more else sounds there (the H1 estimator of Bendat and Piersol,
Random Data, from memory).  The sound so changed is subtracted, each struck moment scaled for
itself, since a phone's gain moves; what may be left of it is masked.

Conventions.  Seconds; float samples at one rate for both.  ``shift``: where the start of the
practice sound lies on the recording.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.spectra import Floats, Samples, piece_of

HOP: Final = 0.002
"""Seconds from one value of the rises to the next."""
LONGEST: Final = 900.0
"""Seconds of a recording that are looked at for where the sound lies."""
CLEAR: Final = 8.0
"""How many times the usual correlation the right one is at least (its deviations)."""
BLOCK: Final = 3.0
"""Seconds of a block whose cross spectrum is taken."""
BLOCKS: Final = 120
"""Blocks that are taken at most, over the whole recording."""
EARLY: Final = 0.008
"""Seconds of the way into the recording before its direct sound ..."""
LATE: Final = 0.3
"""... and after it."""
SHARP: Final = 20.0
"""How many times higher its direct sound is than what remains of the way at its end: over 100
where the sound is there, 5 where a player keeps time with clicks that are not."""
PIECE: Final = 30.0
"""Seconds that are worked on at once."""
TRACE: Final = 1e-4
"""Share of the strongest energy of the practice sound under which nothing is told of a
frequency."""
SMOOTH: Final = 40.0
"""Hertz over which what else sounds in a block is smoothed."""
FRAME: Final = 0.046
"""Seconds of a frame in which the sound is scaled and masked."""
MOST: Final = 1.5
"""How much louder than usual the sound may be at a moment."""
LEFT: Final = 0.25
"""Share of its energy that may be left after it was subtracted, and is masked."""
LEAST: Final = 0.05
"""Share of the energy that a mask leaves."""

Curve = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Bleed:
    """A practice sound in a recording."""

    samples: Samples
    """The recording."""
    sound: Samples
    """The practice sound."""
    rate: int
    shift: float
    response: Floats
    """What the way into the recording makes of an impulse, from EARLY before it on."""

    @property
    def begins(self) -> float:
        """Where the practice sound begins on the recording as it is heard, seconds."""
        return self.shift + int(np.abs(self.response).argmax()) / self.rate - EARLY

    def blocks(self) -> Iterator[Floats]:
        """The whole recording without the practice sound."""
        size, margin = round(PIECE * self.rate), round(LATE * self.rate)
        for low in range(0, len(self.samples), size):
            high = min(low + size, len(self.samples))
            yield self.without(low - margin, high + margin)[margin : margin + high - low]

    def without(self, low: int, high: int) -> Floats:
        """The samples low .. high - 1 of the recording without the practice sound."""
        heard = piece_of(self.samples, low, high).astype(np.float64)
        bled = self._bled(low, high)
        if not bled.any():
            return heard.astype(np.float32)
        return _subtracted(heard, bled, self.rate).astype(np.float32)

    def _bled(self, low: int, high: int) -> Curve:
        """What of the practice sound is to be expected there."""
        size, early = len(self.response), round(EARLY * self.rate)
        begin = low - round(self.shift * self.rate)
        sound = piece_of(self.sound, begin - size, begin + high - low + size)
        total = len(sound) + size
        wave = np.fft.irfft(np.fft.rfft(sound, total) * np.fft.rfft(self.response, total), total)
        return np.asarray(wave[size + early : size + early + high - low])


def bleed_of(samples: Samples, sound: Samples, rate: int) -> Bleed | None:
    """A practice sound in a recording; None where it cannot be heard in it."""
    shift = shift_of_sound(samples, sound, rate)
    if shift is None:
        return None
    response = _response(samples, sound, rate, shift)
    tail = response[-len(response) // 2 :]
    if np.abs(response).max() < SHARP * float(tail.std()):
        return None
    return Bleed(samples, sound, rate, shift, response)


def shift_of_sound(samples: Samples, sound: Samples, rate: int) -> float | None:
    """Where a practice sound begins on a recording, by its rises; None where it is not heard."""
    ours, theirs = _rises(samples, rate), _rises(sound, rate)
    size = len(ours) + len(theirs)
    both = np.fft.irfft(np.fft.rfft(ours, size) * np.conj(np.fft.rfft(theirs, size)), size)
    best = int(both.argmax())
    if both[best] < CLEAR * float(both.std()):
        return None
    step = max(round(HOP * rate), 1) / rate
    return (best if best < len(ours) else best - size) * step


def _rises(samples: Samples, rate: int) -> Curve:
    """How suddenly it gets louder at high frequencies, about 0."""
    hop = max(round(HOP * rate), 1)
    count = min(len(samples), int(LONGEST * rate)) // hop
    energy = np.empty(max(count, 1))
    for first in range(0, count, 65_536):
        end = min(first + 65_536, count)
        piece = piece_of(samples, first * hop - 2, end * hop).astype(np.float64)
        high = piece[2:] - 2 * piece[1:-1] + piece[:-2]  # falls by 12 dB an octave
        energy[first:end] = (high.reshape(end - first, hop) ** 2).sum(axis=1)
    level = np.log(energy + 1e-3 * float(np.mean(energy)) + 1e-15)
    before = np.concatenate([np.full(8, level[0]), level])[: len(level)]
    rises = np.clip(level - before, 0.0, 4.0)
    return np.asarray(rises - rises.mean())


def _response(samples: Samples, sound: Samples, rate: int, shift: float) -> Floats:
    """The way from the practice sound into the recording as an impulse response."""
    size = 2 * int(BLOCK * rate / 2)
    offset = round(shift * rate)
    early = round(EARLY * rate)
    shape = np.hanning(size + 2)[1:-1]
    first, last = max(offset, 0), min(offset + len(sound), len(samples)) - size
    starts = np.arange(first, max(last, first) + 1, size // 2)
    if len(starts) > BLOCKS:
        starts = starts[np.unique(np.linspace(0, len(starts) - 1, BLOCKS).astype(int))]
    cross = np.zeros(size // 2 + 1, dtype=np.complex128)
    own = np.zeros(size // 2 + 1)
    reach = max(round(SMOOTH * size / rate), 1)
    for start in starts:
        heard = np.fft.rfft(piece_of(samples, int(start), int(start) + size) * shape)
        begin = int(start) - offset
        theirs = np.fft.rfft(piece_of(sound, begin + early, begin + early + size) * shape)
        power = np.abs(heard) ** 2
        weight = 1 / (_smoothed(power, reach) + 1e-12)
        cross += weight * heard * np.conj(theirs)
        own += weight * np.abs(theirs) ** 2
    found = np.fft.irfft(cross / (own + TRACE * own.max() + 1e-30), size)
    taps = round((EARLY + LATE) * rate)
    found = found[:taps] * np.minimum(1, np.linspace(8, 0, taps))
    return np.asarray(found, dtype=np.float32)


def _smoothed(power: Curve, reach: int) -> Curve:
    sums = np.cumsum(np.pad(power, (reach + 1, reach), mode="edge"))
    return np.asarray((sums[2 * reach + 1 :] - sums[: -2 * reach - 1]) / (2 * reach + 1))


def _subtracted(heard: Curve, bled: Curve, rate: int) -> Curve:
    """The one without the other, frame by frame."""
    size = 4 * (int(FRAME * rate) // 4)
    hop = size // 4
    shape = np.sqrt(np.hanning(size + 1)[:-1])
    pad = (size, size + -len(heard) % hop)
    ours, theirs = np.pad(heard, pad), np.pad(bled, pad)
    view = np.lib.stride_tricks.sliding_window_view
    mixed = np.fft.rfft(view(ours, size)[::hop] * shape, axis=1)
    added = np.fft.rfft(view(theirs, size)[::hop] * shape, axis=1)
    weight = 1 / (np.abs(mixed) ** 2 + np.abs(added) ** 2 + 1e-12)
    both = (weight * (mixed * np.conj(added)).real).sum(axis=1)
    scale = np.clip(both / ((weight * np.abs(added) ** 2).sum(axis=1) + 1e-9), 0.0, MOST)
    added *= scale[:, None]
    rest = mixed - added
    energy, left = np.abs(rest) ** 2, LEFT * np.abs(added) ** 2
    rest *= np.sqrt(np.maximum(1 - left / np.maximum(energy, 1e-15), LEAST))
    frames = np.fft.irfft(rest, size, axis=1) * shape
    out = np.zeros(len(ours))
    for number, frame in enumerate(frames):
        out[number * hop : number * hop + size] += frame
    return np.asarray(out[size : size + len(heard)] / 2)
