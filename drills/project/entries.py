"""What the log remembers: one entry for everything that was played."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from fractions import Fraction
from typing import Final

from drills.errors import UsageError

LONGEST_WORD: Final = 500
"""Characters of a player's word."""
MOST_MINUTES: Final = 600
FASTEST_NUMBER: Final = 1000


class Origin(StrEnum):
    """Who made an entry."""

    TERMINAL = "terminal"
    TAKE = "take"
    PAGE = "page"
    IMPORT = "import"


@dataclass(frozen=True, slots=True)
class NewEntry:
    """Something that was played, before it is in the log."""

    passage: str
    """The id of the spot."""
    name: str
    """What the spot is called now, for reading."""
    day: date
    """The player's own day, where they were."""
    at: datetime
    """The instant, with its distance from UTC."""
    block: str = ""
    """The heading of the sheet; empty for the passage as a whole."""
    whole: bool = True
    """The spot or its whole line, rather than a few notes of it."""
    number: Fraction | None = None
    """The metronome number reached, in beats a minute."""
    right: int | None = None
    """Correct times in a row."""
    minutes: Fraction | None = None
    word: str = ""
    origin: Origin = Origin.TERMINAL

    def __post_init__(self) -> None:
        if not self.passage:
            raise UsageError("an entry belongs to a spot; its id is empty")
        if self.at.tzinfo is None:
            raise UsageError(f"the time {self.at} of an entry has no distance from UTC")
        if self.number is not None and not 0 < self.number <= FASTEST_NUMBER:
            raise UsageError(
                f"{self.number} is no metronome number; give one up to {FASTEST_NUMBER}"
            )
        if self.right is not None and not 0 <= self.right <= 1000:
            raise UsageError(f"{self.right} times right is out of bounds; give 0 to 1000")
        if self.minutes is not None and not 0 < self.minutes <= MOST_MINUTES:
            raise UsageError(
                f"{float(self.minutes):g} minutes are out of bounds; give up to {MOST_MINUTES}"
            )
        if len(self.word) > LONGEST_WORD:
            raise UsageError(f"a word of more than {LONGEST_WORD} characters; make it shorter")


@dataclass(frozen=True, slots=True)
class Entry:
    """An entry of the log."""

    id: int
    """Counted from 1; never used again."""
    said: NewEntry
    struck: datetime | None = None
    """When it was struck out; None for what counts."""
