"""Things of some width on lines: few rows, as even as can be."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

_ROUNDING: Final = 1e-6


def filled_rows(widths: Sequence[float], room: float) -> tuple[int, ...]:
    """How many go on each row when each is filled up to ``room``."""
    sizes: list[int] = []
    left = 0.0
    for width in widths:
        if not sizes or width > left + _ROUNDING:
            sizes.append(0)
            left = room
        sizes[-1] += 1
        left -= width
    return tuple(sizes)


def balanced_rows(widths: Sequence[float], room: float) -> tuple[int, ...]:
    """How many items go on each row, in order: few rows, as even as can be.

    A row always takes at least one item, however wide.
    """
    count = len(widths)
    for rows in range(1, count):
        sizes = _even_sizes(count, rows)
        starts = [sum(sizes[:row]) for row in range(rows)]
        fits = (sum(widths[at : at + size]) <= room for at, size in zip(starts, sizes, strict=True))
        if all(fits):
            return sizes
    return (1,) * count


def _even_sizes(count: int, rows: int) -> tuple[int, ...]:
    """``count`` split into ``rows`` numbers that differ by one at most, larger first."""
    size, more = divmod(count, rows)
    return tuple(size + 1 if row < more else size for row in range(rows))
