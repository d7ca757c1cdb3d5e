"""Words that never touch: each finds a free place in one of a few lanes.

Problem.  Passages, marks and tempos begin where the music wants, often close together.
Method.  Lanes lie over one another; a label is put into the first where it is free at its
own place, and else into the one where it must move the least to the right.

Conventions.  Pixels from the left.  The width of words is estimated, on the wide side.
"""

from __future__ import annotations

from typing import Final

WIDE: Final = 0.66
"""Of a letter, in its height: more than any usual face without serifs needs on average."""
APART: Final = 4.0
"""Between two labels."""


def width_of(words: str, size: int) -> float:
    """About how wide words are."""
    return WIDE * size * len(words)


class Lanes:
    """Free places for labels in one row of the picture."""

    def __init__(self, count: int, right: float) -> None:
        self._taken: list[list[tuple[float, float]]] = [[] for _ in range(count)]
        self._right = right

    def place(self, x: float, width: float, *, needed: bool = True) -> tuple[int, float] | None:
        """The lane, from 0, and the x of a label that would best begin at ``x``.

        None where it finds no place at all, or is not ``needed`` and would have to move.
        """
        found = [(self._free(lane, x, width), lane) for lane in range(len(self._taken))]
        at, lane = min(found)
        if at + width > self._right or (at > x and not needed):
            return None
        self._taken[lane].append((at, at + width + APART))
        self._taken[lane].sort()
        return lane, at

    def _free(self, lane: int, x: float, width: float) -> float:
        """The first place from ``x`` on where nothing else stands."""
        at = min(x, self._right - width)
        for begin, end in self._taken[lane]:
            if begin < at + width + APART and at < end:
                at = end
        return at
