"""Sheets in portions that take about equal time, one for each process."""

from __future__ import annotations

from collections.abc import Sequence

from drills.sheet import Sheet

_PAGE_WEIGHT = 20
"""What a sheet takes besides its drills, in bars."""


def split_sheets(sheets: Sequence[Sheet], parts: int) -> list[tuple[Sheet, ...]]:
    """Sheets in order, in at most ``parts`` portions that take about equal time.

    The time is taken to grow with the number of bars, plus something for the page.
    """
    portions, at = [], 0
    for count in even_counts([_weight(sheet) for sheet in sheets], parts):
        portions.append(tuple(sheets[at : at + count]))
        at += count
    return portions


def even_counts(weights: Sequence[int], parts: int) -> list[int]:
    """How many of the weights, in order, go into each of at most ``parts`` portions.

    The heaviest portion is as light as the order allows: the least capacity that
    is enough is found by halving.
    """
    low, high = max(weights, default=0), sum(weights)
    while low < high:
        middle = (low + high) // 2
        if len(_filled(weights, middle)) <= parts:
            high = middle
        else:
            low = middle + 1
    return _filled(weights, low)


def _filled(weights: Sequence[int], capacity: int) -> list[int]:
    """How many go into each portion when each is filled up to its capacity."""
    counts: list[int] = []
    room = 0
    for weight in weights:
        if not counts or weight > room:
            counts.append(0)
            room = capacity
        counts[-1] += 1
        room -= weight
    return counts


def _weight(sheet: Sheet) -> int:
    """Bars to engrave, and the page around them."""
    drills = (drill for group in sheet.groups for drill in group.drills)
    return _PAGE_WEIGHT + len(sheet.excerpt.bars) + sum(len(drill.bars) for drill in drills)
