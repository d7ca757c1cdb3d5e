"""How long each bar really is, and what it lacks at its start.

A bar keeps the length of what is in it: pickups, the halves of a split bar and
overfull bars are shorter or longer than the time signature says.  Only a bar
that the exporter left empty, or filled on this staff with nothing but a rest,
is given the length that the time signature or the other parts say.

``offset``: a pickup of one quarter in 3/4 lacks two quarters at its start; the
second half of a split bar lacks what the first half had.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from drills.reading.clusters import RawBar
from drills.reading.inforce import InForce
from drills.reading.timing import NONE


@dataclass(frozen=True, slots=True)
class BarExtent:
    """Length and offset of a bar in quarters."""

    length: Fraction
    offset: Fraction


def extents(
    bars: Sequence[RawBar],
    governing: Sequence[InForce],
    elsewhere: Callable[[int, Fraction], Fraction],
) -> tuple[BarExtent, ...]:
    """Length and offset of every bar.

    ``elsewhere(index, enough)`` gives the latest end of a note in that bar of any
    other part, or of the first that reaches ``enough``; it is asked only where
    this part does not say enough.
    """
    result: list[BarExtent] = []
    filled = NONE
    """How much of a full bar the short bars just before have filled."""
    for raw, signs in zip(bars, governing, strict=True):
        full = signs.time.bar_length.quarters
        length = _length(raw, full, signs.free, elsewhere)
        offset = NONE
        if length < full and not signs.free:
            if raw.index == 0 or (filled == NONE and _is_pickup(raw)):
                offset = full - length
                filled = NONE
            elif NONE < filled <= full - length:
                offset = filled
                filled = NONE if offset + length == full else offset + length
            else:
                filled = length
        else:
            filled = NONE
        result.append(BarExtent(length, offset))
    return tuple(result)


def _is_pickup(raw: RawBar) -> bool:
    """A bar that is not counted, such as the pickup of a later movement."""
    return raw.measure.get("implicit") == "yes" and raw.measure.get("number") == "0"


def _length(
    raw: RawBar, full: Fraction, free: bool, elsewhere: Callable[[int, Fraction], Fraction]
) -> Fraction:
    if raw.end >= full or (free and raw.end > NONE):
        return raw.end
    if raw.end == NONE:
        return _rest_length(raw, full, elsewhere)
    if raw.moved_end > raw.end:
        return min(raw.moved_end, full)
    return max(raw.end, min(elsewhere(raw.index, full), full))


def _rest_length(
    raw: RawBar, full: Fraction, elsewhere: Callable[[int, Fraction], Fraction]
) -> Fraction:
    """The length of a bar that holds no note, or nothing but a whole-bar rest."""
    if raw.rest_end == full and raw.index > 0 and raw.measure.get("implicit") != "yes":
        return full
    others = elsewhere(raw.index, full)
    if others > NONE:
        return others
    return raw.rest_end if NONE < raw.rest_end < full else full
