"""How tall a sheet is: does it fit on one page, and with how much air?

Problem.  One bar and all that is made from it belongs on one page, whatever its
range; a long spot takes several pages anyway and is better read with more air.
Method.  The least height of everything on the sheet is estimated: a system is
as tall as its highest and lowest notes make it.  A sheet that fits is set
tight; one that nearly fits gets a slightly smaller staff; any other, shorter or
longer, is set with air.  The figures were measured on LilyPond's own pages; a test holds the
estimate against them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Final

from drills.harmony.kinds import KINDS
from drills.music.score import Bar, ChordSymbol
from drills.output.lilypond import spacing
from drills.output.lilypond.extents import (
    NUMBER_PADDING,
    drill_extent,
    extent,
    number_level,
)
from drills.output.lilypond.page import Page
from drills.sheet.blocks import Block
from drills.sheet.drill import Drill, DrillKind
from drills.sheet.sheet import Sheet

CLEF_TOP: Final = 4.5
"""What a clef needs over the middle line, under a heading."""
LABEL_ROW: Final = 2.4
NUMBER_ROW: Final = 2.9
FUNCTION_ROW: Final = 2.3
"""Functions under the numbers, or under the notes of a drill."""
CHORD_ROW: Final = 3.8
"""Chord symbols over the bar numbers."""
NATURAL: Final = 1.75
"""A line of music at LilyPond's natural spacing, in its least width."""

GAP: Final = 1.5
"""Millimetres between two systems at least."""
HEADING: Final = 5.0
"""Millimetres of a heading with the room around it."""
HEAD: Final = 7.0
"""Millimetres of piece, part and spot, less what the other figures allow too much."""
TEXT_LINE: Final = 5.0
"""Millimetres of a line of text in the head."""
SMALL_LINE: Final = 3.1
"""Millimetres of a line of small print at the foot."""
LADDER_ROW: Final = 3.9
RUNGS: Final = 8
"""Rungs of the ladder that stand side by side."""
SMALL_CHARACTER: Final = 1.45
"""Millimetres of a character of small print."""
CHORD_CHARACTER: Final = 1.45
"""Staff spaces of a character of a chord's name."""
FUNCTION_CHARACTER: Final = 1.1
SMALLER: Final = 0.65
"""A character of a remark or of a tuning, in characters of what it stands beside."""
CHORD_GAP: Final = 2.0
NARROWEST_CHORD: Final = 8.0
"""Narrower bars of one held note look like a row of rests."""

_SMALLEST_PART: Final = 0.68
"""How far the usual staff size may give way to keep a sheet on one page."""
_HARDLY_SMALLER: Final = 0.94
"""The same for a long spot, which is better read on two pages."""
_ONE_BAR: Final = 24
"""Notes of a spot that belongs on one page; more is long."""
_HALF_EMPTY: Final = 0.78
"""A sheet that fills less of the page fits with air as well."""
_FULL: Final = 0.94
"""A page of a staff size that was asked for is not filled further: a player who wants large
print turns a page rather than read what is squeezed."""
_STEP: Final = 0.25
"""Points."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How a sheet is set."""

    staff_size: float
    """Points."""
    tight: bool
    """True where everything just fits on one page; False where there is room for air:
    on several pages, or on one that is far from full."""


def fit(sheet: Sheet, page: Page, lines: int = 0, small: Sequence[str] = ()) -> Fit:
    """The staff size and the air for a sheet.

    ``lines`` is the number of lines under its head, ``small`` what stands in small
    print at its foot besides the cautions and remarks.
    """
    extra = TEXT_LINE * lines + _small_height(small, page)
    needed = least_height(sheet, page) + extra
    if needed <= page.height * _HALF_EMPTY:
        return Fit(page.staff_size, tight=False)
    if not page.gives_way and needed > page.height * _FULL:
        return Fit(page.staff_size, tight=False)
    sizes = [page.staff_size]
    if page.gives_way:
        smallest = _SMALLEST_PART if len(sheet.spot.line) <= _ONE_BAR else _HARDLY_SMALLER
        steps = int((1 - smallest) * page.staff_size / _STEP)
        sizes += [page.staff_size - _STEP * step for step in range(1, steps + 1)]
    if not _fits(sheet, page, sizes[0], extra) and not _fits(sheet, page, sizes[-1], extra):
        return Fit(page.staff_size, tight=False)
    return Fit(next(size for size in sizes if _fits(sheet, page, size, extra)), tight=True)


def _fits(sheet: Sheet, page: Page, staff_size: float, extra: float) -> bool:
    """True where the sheet and ``extra`` millimetres fit on one page with a staff of that size."""
    return least_height(sheet, replace(page, staff_size=staff_size)) + extra <= page.height


