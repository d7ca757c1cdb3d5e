"""How odd a spelled pitch is to read in a key: one small table of costs.

The costs weigh against each other and against those of a change of spelling in
spelling.py.  They are our own choice, by what engravers avoid: double sharps and
double flats first, then a sharp or flat on the wrong side of a white key.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from drills.music.pitch import KeySignature, Pitch

BEYOND: Final = 60
"""More than a double sharp or flat: cannot be printed everywhere."""
DOUBLE: Final = 12
WHITE: Final = 4
"""E sharp, B sharp, C flat, F flat."""
SIGN: Final = 1
"""Any sign that the key does not give, a natural included."""
STRANGER: Final = 6
"""A note of the key under another name: A flat where the key has G sharp."""

_WHITE: Final = {("E", 1), ("B", 1), ("C", -1), ("F", -1)}


def oddity(pitch: Pitch, key: KeySignature) -> int:
    """What a pitch costs to read: 0 for a note of the key."""
    return _oddity(pitch.step, pitch.alter.numerator, pitch.alter.denominator, key)


@lru_cache(maxsize=4096)
def _oddity(step: str, numerator: int, denominator: int, key: KeySignature) -> int:
    given = key.alter_of(step)
    if given.numerator == numerator and given.denominator == denominator:
        return 0
    size = abs(numerator) / denominator
    if size > 2:
        return BEYOND
    if size > 1:
        return DOUBLE + SIGN
    if denominator == 1 and (step, numerator) in _WHITE:
        return WHITE + SIGN
    return SIGN
