"""Lengths that no single note value lasts, as values to be tied together."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from drills.music.notes import TupletBracket
from drills.music.time import NOTE_KINDS, NoteValue, Tuplet

_CANDIDATES: Final = tuple(
    sorted(
        (NoteValue(kind, dots) for kind in NOTE_KINDS for dots in (0, 1)),
        key=lambda value: value.length,
        reverse=True,
    )
)
"""Plain and dotted values, longest first."""
_MOST_VALUES: Final = 3
_LARGEST_TUPLET: Final = 15


def spelled(length: Fraction) -> list[tuple[NoteValue, tuple[TupletBracket, ...]]]:
    """Values that add up to ``length``, longest first.

    A length such as 5/12 of a quarter is written under a tuplet.  What three
    values cannot say (a played length, not a written one) is cut to the longest
    value that fits; a length below the shortest value gives nothing.
    """
    odd = length.denominator
    while odd % 2 == 0:
        odd //= 2
    if odd <= _LARGEST_TUPLET:
        ratio = Tuplet(odd, 2 ** (odd.bit_length() - 1))
        values, left = _greedy(length / ratio.factor)
        if left == 0 and len(values) <= _MOST_VALUES:
            return _bracketed(values, ratio)
    values, _ = _greedy(length)
    return [(value, ()) for value in values[:1]]


def _greedy(length: Fraction) -> tuple[list[NoteValue], Fraction]:
    values: list[NoteValue] = []
    while fitting := [value for value in _CANDIDATES if value.length.quarters <= length]:
        values.append(fitting[0])
        length -= fitting[0].length.quarters
    return values, length


def _bracketed(
    values: list[NoteValue], ratio: Tuplet
) -> list[tuple[NoteValue, tuple[TupletBracket, ...]]]:
    if ratio.actual == 1:
        return [(value, ()) for value in values]
    last = len(values) - 1
    return [
        (value, (TupletBracket(ratio, starts=place == 0, stops=place == last),))
        for place, value in enumerate(values)
    ]
