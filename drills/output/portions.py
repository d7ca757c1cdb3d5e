"""Sheets in portions that take about equal time, one for each process."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil
from typing import Final

from drills.music.score import Bar
from drills.section.players import Player, PlayerPage, Section
from drills.sheets.sheet import Sheet

_PAGE_WEIGHT: Final = 100
"""What a page takes besides its notes, in notes (measured: half a millisecond each, on a
machine on which LilyPond starts in 0.2 s)."""
LONGEST: Final = 3500
"""Weight of the heaviest portion of many; its text stays short in the sense of engrave.SHORT."""


def split_sheets(sheets: Sequence[Sheet], parts: int) -> list[tuple[Sheet, ...]]:
    """Sheets in order, in about ``parts`` portions that take about equal time.

    The time is taken to grow with the number of notes, plus something for the page.
    There are more portions where one would become too long to be engraved in one go.
    """
    weights = [sheet_weight(sheet) for sheet in sheets]
    wanted = max(parts, ceil(sum(weights) / LONGEST))
    portions, at = [], 0
    for count in even_counts(weights, wanted):
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


def sheet_weight(sheet: Sheet) -> int:
    """About how long a sheet takes, in notes and rests to engrave."""
    drills = (drill for block in sheet.blocks for drill in block.drills)
    return _PAGE_WEIGHT + _events(sheet.excerpt.bars) + sum(_events(drill.bars) for drill in drills)


def section_weight(section: Section) -> int:
    """The same for the page of a section."""
    staves = (staff for score in section.scores for staff in score.staves)
    return _PAGE_WEIGHT + sum(_events(staff.bars) for staff in staves)


def leaf_weight(leaf: Sheet | PlayerPage | Section) -> int:
    """The same for whatever is a leaf of a document."""
    match leaf:
        case Section():
            return section_weight(leaf)
        case PlayerPage(player=Player(sheet=None)):
            return _PAGE_WEIGHT
        case PlayerPage(player=Player(sheet=Sheet() as sheet)) | (Sheet() as sheet):
            return sheet_weight(sheet)
    raise TypeError(f"{leaf!r} is no leaf")


def _events(bars: Iterable[Bar]) -> int:
    return sum(len(voice.events) for bar in bars for voice in bar.voices)