def least_height(sheet: Sheet, page: Page) -> float:
    """Millimetres that a sheet needs when it is set tight."""
    height = _words_height(sheet, page)
    above, below = extent(sheet.excerpt.bars)
    above = max(above, number_level(sheet.excerpt.bars) + NUMBER_PADDING)
    if any(bar.chords for bar in sheet.excerpt.bars):
        above = max(above, number_level(sheet.excerpt.bars) + CHORD_ROW)
    below += NUMBER_ROW + FUNCTION_ROW * any(sheet.functions)
    one = GAP + page.staff_space * (above + below)
    height += one * _systems(sheet.excerpt.bars, page)
    for block in sheet.blocks:
        if not block.printed:
            continue
        if block.kind.drills is DrillKind.CELL:
            height += _cells_height(block, page)
        elif block.kind.drills is DrillKind.CHORD:
            height += sum(_chords_height(drill, page) for drill in block.drills)
        else:
            height += sum(_line_height(drill.bars, page) for drill in block.drills)
    return height


def _words_height(sheet: Sheet, page: Page) -> float:
    """Everything that is not music."""
    head = HEAD + TEXT_LINE * (bool(sheet.spot.note) + 1.5 * sheet.student + 3 * sheet.teacher)
    small = _small_height((*sheet.cautions, *sheet.remarks), page)
    ladder = LADDER_ROW * (2.5 + len(sheet.ladder.clicks))
    return head + small + ladder * ceil(len(sheet.ladder.rungs) / RUNGS)


def _small_height(texts: Sequence[str], page: Page) -> float:
    """Lines of small print over the whole width."""
    characters = page.line_width * page.staff_space / SMALL_CHARACTER
    return SMALL_LINE * sum(ceil(len(text) / characters) for text in texts)


def _chords_height(drill: Drill, page: Page) -> float:
    """The player's notes in the chords of the spot."""
    above, below = extent(drill.bars)
    one = GAP + page.staff_space * (above + CHORD_ROW + below + FUNCTION_ROW)
    return HEADING + one * len(chord_rows(drill, page.line_width))


def chord_rows(drill: Drill, line_width: float) -> tuple[int, ...]:
    """How many chords of a drill go on each row of a line that is so wide."""
    room = line_width - spacing.staff_start_width(drill.bars[0])
    return spacing.balanced_rows(chord_widths(drill), room)


def chord_widths(drill: Drill) -> list[float]:
    """What each bar of a drill of chords needs: for its note, its name, its function."""
    under = {one.bar: len(one.text) + SMALLER * len(one.cents) for one in drill.under}
    return [
        max(
            NARROWEST_CHORD,
            spacing.bars_width([bar]) + spacing.BAR_LINE,
            CHORD_CHARACTER * sum(map(_symbol_length, bar.chords)) + CHORD_GAP,
            FUNCTION_CHARACTER * under.get(index, 0) + CHORD_GAP,
        )
        for index, bar in enumerate(drill.bars)
    ]


def _symbol_length(symbol: ChordSymbol) -> float:
    """About how many characters wide a symbol is, its remark in small print."""
    degrees = sum(4 for degree in symbol.degrees if degree.printed)
    kind = symbol.text or KINDS[symbol.kind].suffix
    bass = len(symbol.bass) + 1 if symbol.bass else 0
    return len(symbol.root) + len(kind) + degrees + bass + SMALLER * (len(symbol.remark) + 1)


def _cells_height(block: Block, page: Page) -> float:
    """The rows of cells of one size."""
    height, at = HEADING, 0
    for size in spacing.cell_rows(block.drills, page.line_width):
        each = [drill_extent(drill.bars) for drill in block.drills[at : at + size]]
        above, below = max(high for high, _ in each), max(low for _, low in each)
        height += GAP + page.staff_space * (above + below + LABEL_ROW)
        at += size
    return height


def _line_height(bars: tuple[Bar, ...], page: Page) -> float:
    """A line in one rhythm, with its heading."""
    above, below = drill_extent(bars)
    above = max(above, CLEF_TOP)
    return HEADING + (GAP + page.staff_space * (above + below)) * line_systems(bars, page)


def _systems(bars: Sequence[Bar], page: Page) -> int:
    """How many systems LilyPond will take for a line of music."""
    room = page.line_width - spacing.staff_start_width(bars[0])
    return max(1, round(NATURAL * spacing.bars_width(bars) / room + 0.1))


def line_systems(bars: tuple[Bar, ...], page: Page, density: float = spacing.DENSITY) -> int:
    """How many systems a line drill takes: as ``spacing.line_rows`` breaks it.

    A bar that is wider than a system is broken by LilyPond.
    """
    room = page.line_width - spacing.staff_start_width(bars[0])
    rows = len(spacing.line_rows(bars, page.line_width, density))
    return max(rows, ceil(spacing.bars_width(bars) / room))
