"""How much each of the twelve tones sounds, added up from border to border.

Problem.  Thousands of stretches of a score are tried as one chord each, so what
sounds in a stretch must be had by one subtraction.  Method.  Running sums at every
border: a tone that several parts double counts once, by the way of its most
convincing player, so that a reading does not depend on how a chord is scored.
A border is an attack on a beat, its half or third, or of several tones at once.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.harmony.sound import LARGEST_STEP, Clock, Tone
from drills.harmony.stress import BEAT, PART_OF_BEAT
from drills.harmony.weights import Share, Weights

FloatArray = NDArray[np.float64]
"""Whole numbers, held as floats: exact, and quicker to multiply."""
HIGHEST_BASS: Final = 60
"""MIDI number of middle C: chords that lie higher are upper voices, whose root another part
may have (our own choice; the bass part of four-part writing seldom goes higher)."""


@dataclass(slots=True)
class Sums:
    """What sounds in a stretch, in percent of a beat."""

    support: FloatArray
    """By tone, C first: what speaks for a chord that has it."""
    worth: FloatArray
    """What a chord gains that has it: the support, and what it no longer loses."""
    bass: FloatArray
    foreign: int
    """What a chord would lose to which every tone is foreign."""
    volume: int
    """All support together."""
    length: int
    """Time in which anything sounds."""
    together: int
    """Time in which several tones sound together."""
    founded: int
    """Time in which a bass sounds: a tone no higher than HIGHEST_BASS."""
    doubled: int
    """Time in which one tone sounds in several octaves or parts, over a bass."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """The borders of a stretch of music, and what had sounded up to each."""

    borders: tuple[int, ...]
    """Ticks."""
    sums: FloatArray
    """A row for each border: twelve of support, of worth and of bass, then the six of ``Sums``."""

    def between(self, start: int, end: int) -> Sums:
        """What sounds from one border to another."""
        row = self.sums[end] - self.sums[start]
        return Sums(row[:12], row[12:24], row[24:36], *(int(value) for value in row[36:]))


def evidence_of(tones: Sequence[Tone], clock: Clock, weights: Weights) -> Evidence:
    """The evidence of tones sorted by start; there is at least one."""
    times = sorted(
        {tone.start for tone in tones}
        | {tone.end for tone in tones}
        | {tone.rings for tone in tones}
    )
    attacks: defaultdict[int, set[int]] = defaultdict(set)
    for tone in tones:
        attacks[tone.start].add(tone.midi % 12)
    sums, borders = np.zeros(42), [times[0]]
    found = [sums.copy()]
    active: list[Tone] = []
    alone: set[int] = set()
    coming = 0
    for start, end in pairwise(times):
        if start > times[0] and _is_border(start, len(attacks.get(start, ())), clock):
            borders.append(start)
            found.append(sums.copy())
        active = [tone for tone in active if tone.rings > start]
        while coming < len(tones) and tones[coming].start <= start:
            active.append(tones[coming])
            coming += 1
        if attacks.get(start) and not any(tone.start < start < tone.end for tone in active):
            alone.add(start)
        heard = [
            (tone, _share(tone, start, clock, weights, alone=tone.start in alone))
            for tone in active
        ]
        length = 100 * (end - start) // clock.beat(start)
        stress = weights.stress[clock.level(clock.start_of_beat(start))]
        _add(sums, heard, length * stress // 100, weights.highest)
        if heard:
            _add_times(sums, [tone for tone, _ in heard], length)
    return Evidence((*borders, times[-1]), np.stack([*found, sums]))


def _is_border(tick: int, attacked: int, clock: Clock) -> bool:
    return attacked > 1 or (attacked == 1 and clock.level(tick) <= PART_OF_BEAT)


def _add(sums: FloatArray, heard: Sequence[tuple[Tone, Share]], length: int, highest: int) -> None:
    """Count what sounds for ``length`` percent of a beat, weighed by its stress."""
    support: dict[int, int] = {}
    foreign: dict[int, int] = {}
    lowest, lowest_share = None, 0
    top = max((tone.midi for tone, _ in heard), default=0)
    for tone, share in heard:
        semitone = tone.midi % 12
        support[semitone] = max(support.get(semitone, 0), share.support)
        against = share.foreign * highest // 100 if tone.midi == top else share.foreign
        foreign[semitone] = max(foreign.get(semitone, 0), against)
        if lowest is None or tone.midi < lowest:
            lowest, lowest_share = tone.midi, share.support
    against_all = volume = 0
    for semitone, percent in support.items():
        speaks, against = length * percent // 100, length * foreign[semitone] // 100
        sums[semitone] += speaks
        sums[12 + semitone] += speaks + against
        volume += speaks
        against_all += against
    if lowest is not None:
        sums[24 + lowest % 12] += length * lowest_share // 100
        sums[36:38] += (against_all, volume)


def _add_times(sums: FloatArray, tones: Sequence[Tone], length: int) -> None:
    """Count the time in which something sounds, several tones do, a bass does, one tone does."""
    together = length if len({tone.midi % 12 for tone in tones}) > 1 else 0
    founded = length if min(tone.midi for tone in tones) <= HIGHEST_BASS else 0
    doubled = founded if len(tones) > 1 and not together else 0
    sums[38:] += (length, together, founded, doubled)


def _share(tone: Tone, now: int, clock: Clock, weights: Weights, *, alone: bool) -> Share:
    """How far a tone must be taken for one of the chord, from how it moves.

    What moves ``alone``, while nothing else is held, is a chord of its own and no ornament.
    """
    if now >= tone.end:
        return weights.ringing
    if tone.start < now and tone.way_out in (-1, -2) and clock.level(now) <= BEAT:
        return weights.held_over
    reached = tone.way_in is not None and abs(tone.way_in) <= LARGEST_STEP
    left = tone.way_out is not None and abs(tone.way_out) <= LARGEST_STEP
    if reached and left:
        short = tone.end - tone.start <= clock.beat(tone.start)
        off_beat = clock.level(tone.start) >= PART_OF_BEAT
        return weights.ornament if short and off_beat and not alone else weights.stepwise
    return weights.one_step if reached or left else weights.leaping
