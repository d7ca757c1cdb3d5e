"""The days of a project: which there are, how many minutes each has, how many blocks fit.

Conventions.  Minutes are whole.  A day holds ``slots`` blocks of rules.SLOT minutes with
a break after as many of them as fit into rules.PLAY minutes; a day of less than one block
has one that is as short as the day.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Final

from drills.project.rules import BREAK, LIGHT, MOST_A_DAY, PLAY, SLOT

WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
SLOTS_BEFORE_BREAK: Final = PLAY // SLOT
USUAL_MINUTES: Final = 60
LONGEST: Final = 800
"""Days that are planned at most, a little more than two years."""


@dataclass(frozen=True, slots=True)
class Hours:
    """How much time there is, as the player says it."""

    minutes: int = USUAL_MINUTES
    """Of every day that is not named."""
    on_weekday: Mapping[int, int] = field(default_factory=dict)
    """Minutes by day of the week, 0 for Monday."""
    on_date: Mapping[date, int] = field(default_factory=dict)
    """Minutes of single days; 0 for a day off."""

    def of(self, day: date) -> int:
        """Minutes of a day; a single day counts before its weekday."""
        usual = self.on_weekday.get(day.weekday(), self.minutes)
        return self.on_date.get(day, usual)


@dataclass(frozen=True, slots=True)
class Day:
    """A day that can be practised on."""

    date: date
    minutes: int
    """What the plan may fill, breaks included; more than 0."""
    light: bool = False
    """The last day: half the minutes, everything once, in the order of the programme."""

    @property
    def slots(self) -> int:
        """Blocks that fit."""
        return slots_in(self.minutes)

    @property
    def slot_minutes(self) -> int:
        """Minutes of each block."""
        return min(SLOT, self.minutes)


def slots_in(minutes: int) -> int:
    """How many blocks fit into a day with its breaks; 60 minutes hold 16 and one break."""
    if minutes <= 0:
        return 0
    count = 1
    while minutes_of(count + 1) <= minutes:
        count += 1
    return count


def minutes_of(slots: int, slot_minutes: int = SLOT) -> int:
    """Minutes that some blocks take with the breaks between them."""
    return slots * slot_minutes + BREAK * breaks_in(slots)


def breaks_in(slots: int) -> int:
    """Breaks between some blocks."""
    return max(0, slots - 1) // SLOTS_BEFORE_BREAK


def days_between(hours: Hours, today: date, rehearsal: date) -> tuple[Day, ...]:
    """The days from today to the one before the rehearsal that have any minutes.

    The last is light, unless it is the only one.
    """
    count = min((rehearsal - today).days, LONGEST)
    dates = [today + timedelta(n) for n in range(max(0, count))]
    found = [Day(one, min(hours.of(one), MOST_A_DAY)) for one in dates if hours.of(one) > 0]
    if len(found) > 1:
        last = found[-1]
        found[-1] = Day(last.date, max(1, last.minutes // LIGHT), light=True)
    return tuple(found)
