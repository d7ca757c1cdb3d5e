"""A take that is the spot at another pitch: which transpositions are worth a try.

Problem.  Who reads a part for another instrument plays the right notes, all of them a tone
off.  Method.  How long each key sounds in the recording is compared with how long it is
written, for every shift of up to an octave both ways, by the overlap of the two shares
(Bhattacharyya 1943, from memory: the sum of the roots of their products).  Only the nearest
few are then followed in full: order and rhythm decide, not this.

Conventions.  Semitones; positive is higher than written.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from drills.effort.air import interval_words
from drills.listening.hearing import SOUNDS, hear
from drills.listening.spectra import Samples
from drills.listening.verdict import Verdict
from drills.listening.wanted import BESIDE, Wanted

FURTHEST: Final = 12
TRIED: Final = 3
"""Shifts that are followed in full."""
ENOUGH: Final = 40.0
"""Seconds of a recording that are looked at."""
LOWEST: Final = 21
HIGHEST: Final = 108


def shifts_of(samples: Samples, rate: int, wanted: Wanted) -> tuple[int, ...]:
    """The shifts that fit best what sounds, the best first; never 0."""
    low, high = wanted.struck[0], wanted.struck[-1]
    reach = FURTHEST + BESIDE
    keys = range(max(low - reach, LOWEST), min(high + reach, HIGHEST) + 1)
    costs = hear(samples[: int(ENOUGH * rate)], rate, keys, wanted.struck, 0.0).costs
    sounding = costs.argmin(axis=1)[costs.min(axis=1) < SOUNDS]
    heard = np.bincount(sounding, minlength=len(keys)) / max(len(sounding), 1)
    written = np.zeros(len(keys))
    for note in wanted.notes:
        written[note.key - keys[0]] += note.length
    written /= written.sum()
    possible = [
        shift
        for shift in range(-FURTHEST, FURTHEST + 1)
        if shift and low + shift >= keys[0] and high + shift <= keys[-1]
    ]

    def overlap(shift: int) -> float:
        return float(np.sqrt(heard * np.roll(written, shift)).sum())

    return tuple(sorted(possible, key=overlap, reverse=True)[:TRIED])


def moved(wanted: Wanted, semitones: int) -> Wanted:
    """The same at another pitch."""
    notes = (replace(note, key=note.key + semitones) for note in wanted.notes)
    return replace(wanted, notes=tuple(notes))


def as_written(verdict: Verdict, semitones: int) -> Verdict:
    """A verdict on moved notes, each with the key that is written; what was heard stays."""
    notes = (replace(note, key=note.key - semitones) for note in verdict.notes)
    return replace(verdict, notes=tuple(notes))


def shift_words(semitones: int) -> str:
    """ "a tone lower" for -2."""
    return f"{interval_words(semitones)} {'higher' if semitones > 0 else 'lower'}"
