"""What a timetable of one passage is made of: the days there are, and what is done on them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from drills.project.rules import (
    VISIT_SLOTS,
)


@dataclass(frozen=True, slots=True)
class Situation:
    """What all passages share: which days there are, and which of them are closed."""

    today: date
    dates: tuple[int, ...]
    """Each day that can be worked on, counted from today; ascending."""
    end: int
    """The day on which all is judged: the light one, or the rehearsal where there is none."""
    open_until: int
    """Index of the first day on which nothing may be begun."""
    visit_slots: int = VISIT_SLOTS
    """Blocks of a day with a passage that climbs; fewer where no day has room for so many."""


@dataclass(frozen=True, slots=True)
class Contact:
    """A passage on one day."""

    day: int
    """Index of the day."""
    slots: int
    before: float
    """Numbers to go when it is taken up."""
    after: float
    """Numbers to go when it is put down."""
    is_first: bool = False
    """Nobody has played it before."""


@dataclass(frozen=True, slots=True)
class Timetable:
    """The days of one passage."""

    contacts: tuple[Contact, ...]
    left: float
    """Numbers to go in the end, to what is aimed at."""
    worth: float
    short: frozenset[int] = frozenset()
    """Days with one block only, although the passage still climbs."""

    def is_on(self, day: int) -> bool:
        """Whether the passage is played on a day."""
        return any(contact.day == day for contact in self.contacts)

    def load_on(self, day: int) -> int:
        """Blocks on a day."""
        return sum(contact.slots for contact in self.contacts if contact.day == day)

    def with_block_on(self, day: int) -> Timetable:
        """The same with a block more on a day, for safety: it is not expected to bring more."""
        longer = (
            replace(one, slots=one.slots + 1) if one.day == day else one for one in self.contacts
        )
        return replace(self, contacts=tuple(longer))

    @property
    def slots(self) -> int:
        """Blocks on all days."""
        return sum(contact.slots for contact in self.contacts)
