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

from drills.reading.clocks import NONE
from drills.reading.clusters import RawBar
from drills.reading.inforce import InForce


@dataclass(frozen=True, slots=True)
class BarExtent:
    """Length and offset of a bar in quarters."""

    length: Fraction
    offset: Fraction


def extents(
    bars: Sequence[RawBar],
    governing: Sequence[InForce],
    elsewhere: Callable[[int, Fraction], Fraction],
    begins_section: Callable[[int], bool],
) -> tuple[BarExtent, ...]:
    """Length and offset of every bar.

    ``elsewhere(index, enough)`` gives the latest end of a note in that bar of any
    other part, or of the first that reaches ``enough``; it is asked only where
    this part does not say enough.  ``begins_section(index)`` is true for a bar
    after a double or final bar line or a repeat.
    """
    lengths = [
        _length(raw, signs.time.bar_length.quarters, signs.free, elsewhere)
        for raw, signs in zip(bars, governing, strict=True)
    ]
    result: list[BarExtent] = []
    filled = NONE
    """How much of a full bar the short bars just before have filled."""
    for raw, signs, length in zip(bars, governing, lengths, strict=True):
        full = signs.time.bar_length.quarters
        offset = NONE
        if length >= full or signs.free:
            filled = NONE
        elif NONE < filled <= full - length:
            offset = filled
            filled = NONE if offset + length == full else offset + length
        elif _is_pickup(bars, raw.index, lengths, full, begins_section):
            offset = full - length
            filled = NONE
        else:
            filled = length
        result.append(BarExtent(length, offset))
    return tuple(result)


def _is_pickup(
    bars: Sequence[RawBar],
    index: int,
    lengths: Sequence[Fraction],
    full: Fraction,
    begins_section: Callable[[int], bool],
) -> bool:
    """True for a short bar at the start of the part, of a movement or of a section.

    A short bar that the next one completes is the first half of a split bar.
    """
    here = bars[index].measure
    after = bars[index + 1].measure if index + 1 < len(bars) else None
    completed = after is not None and lengths[index] + lengths[index + 1] == full
    if index == 0:
        return not (completed and after is not None and after.get("implicit") == "yes")
    if here.get("implicit") == "yes" and here.get("number") == "0":
        return True
    return begins_section(index) and not completed


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
