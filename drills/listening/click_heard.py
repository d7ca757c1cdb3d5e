"""A click that can be heard in a recording: its tempo, and when its beats fall.

Problem.  Who plays to a metronome beside the recorder wants the time against it, and nobody
says when it was started.  Method.  A click is a sudden rise of what lies above a melody's strong
partials, at exactly equal distances.  Rises are folded at the period of each whole number that
a metronome may have stood on near the tempo played; at each moment of the beat the lower
middle over all beats counts.  A player's attacks scatter by more than such a moment is wide.
So that a very steady player is not taken for a click, it must be there as clearly on beats on
which no note begins: in a count-in, in rests, under long notes.

Conventions.  Seconds.  The thresholds were chosen on takes with and without a click
(docs/listening.md).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.spectra import Floats, Samples

HOP: Final = 0.002
"""Seconds from one value of the rises to the next, to a whole sample."""
BEFORE: Final = 0.016
"""Seconds that a rise is measured against."""
MOMENT: Final = 0.006
"""How wide a moment of the beat is."""
LOW: Final = 1500.0
"""Hertz above which is listened."""
FEWEST: Final = 10
"""Beats that show a click."""
SHARE: Final = 0.35
"""Which of the beats counts, from the weakest: a louder note may hide a click."""
CLEAR: Final = 0.5
"""Nepers by which the click rises over what is there at other moments of the beat."""
ALONE: Final = 1.0
"""Nepers by which it rises on beats without a note ..."""
APART: Final = 0.06
"""... which are those so far from any attack, seconds."""
FEWEST_ALONE: Final = 3
NEAR: Final = 0.08
"""Share of the tempo that is looked at on either side."""

EARLY: Final = 0.0065
"""Seconds that the half of a rise comes before the click: the window hears it coming.  Measured
on computed clicks, -12 to +6 dB, dry, in a room and through a phone: 5.8 to 8.4 ms."""
LONGEST: Final = 120.0
"""Seconds of a recording that are looked at."""
WITHIN: Final = 0.024
"""Seconds around its moment in which a click begins."""
MOST: Final = 3.0
"""Nepers that a rise counts at most."""

Curve = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class HeardClick:
    """Where clicks fall."""

    number: int
    """Clicks a minute."""
    at: float
    """When one of them falls, seconds from the start of the recording."""
    clear: float
    """Nepers over what is there otherwise."""


def heard_click(
    samples: Samples, rate: int, number: float, attacks: Sequence[float]
) -> HeardClick | None:
    """The click in a recording that was played at about ``number`` beats a minute.

    ``attacks``: when notes begin, seconds; None where no click is clear.
    """
    rises = _Rises.of(samples[: int(LONGEST * rate)], rate)
    low, high = round(number * (1 - NEAR)), round(number * (1 + NEAR))
    found = [one for n in range(low, high + 1) if (one := rises.folded(n)) is not None]
    best = max(found, key=lambda one: one.clear, default=None)
    if best is None or best.clear < CLEAR or not rises.alone(best, np.array(attacks)):
        return None
    return best


@dataclass(frozen=True, slots=True)
class _Rises:
    """How much louder it is than a moment before, above LOW, in nepers."""

    values: Curve
    hop: float
    """Seconds from one value to the next."""

    @classmethod
    def of(cls, samples: Floats, rate: int) -> _Rises:
        """Those of a recording."""
        hop = round(HOP * rate)
        count = max(len(samples) // hop - 2, 1)
        energy = np.empty(count)
        keep = np.fft.rfftfreq(8 * hop, 1 / rate) > LOW
        window = np.hanning(8 * hop)
        padded = np.pad(samples, (3 * hop, 5 * hop))
        for begin in range(0, count, 4096):
            end = min(begin + 4096, count)
            at = (np.arange(begin, end) * hop)[:, None] + np.arange(8 * hop)[None, :]
            spectrum = np.abs(np.fft.rfft(padded[at] * window, axis=1)[:, keep]) ** 2
            energy[begin:end] = spectrum.sum(axis=1)
        level = np.log(energy + 1e-4 * float(np.median(energy)) + 1e-12) / 2
        before = np.concatenate([np.full(round(BEFORE / HOP), level[0]), level])[: len(level)]
        return cls(np.asarray(np.clip(level - before, 0.0, MOST)), hop / rate)

    def at(self, seconds: Curve, first: float, last: float) -> Curve:
        """The rises around some moments, from ``first`` to ``last`` seconds after each."""
        reach = np.arange(round(first / self.hop), round(last / self.hop) + 1)
        index = np.round(seconds / self.hop).astype(np.int64)[:, None] + reach
        found: Curve = self.values[np.clip(index, 0, len(self.values) - 1)]
        return found

    def folded(self, number: int) -> HeardClick | None:
        """The moment of the beat at which it rises beat after beat."""
        step = 60 / number / self.hop
        beats = int(len(self.values) / step)
        if beats < FEWEST:
            return None
        wide = round(MOMENT / self.hop)
        windows = np.lib.stride_tricks.sliding_window_view(
            np.pad(self.values, (wide // 2, wide)), wide
        )
        index = np.round(np.arange(beats)[:, None] * step).astype(np.int64) + np.arange(int(step))
        table = np.sort(windows.max(axis=1)[np.minimum(index, len(self.values) - 1)], axis=0)
        steady = table[int(SHARE * beats)]
        peak = int(steady.argmax())
        clear = float(steady[peak] - np.median(steady))
        at = peak * self.hop
        return HeardClick(number, at + self._begins(at, number) + EARLY, clear)

    def _begins(self, at: float, number: int) -> float:
        """How long after its moment a click begins, seconds: where its mean rise is half done."""
        beats = np.arange(at, len(self.values) * self.hop, 60 / number)
        shape = np.sort(self.at(beats, -WITHIN, WITHIN), axis=0)
        mean = shape[int(SHARE * len(beats)) :].mean(axis=0)
        top = int(mean.argmax())
        half = mean[top] / 2
        under = np.flatnonzero(mean[:top] < half)
        if not len(under):
            return 0.0
        last = int(under[-1])
        inside = (half - mean[last]) / max(mean[last + 1] - mean[last], 1e-9)
        return float((last + inside) * self.hop - WITHIN)

    def alone(self, click: HeardClick, attacks: Curve) -> bool:
        """Whether it is heard on beats on which no note begins."""
        step = 60 / click.number
        beats = np.arange((click.at - EARLY) % step, len(self.values) * self.hop - APART, step)
        if len(attacks):
            beats = beats[np.abs(beats[:, None] - attacks[None, :]).min(axis=1) > APART]
        if not len(beats):
            return False
        there = np.flatnonzero(self.at(beats, -0.01, 0.02).max(axis=1) >= ALONE)
        if len(there) < FEWEST_ALONE:
            return False
        return bool(len(there) >= (1 - SHARE) * (there[-1] - there[0] + 1))
