"""The paper that a sheet is printed on, and the units that its layout counts in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from drills.errors import UsageError

PAPERS: Final = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in millimetres (ISO 216; ANSI/ASME Y14.1)."""

MARGIN_SIDE: Final = 13.0
"""Millimetres left and right: room for a punch, and for thumbs at a stand."""

MARGIN_ENDS: Final = 10.0
"""Millimetres above and below."""

POINT: Final = 25.4 / 72.27
"""Millimetres in LilyPond's point, the printer's point."""

FOOTER: Final = 9.0
"""Millimetres of the footer with the room above it."""

USUAL_STAFF: Final = 20.0
"""Points, 7 mm: what printed parts have (common practice)."""

SMALLEST_STAFF: Final = 10.0
LARGEST_STAFF: Final = 30.0


@dataclass(frozen=True, slots=True)
class Page:
    """Paper and staff size; raises UsageError for what cannot be printed."""

    paper: str = "a4"
    """A key of PAPERS."""
    staff_size: float = USUAL_STAFF
    """Height of a staff in points.  The usual one grows where a sheet leaves room on its
    page; any other is kept, and none is made smaller."""

    def __post_init__(self) -> None:
        if self.paper not in PAPERS:
            raise UsageError(f"no paper is called {self.paper!r}; choose {' or '.join(PAPERS)}")
        if not SMALLEST_STAFF <= self.staff_size <= LARGEST_STAFF:
            raise UsageError(
                f"a staff of {self.staff_size:g} points cannot be read at a stand or printed; "
                f"choose {SMALLEST_STAFF:g} to {LARGEST_STAFF:g}"
            )

    @property
    def staff_space(self) -> float:
        """Millimetres from one staff line to the next: the unit of all engraving."""
        return self.staff_size * POINT / 4

    @property
    def line_width(self) -> float:
        """Staff spaces between the margins."""
        return self.spaces(PAPERS[self.paper][0] - 2 * MARGIN_SIDE)

    @property
    def height(self) -> float:
        """Millimetres between the margins, without the footer."""
        return PAPERS[self.paper][1] - 2 * MARGIN_ENDS - FOOTER

    @property
    def grows(self) -> bool:
        """True where the staff size may grow into the page, and a section's may be smaller."""
        return self.staff_size == USUAL_STAFF

    def spaces(self, millimetres: float) -> float:
        """Millimetres in staff spaces."""
        return millimetres / self.staff_space
