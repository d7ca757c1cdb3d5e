"""Whether a held tone was struck a second time where it is written once.

Problem.  While a way is sought through a take, the sign of a note's own attack would pass for a
second one, so a second one has to be dear there, and most are not found.  Method.  Afterwards,
when it is known from when to when each note sounds, every one that is long enough for two is
looked at by itself:
the levels of those of its partials that stand out from what lies between them.  A second attack
makes all of them dip together and come back: both the mean of their levels, for which weak ones
count nearly as much as strong ones, and their whole energy, of which the strongest is the most.
Vibrato, noise, keys and breath do one or the other.  How far both dip without an attack differs
from player to player and from place to place; the recording tells it itself, as a radar sets
its threshold by the clutter around (constant false alarm rate; from memory): ``USUAL_SHARE`` of
the held frames dip less than what is called usual.  The numbers were chosen on recorded tones.

Conventions.  Seconds from the start of the samples; levels and dips in decibels.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.following import Heard
from drills.listening.hearing import Hearing, frequency
from drills.listening.onsets import Attack, Onset
from drills.listening.spectra import Samples, piece_of
from drills.listening.states import ADDED, AGAIN, NOTE

Curve = NDArray[np.float64]

STEP: Final = 0.003
"""Seconds between two levels."""
WINDOW: Final = 0.018
"""Seconds of the windows that see a dip, ..."""
PERIODS: Final = 2.5
"""... which hold so many periods at least."""
LONG_WINDOW: Final = 0.040
"""Seconds of those that tell a partial from what lies between two, ..."""
LONG_PERIODS: Final = 4.5
"""... which hold so many periods at least."""
HIGHEST: Final = 4000.0
"""Hertz up to which partials are looked at."""
MOST: Final = 30
"""Partials that are looked at."""
STANDS_OUT: Final = 10.0
"""Times the energy between partials that a partial must have."""
EXPONENT: Final = 0.35
"""Weak partials count for more than their energy."""
DEEPEST: Final = -15.0
HIGH: Final = 9.0
"""Levels of a partial are cut off there."""
LEAST: Final = 0.2
"""Seconds of a note that is long enough for two."""
AFTER: Final = 0.075
AFTER_IN_ROOM: Final = 0.11
"""Seconds after an attack in which none is looked for; in a room the tone before beats longer
with what begins."""
BEFORE: Final = 0.06
BEFORE_IN_ROOM: Final = 0.1
"""Seconds before the end in which none is looked for; in a room that end is known less well."""
SETTLED: Final = 0.03
"""Seconds after an attack, and before the next, that tell nothing: they belong to those."""
FALLS: Final = 0.08
"""Seconds before a dip, ..."""
RISES: Final = 0.06
"""... and after it, in which it is told how deep it is."""
COMES_BACK: Final = -4.0
"""Level that a tone must reach again: else it dies away."""
USUAL_SHARE: Final = 85.0
"""Per cent of the held frames."""
OPEN: Final = (5.5, 1.0)
IN_ROOM: Final = (5.5, 5.5)
"""A dip that is a second attack has so many decibels, and so many times what is usual on top.  In a
room partials come and go by themselves, so that only what is far beyond the usual tells."""
OTHER_PITCH: Final = 0.1
"""How much less another pitch must cost a frame to be what was struck."""
APART: Final = 0.08
"""Seconds between two attacks at least."""
BLOCK: Final = 512
"""Times that are worked on at once."""


@dataclass(frozen=True, slots=True)
class _Held:
    """One note, looked at again."""

    times: Curve
    dips: Curve
    """At those times; a second attack is looked for at none else."""


NOT_LOOKED_AT: Final = _Held(np.empty(0), np.empty(0))


def struck_twice(
    samples: Samples,
    hearing: Hearing,
    heard: Sequence[Heard],
    keys: Sequence[int],
    onsets: Sequence[Onset],
) -> tuple[Heard, ...]:
    """What was heard, each note that was struck again as several: the note, and it again.

    ``keys`` and ``onsets`` may go on with those of what follows.
    """
    held = [
        _held(samples, hearing, key, onset, after) if one.kind in (NOTE, AGAIN) else NOT_LOOKED_AT
        for one, key, onset, after in zip(heard, keys, onsets, (*onsets[1:], None), strict=False)
    ]
    dips = np.concatenate([one.dips for one in held]) if held else np.empty(0)
    usual = float(np.percentile(dips, USUAL_SHARE)) if len(dips) else 0.0
    least, times = IN_ROOM if hearing.tail.matters else OPEN
    clear = least + times * usual
    return tuple(
        part
        for one, key, look in zip(heard, keys, held, strict=False)
        for part in _parts(one, key, _deepest(look, clear), hearing)
    )


def _parts(one: Heard, key: int, dips: Sequence[float], hearing: Hearing) -> list[Heard]:
    """A note cut at its dips; what fits another pitch clearly better was added to it."""
    cuts = [round(dip / hearing.seconds_a_frame) for dip in dips]
    cuts = [cut for cut in cuts if one.first < cut < one.end]
    ends = [*cuts, one.end]
    found = [replace(one, end=ends[0])]
    for first, end in itertools.pairwise(ends):
        costs = hearing.costs[first:end].mean(axis=0)
        other = costs[hearing.key_index(key)] - costs.min() > OTHER_PITCH
        found.append(Heard(ADDED if other else AGAIN, one.note, first, end))
    return found


def _deepest(held: _Held, clear: float) -> list[float]:
    """When it dips clearly, the deepest of what lies close together."""
    found: list[float] = []
    for index in np.argsort(-held.dips, kind="stable"):
        if held.dips[index] < clear:
            break
        time = float(held.times[index])
        if all(abs(time - other) >= APART for other in found):
            found.append(time)
    return sorted(found)


def _held(samples: Samples, hearing: Hearing, key: int, onset: Onset, after: Onset | None) -> _Held:
    """The dips of a note between its own attack and the next."""
    joined = after is not None and after.attack is not Attack.SILENCE
    begin, end = onset.seconds, after.seconds if joined and after is not None else onset.end
    if end - begin < LEAST:
        return NOT_LOOKED_AT
    pitch = frequency(key, hearing.tuning)
    hertz: Curve = pitch * np.arange(1, MOST + 1, dtype=np.float64)
    hertz = hertz[hertz < max(min(HIGHEST, 0.45 * hearing.rate), 1.5 * pitch)]
    hertz = hertz[_outstanding(samples, hearing.rate, hertz, begin, end)]
    times = np.arange(begin + SETTLED, end - (SETTLED if joined else 0.0), STEP)
    size = int(max(WINDOW, PERIODS / pitch) * hearing.rate)
    energy = _energies(samples, hearing.rate, times, hertz, size)
    steady = (times > begin + 0.05) & (times < end - 0.03)
    top = np.median(energy[steady], axis=0) + 1e-14
    level = np.clip(10 * np.log10((energy + 1e-14) / top), DEEPEST, HIGH)
    weight = top**EXPONENT
    mean = level @ (weight / weight.sum())
    whole = 10 * np.log10(energy.sum(axis=1) + 1e-14)
    dips = np.minimum(_dips(mean), _dips(whole))
    back = _highest(mean, 0, round(RISES / STEP)) > COMES_BACK
    room = hearing.tail.matters
    since, until = (AFTER_IN_ROOM, BEFORE_IN_ROOM) if room else (AFTER, BEFORE)
    looked = back & (times > begin + since) & (times < end - until)
    return _Held(times[looked], dips[looked])


def _dips(level: Curve) -> Curve:
    """How far each level lies under the highest shortly before and shortly after."""
    before = _highest(level, round(FALLS / STEP), 0)
    after = _highest(level, 0, round(RISES / STEP))
    return np.asarray(np.minimum(before, after) - level)


def _outstanding(
    samples: Samples, rate: int, hertz: Curve, begin: float, end: float
) -> NDArray[np.bool_]:
    """Which partials stand out from what lies between them; the strongest at least."""
    apart = float(hertz[0])
    size = int(max(LONG_WINDOW, LONG_PERIODS / apart) * rate)
    times = np.arange(begin + 0.04, max(end - 0.04, begin + 0.06), 0.02)
    both = np.concatenate([hertz, hertz - apart / 2, [float(hertz[-1]) + apart / 2]])
    energy = np.median(_energies(samples, rate, times, both, size), axis=0)
    own, between = energy[: len(hertz)], energy[len(hertz) :]
    found = own > STANDS_OUT * (between[1:] + between[:-1]) / 2
    return found if found.any() else own >= own.max()


def _energies(samples: Samples, rate: int, times: Curve, hertz: Curve, size: int) -> Curve:
    """Times x frequencies."""
    places = np.arange(size)[:, None] * (hertz[None, :] / rate)
    shape = np.hanning(size)[:, None]
    waves = (np.exp(-2j * np.pi * places) * shape).astype(np.complex64)
    first = np.round(times * rate).astype(np.int64) - size // 2
    found = np.empty((len(times), len(hertz)))
    for begin in range(0, len(first), BLOCK):
        some = first[begin : begin + BLOCK]
        piece = piece_of(samples, int(some[0]), int(some[-1]) + size)
        frames = np.lib.stride_tricks.sliding_window_view(piece, size)[some - some[0]]
        found[begin : begin + BLOCK] = np.abs(frames @ waves) ** 2
    return found


def _highest(curve: Curve, behind: int, ahead: int) -> Curve:
    """The highest value from so many before to so many after each."""
    padded = np.pad(curve, (behind, ahead), mode="edge")
    view = np.lib.stride_tricks.sliding_window_view(padded, behind + ahead + 1)
    return np.asarray(view.max(axis=-1))
