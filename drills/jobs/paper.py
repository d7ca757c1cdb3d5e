"""How much paper a sheet may take: what a plan is asked to keep to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from drills.output.lilypond.heights import pages_of
from drills.output.lilypond.page import Page
from drills.sheets.sheet import Sheet

LONG: Final = 24
"""Notes of a spot that goes on one page; a longer one takes two that face each other."""


def paper_for(page: Page, pages: int = 0) -> Callable[[Sheet], bool]:
    """Whether a sheet fits on ``pages`` of that kind; on what its spot allows for 0."""

    def fits(sheet: Sheet) -> bool:
        wanted = pages or (1 if len(sheet.spot.line) <= LONG else 2)
        return pages_of(sheet, page) <= wanted

    return fits
