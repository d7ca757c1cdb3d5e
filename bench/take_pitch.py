"""The pitch of one tone, dry and by itself, in another way than the listener's.

Problem.  A recorded tone glides and wavers by itself, and a short note holds a part of that and
of a vibrato: what it was meant to be is not what sounded.  Method.  Each of its partials is
turned down by the frequency it would have in tune and smoothed; how fast its phase still
turns tells how far it is off, moment by moment.  Partials count by their strength and
their number, since the same cents turn a high one faster; moments by their strength, the
first and the last 30 ms, where a tone comes and goes, not at all.

Conventions.  Cents from the frequency that is given; samples at ``RATE``.
"""

from __future__ import annotations

import numpy as np

from tests.listening.takes import RATE, Samples

EDGE = 0.03
"""Seconds."""
PARTIALS = 8
SMOOTH = 0.012
"""Seconds of the window over which phases are told, at least three periods."""


def cents_of_tone(tone: Samples, hertz: float) -> float | None:
    """Cents from ``hertz`` on average; None for what is too short to tell."""
    size = int(max(3 / hertz, SMOOTH) * RATE) | 1
    begin, end = int(EDGE * RATE), len(tone) - int(EDGE * RATE)
    if end - begin < size:
        return None
    window = np.hanning(size + 2)[1:-1] / np.hanning(size + 2).sum()
    time = np.arange(len(tone)) / RATE
    turns, weight = np.zeros(end - begin - 1), np.full(end - begin - 1, 1e-20)
    for number in range(1, PARTIALS + 1):
        if number * hertz > 0.42 * RATE:
            break
        still = tone * np.exp(-2j * np.pi * number * hertz * time)
        wave = np.convolve(still, window, "same")[begin:end]
        step = wave[1:] * np.conj(wave[:-1])
        turns += number**2 * np.abs(step) * np.angle(step) * RATE / (2 * np.pi * number)
        weight += number**2 * np.abs(step)
    share = np.clip(turns / weight / hertz, -0.1, 0.1)
    return float(np.average(1200 * np.log2(1 + share), weights=np.sqrt(weight)))
