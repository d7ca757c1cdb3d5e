"""What is measured of written bars once, however often it is asked for.

Problem.  A plan tries hundreds of sheets that share most of their drills, and each asks how
long and how wide those are.  Method.  Bars never change, so a measure is kept by their
identity: to compare them note by note would cost more than to measure again.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Final, TypeVar

from drills.music.score import Bar

T = TypeVar("T")
KEPT: Final = 2048
"""Of the latest so many drills."""


class _Same:
    """Bars by their identity."""

    __slots__ = ("bars",)

    def __init__(self, bars: tuple[Bar, ...]) -> None:
        self.bars = bars

    def __hash__(self) -> int:
        return id(self.bars)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and self.bars is other.bars


def measured_once(measure: Callable[[tuple[Bar, ...]], T]) -> Callable[[tuple[Bar, ...]], T]:
    """The same measure, taken once of the same bars."""
    kept = lru_cache(maxsize=KEPT)(lambda same: measure(same.bars))
    return lambda bars: kept(_Same(bars))
