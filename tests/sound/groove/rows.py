"""Rows of bars for tests, and places as a drummer counts them."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from drills.music.grid import GridBar
from drills.music.time import ZERO, Length, TimeSignature

PARTS = {"": Fraction(0), "e": Fraction(1, 4), "&": Fraction(1, 2), "a": Fraction(3, 4)}
"""What is said for the parts of a beat: one e and a (common practice)."""


def counted(text: str) -> list[Fraction]:
    """Places in beats from the start of the bar: "1 2& 4" is 0, 3/2, 3."""
    return [
        Fraction(int(word.rstrip("e&a")) - 1) + PARTS[word.lstrip("0123456789")]
        for word in text.split()
    ]


def row(*times: str, pickup: Fraction = Fraction(0)) -> tuple[GridBar, ...]:
    """Full bars in these time signatures, after a pickup of so many quarters."""
    bars = []
    at = pickup
    if pickup:
        time = TimeSignature.parse(times[0])
        bars.append(GridBar(Fraction(0), Length(pickup), time, time.bar_length - Length(pickup)))
    for text in times:
        time = TimeSignature.parse(text)
        bars.append(GridBar(at, time.bar_length, time, ZERO))
        at += time.bar_length.quarters
    return tuple(bars)


def steady(beats_per_minute: int | str) -> Callable[[Fraction], Fraction]:
    return lambda _: Fraction(beats_per_minute)
