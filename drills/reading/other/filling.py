"""Attacks on one time line -> full bars of written signs.

Problem: MIDI says when a note sounds, not how it is written.  Method: a sound is cut at bar
lines; what begins and ends on plain places is split so that the beat stays visible
(music/metre.py); what does not is cut at the quarters and written under the tuplet that the
length's denominator asks for: 3 in the time of 2, 5 and 7 in that of 4.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drills.errors import NotationError
from drills.music.metre import Metre, is_plain
from drills.music.pitch import Tone
from drills.music.time import NoteValue, TimeSignature, Tuplet
from drills.reading.other.scorexml import Sign


@dataclass(frozen=True, slots=True)
class Sound:
    """What sounds from one time to another, in quarters from the start."""

    start: Fraction
    end: Fraction
    tones: tuple[Tone, ...]


_ONE: Final = Fraction(1)


def filled(sounds: Sequence[Sound], start: Fraction, time: TimeSignature) -> tuple[Sign, ...]:
    """The signs of the bar that begins at ``start``.

    ``sounds``: in order, none under another, each reaching into the bar.
    """
    end = start + time.bar_length.quarters
    signs: list[Sign] = []
    at = start
    for sound in sounds:
        low, high = max(sound.start, start), min(sound.end, end)
        signs += _written(at - start, low - start, (), time)
        pieces = list(_written(low - start, high - start, sound.tones, time))
        for place, piece in enumerate(pieces):
            tied_from = place > 0 or sound.start < start
            tied_on = place + 1 < len(pieces) or sound.end > end
            signs.append(
                Sign(piece.value, piece.tones, piece.tuplet, tie_start=tied_on, tie_stop=tied_from)
            )
        at = high
    signs += _written(at - start, end - start, (), time)
    return tuple(signs)


def _written(
    low: Fraction, high: Fraction, tones: tuple[Tone, ...], time: TimeSignature
) -> Iterator[Sign]:
    if low >= high:
        return
    if is_plain(low) and is_plain(high):
        values = Metre(time).split(low, high, rest=not tones)
        yield from (Sign(value, tones) for value in values)
        return
    edge = (low // _ONE + 1) * _ONE
    if edge < high:
        yield from _written(low, edge, tones, time)
        yield from _written(edge, high, tones, time)
        return
    yield from _under_tuplet(high - low, tones)


def _under_tuplet(length: Fraction, tones: tuple[Tone, ...]) -> Iterator[Sign]:
    """A length inside one quarter that is not plain; longest value first."""
    odd = length.denominator
    while odd % 2 == 0:
        odd //= 2
    ratio = Tuplet(odd, 2 ** (odd.bit_length() - 1)) if odd > 1 else None
    left = length / ratio.factor if ratio else length
    while left:
        fitting = [value for value in _VALUES if value.length.quarters <= left]
        if not fitting:
            raise NotationError(f"a length of {length} quarters cannot be written")
        yield Sign(fitting[0], tones, ratio)
        left -= fitting[0].length.quarters


_VALUES: Final = sorted(
    (
        NoteValue(kind, dots)
        for kind in ("whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th")
        for dots in (0, 1)
    ),
    key=lambda value: value.length,
    reverse=True,
)
