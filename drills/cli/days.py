"""For which days a command about a project is asked."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class DayOptions:
    """Which days."""

    day: date | None
    """None for today."""
    until: date | None
    """The rehearsal; None for that of the book."""
    minutes: int | None
    """Of every day; None for those of the book."""

    @property
    def first(self) -> date:
        """The day from which is planned."""
        return self.day or date.today()
