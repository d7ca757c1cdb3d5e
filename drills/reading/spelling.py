"""Lengths that no single note value lasts, as values to be tied together."""

from __future__ import annotations

from fractions import Fraction

from drills.music.score import TupletBracket
from drills.music.time import NOTE_KINDS, NoteValue, Tuplet

_SHORTEST = min(value.quarters for value in NOTE_KINDS.values())


def spelled(length: Fraction) -> list[tuple[NoteValue, tuple[TupletBracket, ...]]]:
    """Values that add up to ``length``, longest first.

    A length such as 5/12 of a quarter is written under a tuplet.  What is
    shorter than the shortest note value is left out.
    """
    odd = length.denominator
    while odd % 2 == 0:
        odd //= 2
    ratio = Tuplet(odd, 2 ** (odd.bit_length() - 1))
    rest = length / ratio.factor
    values: list[NoteValue] = []
    while rest >= _SHORTEST:
        value = max((v for v in _CANDIDATES if v.length.quarters <= rest), key=lambda v: v.length)
        values.append(value)
        rest -= value.length.quarters
    if odd == 1:
        return [(value, ()) for value in values]
    last = len(values) - 1
    return [
        (value, (TupletBracket(ratio, starts=place == 0, stops=place == last),))
        for place, value in enumerate(values)
    ]


_CANDIDATES = tuple(NoteValue(kind, dots) for kind in NOTE_KINDS for dots in (0, 1))
