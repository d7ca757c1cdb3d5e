"""The pitch of one tone, dry and by itself, in another way than the listener's.

Problem.  A recorded tone glides and wavers by itself, and a short note holds a part of that and
of a vibrato: what it was meant to be is not what sounded.  Method.  Each of its partials is
turned down by the frequency it would have in tune and smoothed; how fast its phase still
turns tells how far it is off, moment by moment.  Partials count by their strength and
their number, since the same cents turn a high one faster; moments by their strength, the
first and the last 30 ms, where a tone comes and goes, not at all.

The player's own A is the middle of all tones that are long enough.

Conventions.  Cents from the frequency that is given; samples at ``RATE``.
"""

from __future__ import annotations

import numpy as np

from drills.listening.hearing import frequency
from drills.listening.played import Played
from drills.listening.states import NOTE
from drills.listening.tuning import SHORTEST
from tests.listening.takes import RATE, Samples, Take

SAME = 0.1
"""Seconds within which an attack that was heard is the one that was played."""

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


def cents_off(take: Take, played: Played) -> list[float]:
    """How far the cents that were told lie off those of the tones; without the tones of a take,
    off what was meant."""
    truth = [
        cents_of_tone(tone, frequency(one.key)) if one.call == "right" else None
        for one, tone in zip(take.played, take.tones, strict=False)
    ] or [take.manner.detune] * len(take.played)
    long = [
        cents
        for one, cents in zip(take.played, truth, strict=True)
        if cents is not None and one.end - one.at >= SHORTEST
    ]
    own_a = float(np.median(long)) if long else 0.0
    found = []
    for one in played.notes:
        near = [
            (abs(p.at - one.at), n)
            for n, p in enumerate(take.played)
            if p.of == one.note and p.call == "right" and abs(p.at - one.at) < SAME
        ]
        if one.kind != NOTE or one.cents is None or not near:
            continue
        cents = truth[min(near)[1]]
        if cents is not None:
            found.append(abs(one.cents - cents + own_a))
    return found
