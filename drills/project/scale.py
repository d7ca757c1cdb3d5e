"""Tempo as a place on the metronome's scale, so that progress can be counted in numbers.

Problem.  From 60 to 63 and from 144 to 152 are one turn of the dial each; beats a
minute do not say how far a passage has come.  Method.  The traditional series
(ladder.SERIES) is a scale whose steps are nearly equal on the ear, about 4.4 per cent.
Twice the tempo is always 16 steps, at both ends of the series, so the scale goes on
beyond them by octaves.  A number between two of the series lies between their places.

Conventions.  ``place`` is a float, 0 at 40, 16 at 80, 38 at 208; one unit is one number.
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor
from typing import Final

from drills.sheets.metronome import SERIES

OCTAVE: Final = 16
"""Numbers from any tempo to twice that tempo."""
_LOWEST: Final = Fraction(SERIES[0])
_HIGHEST: Final = Fraction(SERIES[-1])
_NEARLY: Final = 1e-9


@lru_cache(maxsize=4096)
def place(number: Fraction) -> float:
    """Where a tempo (more than 0, in beats a minute) lies on the scale."""
    if number <= 0:
        raise ValueError(f"{number} is no tempo")
    octaves = 0
    while number < _LOWEST:
        number, octaves = number * 2, octaves - 1
    while number > _HIGHEST:
        number, octaves = number / 2, octaves + 1
    below = min(bisect_right(SERIES, number), len(SERIES) - 1) - 1
    low, high = SERIES[below], SERIES[below + 1]
    return OCTAVE * octaves + below + float((number - low) / (high - low))


def number_at(where: float) -> Fraction:
    """The metronome number nearest to a place; beyond the series its octave, rounded."""
    step = floor(where + 0.5)
    octaves = 0
    while step < 0:
        step, octaves = step + OCTAVE, octaves - 1
    while step >= len(SERIES):
        step, octaves = step - OCTAVE, octaves + 1
    number = SERIES[step] * Fraction(2) ** octaves
    return Fraction(max(1, floor(number + Fraction(1, 2))))


@lru_cache(maxsize=4096)
def numbers_between(low: Fraction, high: Fraction) -> int:
    """How many numbers of the metronome lead from ``low`` up to ``high``; 0 where none is needed.

    What is not on the scale counts as the step that it takes: 107 to 112 are two.
    """
    return max(0, ceil(place(high) - place(low) - _NEARLY))


def raised(number: Fraction, steps: int, most: Fraction) -> Fraction:
    """``steps`` numbers above ``number``, at most ``most``; below it for fewer than 0."""
    where = place(number)
    base = floor(where + _NEARLY) if steps >= 0 else ceil(where - _NEARLY)
    return min(number_at(base + steps), most) if steps else min(number, most)
