"""Does a sheet fit on one page, on two, and with how much air?

Problem.  A full page is set tight; a sheet of few drills, spread over a whole page, falls
apart.  Method.  From the estimated heights (heights.py): on one page or two the staff grows
where it has room; what is left over is shared between the blocks, but only so much of it,
and the foot of the page stays white.  Two pages are turned where they are most alike, so
that neither is nearly empty.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Final

from drills.output.lilypond.heights import pieces_of
from drills.output.lilypond.page import Page
from drills.sheets.sheet import Sheet

GROWN: Final = (24.0, 22.0)
"""Points to which the usual staff grows where a sheet leaves room on its pages."""
_HALF_EMPTY: Final = 0.78
"""A sheet that fills less of its pages fits with air as well."""
_FULL: Final = 1.01
"""The figures are a little too large rather than too small, so a page is filled by them."""
_ROOM_ON_TWO: Final = 1.8
"""Pages that a grown sheet fills at most of two: what is estimated for a page adds up."""
MOST_AIR: Final = 18.0
"""Millimetres that may come between two blocks besides their least distance."""
LOOSE: Final = 11.0
"""Millimetres between two blocks where a page is not filled to its foot."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How a sheet is set."""

    staff_size: float
    """Points."""
    tight: bool
    """True where everything just fits on the pages; False where there is room for air."""
    pages: int
    """On which it fits by this estimate."""
    loose: bool = False
    """True where its blocks would stand too far apart if they filled the pages."""
    turn: int | None = None
    """The block with which the second of two loose pages begins."""


def fit(sheet: Sheet, page: Page, lines: int = 0) -> Fit:
    """The staff size and the air for a sheet; ``lines`` stand under its head.

    The usual staff grows where the sheet stays on as many pages; none is made smaller.
    """
    pages = pages_of(sheet, page, lines)
    for size in GROWN if page.grows and pages <= 2 else ():
        grown = replace(page, staff_size=size)
        if pages_of(sheet, grown, lines) == pages and (
            pages == 1 or pages_filled(sheet, grown) < _ROOM_ON_TWO
        ):
            page = grown
            break
    if pages > 2:
        return Fit(page.staff_size, tight=False, pages=pages)
    blocks = pieces_of(sheet, page, lines)
    pieces = list(chain.from_iterable(blocks))
    air = sum(pieces) <= _HALF_EMPTY * pages * page.height
    left = pages * page.height - sum(pieces)
    loose = left > MOST_AIR * max(len(pieces) - pages, 1)
    turn = _middle([sum(block) for block in blocks], page.height) if pages == 2 else None
    loose = loose and (pages == 1 or turn is not None)
    return Fit(page.staff_size, not air and not loose, pages, loose, turn if loose else None)


def _middle(blocks: Sequence[float], height: float) -> int | None:
    """Where two pages are most alike: the number of the first block on the second.

    The head with the spot is no block.  None where no turn leaves room on both.
    """
    ways = {turn - 1: max(sum(blocks[:turn]), sum(blocks[turn:])) for turn in range(1, len(blocks))}
    fitting = {turn: taller for turn, taller in ways.items() if taller <= height}
    return min(fitting, key=fitting.__getitem__, default=None)


def pages_of(sheet: Sheet, page: Page, lines: int = 0) -> int:
    """How many pages a sheet takes when it is set tight; ``lines`` stand under its head."""
    pages, used = 1, 0.0
    for piece in chain.from_iterable(pieces_of(sheet, page, lines)):
        if used and used + piece > page.height * _FULL:
            pages, used = pages + 1, 0.0
        used += piece
    return pages


def pages_filled(sheet: Sheet, page: Page) -> float:
    """How many pages a sheet would fill if it could be cut anywhere."""
    return sum(chain.from_iterable(pieces_of(sheet, page))) / page.height
