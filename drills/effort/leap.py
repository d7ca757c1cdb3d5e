"""How hard a move is, judged by the size of its leap alone.

Method.  The interval in semitones between the nearest tones of two attacks.
It knows nothing of the instrument, and the sheet says so.  Of the plain
measures it is the better one: on a saxophone the speed at which two notes can
be alternated falls with the interval (rank correlation about -0.67) more
clearly than with the number of keys that change (about -0.47): Libricky and
Hajic, ISMIR 2025, arXiv 2507.04963.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise, product

from drills.music.pitch import Pitch, Tone
from drills.spots import Attack

_STEP = Fraction(12, 7)
"""Semitones that a staff step stands for where there is no pitch (percussion)."""


def leap(first: Attack, second: Attack) -> Fraction:
    """Semitones between the nearest tones of two attacks; 0 or more."""
    return min(abs(_height(a) - _height(b)) for a, b in product(first.tones, second.tones))


def widest_leap(attacks: Sequence[Attack]) -> Fraction:
    """The largest leap between neighbours; 0 for a single attack."""
    return max((leap(a, b) for a, b in pairwise(attacks)), default=Fraction(0))


def _height(tone: Tone) -> Fraction:
    return tone.midi if isinstance(tone, Pitch) else tone.diatonic * _STEP
