"""How tall everything on a sheet is.

Problem.  A sheet is chosen for so many pages before it is engraved.  Method.  The least
height of everything on it is estimated: a system is as tall as its highest and lowest
notes make it, and what belongs together stays on one page.  The figures were measured on
LilyPond's own pages; a test holds the estimate against them.  What follows from it for the
page is in fitting.py.
"""

from __future__ import annotations

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
from drills.output.lilypond.filling import balanced_rows
from drills.output.lilypond.heading_view import heading_of, minutes_told
from drills.output.lilypond.page import Page
from drills.output.lilypond.small_print import DAY_HEIGHT, day_rows, how_to, small_print
from drills.sheets.blocks import Block
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.sheet import Sheet

CLEF_TOP: Final = 4.5
"""What a clef needs over the middle line, under a heading."""
LABEL_ROW: Final = 2.6
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
"""Millimetres of a heading of a section's score with the room around it."""
HEADING_GAP: Final = 3.0
"""Millimetres over and under the words of a block's heading."""
HEADING_LINE: Final = 5.0
"""Millimetres of a line of a block's heading."""
HEAD: Final = 15.0
"""Millimetres of piece, part, spot and the rule under them."""
TEXT_LINE: Final = 5.0
"""Millimetres of a line of text in the head."""
SMALL_LINE: Final = 3.1
"""Millimetres of a line of small print at the foot."""
HOW_TO_LINE: Final = 3.9
SMALL_CHARACTER: Final = 1.27
"""Millimetres of a character of small print of eight points."""
HOW_TO_CHARACTER: Final = 1.5
"""The same of nine and a half points."""
NOTE_CHARACTER: Final = 1.75
"""The same of eleven points."""
CHORD_CHARACTER: Final = 1.45
"""Staff spaces of a character of a chord's name."""
FUNCTION_CHARACTER: Final = 1.1
SMALLER: Final = 0.65
"""A character of a remark or of a tuning, in characters of what it stands beside."""
CHORD_GAP: Final = 2.0
NARROWEST_CHORD: Final = 8.0
"""Narrower bars of one held note look like a row of rests."""

WHOLE: Final = 4
"""A block of so many systems is not divided between two pages."""


def pieces_of(sheet: Sheet, page: Page, lines: int = 0) -> list[list[float]]:
    """Millimetres of everything on a sheet, in order: its head with the spot, then block by
    block what stays together.  ``lines`` stand under its head."""
    head, foot = _head_height(sheet, page, lines), _foot_height(sheet, page)
    pieces = [[head + _excerpt_height(sheet, page)]]
    minutes = minutes_told(sheet)
    for block in sheet.blocks:
        heading = heading_of(block, page, minutes.get(block.key, ""))
        above = HEADING_GAP + HEADING_LINE * heading.lines
        systems = _systems_of(block, page) if block.printed else []
        whole = len(systems) <= WHOLE
        pieces.append([above + sum(systems)] if whole else [above + systems[0], *systems[1:]])
    pieces[-1][-1] += foot
    return pieces


def _excerpt_height(sheet: Sheet, page: Page) -> float:
    above, below = drill_extent(sheet.excerpt.bars)
    above = max(above, number_level(sheet.excerpt.bars) + NUMBER_PADDING)
    if sheet.functions and any(bar.chords for bar in sheet.excerpt.bars):
        above = max(above, number_level(sheet.excerpt.bars) + CHORD_ROW)
    below += NUMBER_ROW + FUNCTION_ROW * any(sheet.functions)
    return (GAP + page.staff_space * (above + below)) * _systems(sheet.excerpt.bars, page)


def _systems_of(block: Block, page: Page) -> list[float]:
    """Millimetres of each system of a block."""
    if block.kind.drills is DrillKind.CELL:
        return _cells_heights(block, page)
    if block.kind.drills is DrillKind.CHORD:
        return [height for drill in block.drills for height in _chords_heights(drill, page)]
    return [height for drill in block.drills for height in _line_heights(drill.bars, page)]


def _head_height(sheet: Sheet, page: Page, lines: int) -> float:
    """Everything over the spot."""
    words = _paragraph(how_to(sheet), page, HOW_TO_CHARACTER) * HOW_TO_LINE
    extra = _paragraph(sheet.spot.note, page, NOTE_CHARACTER) + 1.6 * sheet.student + lines
    return HEAD + words + TEXT_LINE * extra


def _foot_height(sheet: Sheet, page: Page) -> float:
    """Everything under the last block."""
    small = sum(_paragraph(text, page, SMALL_CHARACTER) for text in small_print(sheet))
    days = DAY_HEIGHT * len(day_rows(sheet)) + 3 if sheet.plan is not None else 0.0
    weekdays = 4.0 if sheet.student and sheet.plan is not None else 0.0
    return SMALL_LINE * small + days + weekdays + 8.0 * sheet.teacher + 4.0


def _paragraph(text: str, page: Page, character: float) -> int:
    """Lines of a paragraph over the whole width."""
    return ceil(len(text) * character / (page.line_width * page.staff_space))


def _chords_heights(drill: Drill, page: Page) -> list[float]:
    """The player's notes in the chords of the spot."""
    above, below = extent(drill.bars)
    one = GAP + page.staff_space * (above + CHORD_ROW + below + FUNCTION_ROW)
    return [one] * len(chord_rows(drill, page.line_width))


def chord_rows(drill: Drill, line_width: float) -> tuple[int, ...]:
    """How many chords of a drill go on each row of a line that is so wide."""
    room = line_width - spacing.staff_start_width(drill.bars[0])
    return balanced_rows(chord_widths(drill), room)


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


def _cells_heights(block: Block, page: Page) -> list[float]:
    """The rows of cells of one size."""
    heights, at = [], 0
    for size in spacing.cell_rows(block.drills, page.line_width):
        each = [drill_extent(drill.bars) for drill in block.drills[at : at + size]]
        above, below = max(high for high, _ in each), max(low for _, low in each)
        heights.append(GAP + page.staff_space * (above + below + LABEL_ROW))
        at += size
    return heights


def _line_heights(bars: tuple[Bar, ...], page: Page) -> list[float]:
    """A line in one rhythm."""
    above, below = drill_extent(bars)
    above = max(above, CLEF_TOP)
    return [GAP + page.staff_space * (above + below)] * line_systems(bars, page)


def _systems(bars: tuple[Bar, ...], page: Page) -> int:
    """How many systems LilyPond will take for a line of music."""
    room = page.line_width - spacing.staff_start_width(bars[0])
    return max(1, round(NATURAL * spacing.whole_width(bars) / room + 0.1))


def line_systems(bars: tuple[Bar, ...], page: Page, density: float = spacing.DENSITY) -> int:
    """How many systems a line drill takes: as ``spacing.line_rows`` breaks it.

    A bar that is wider than a system is broken by LilyPond.
    """
    room = page.line_width - spacing.staff_start_width(bars[0])
    rows = len(spacing.line_rows(bars, page.line_width, density))
    return max(rows, ceil(spacing.whole_width(bars) / room))
