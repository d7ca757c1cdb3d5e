"""Chords that a player says for places outside every spot: told, since they would do nothing.

A chord counts from its place to the end of the bar (or of the stretch) that is named, and a
spot from its first note to a beat after its end, where its landing note may be.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from drills.errors import PlaceError
from drills.places.aligning import Aligned, find_stretch
from drills.section.harmonies import Said


@dataclass(frozen=True, slots=True)
class Reach:
    """Where a spot lies on the common time line, in quarters."""

    low: Fraction
    high: Fraction
    words: str
    """The spot for reading."""


def check_said(
    aligned: Aligned, spots: Sequence[Reach], said: Said, readers: Sequence[int]
) -> None:
    """Raises PlaceError for a chord whose place lies in none of the spots, and names them.

    ``readers`` are the parts whose bar numbers and marks count.
    """
    for place, _ in said:
        stretch = find_stretch(aligned, place, readers)
        bar = aligned.bars[bisect_right(aligned.starts, stretch.low) - 1]
        end = max(stretch.high, bar.end)
        if not any(spot.low < end and stretch.low <= spot.high for spot in spots):
            where = "; ".join(dict.fromkeys(spot.words for spot in spots))
            raise PlaceError(
                f"the chord that is said for {place} lies outside the spot, which is {where}; name "
                "a place in it, or leave the chord out"
            )


def reach(aligned: Aligned, low: Fraction, high: Fraction, words: str) -> Reach:
    """A spot with the beat after it."""
    bar = aligned.bars[min(bisect_right(aligned.starts, high), len(aligned.bars)) - 1]
    return Reach(low, high + bar.time.beat.quarters, words)
