"""How much paper a sheet may take: what a plan is asked to keep to."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from drills.output.lilypond.fitting import pages_filled, pages_of
from drills.output.lilypond.page import Page
from drills.sheets.sheet import Sheet

LONG: Final = 24
"""Notes of a spot that goes on one page; a longer one may take two that face each other."""
WORTH_TWO: Final = 1.5
"""Pages that a sheet fills at least before it takes two, unless one page is too small for
its minutes."""


@dataclass(frozen=True, slots=True)
class PagesWanted:
    """So many pages of a kind; for 0 as many as the spot allows."""

    page: Page
    pages: int = 0

    def holds(self, sheet: Sheet) -> bool:
        """Whether a sheet fits."""
        wanted = self.pages or (1 if len(sheet.spot.line) <= LONG else 2)
        return pages_of(sheet, self.page) <= wanted

    def smaller(self, sheet: Sheet) -> PagesWanted | None:
        """One page, where nobody asked for two and the sheet fills little of its second."""
        if self.pages or pages_of(sheet, self.page) == 1:
            return None
        return replace(self, pages=1) if pages_filled(sheet, self.page) < WORTH_TWO else None


def paper_for(page: Page, pages: int = 0) -> PagesWanted:
    """The paper for a sheet: ``pages`` of that kind, or what its spot allows for 0."""
    return PagesWanted(page, pages)
