"""The plan of a project: every day from today to the one before the first rehearsal.

The work is done by optimum.py, which says what is played on which day, and session.py, which
puts a day in order; here they are put together.  The last day stands apart: it is light, and
goes once through all that was begun in the order of the programme.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from drills.project.contacts import Situation, Timetable
from drills.project.days import Day, Hours, days_between
from drills.project.optimum import best_timetables, filled
from drills.project.passages import Passage, State
from drills.project.rules import CLOSED, IN_HAND, VISIT_SLOTS
from drills.project.scale import OCTAVE
from drills.project.session import Item, Turn, light_session, session


@dataclass(frozen=True, slots=True)
class Outlook:
    """What the plan makes of one passage."""

    passage: Passage
    timetable: Timetable
    """Of the days before the light one."""

    @property
    def reaches(self) -> bool:
        """Whether it is at its tempo in the end."""
        return self.timetable.left <= IN_HAND

    @property
    def share(self) -> float:
        """Where it ends as a share of its tempo, by the numbers of the metronome."""
        return float(2.0 ** (-max(0.0, self.timetable.left - IN_HAND) / OCTAVE))


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """One day of the plan."""

    day: Day
    items: tuple[Item, ...]
    """In the order in which they are played."""


@dataclass(frozen=True, slots=True)
class Plan:
    """Today to the day before the rehearsal."""

    today: date
    rehearsal: date
    days: tuple[PlannedDay, ...]
    """Days without any minutes are left out."""
    outlooks: tuple[Outlook, ...]
    """Every passage that is not left, in the order of the programme."""

    @property
    def short(self) -> tuple[Outlook, ...]:
        """What will not reach its tempo, in the order of the programme."""
        return tuple(one for one in self.outlooks if not one.reaches)

    @property
    def leave_first(self) -> tuple[Outlook, ...]:
        """The same, with what is best left first: light in weight, then far from its tempo."""
        return tuple(sorted(self.short, key=lambda one: (one.passage.weight, -one.timetable.left)))

    def on(self, day: date) -> PlannedDay | None:
        """One day of the plan; None for a day without minutes."""
        return next((one for one in self.days if one.day.date == day), None)


def make_plan(passages: Sequence[Passage], hours: Hours, today: date, rehearsal: date) -> Plan:
    """The plan from ``today`` on; ``passages`` are in the order of the programme.

    The same for the same arguments.  No day has items where none is left.
    """
    played = [one for one in passages if one.state is not State.LEFT]
    days = days_between(hours, today, rehearsal)
    working = [day for day in days if not day.light]
    situation = _situation(working, days, today, rehearsal)
    room = [day.slots for day in working]
    chosen = best_timetables(played, room, situation)
    chosen = filled(played, chosen, room, situation)
    outlooks = tuple(Outlook(*both) for both in zip(played, chosen, strict=True))
    planned = [
        PlannedDay(day, session(_turns(outlooks, index), day, in_order=len(days) == 1))
        for index, day in enumerate(working)
    ]
    if len(days) > len(working):
        begun = [one for one in outlooks if one.passage.is_begun or one.timetable.contacts]
        ends = [(one.passage, one.timetable.left) for one in begun]
        planned.append(PlannedDay(days[-1], light_session(ends, days[-1])))
    return Plan(today, rehearsal, tuple(planned), outlooks)


def _situation(
    working: Sequence[Day], days: Sequence[Day], today: date, rehearsal: date
) -> Situation:
    dates = tuple((day.date - today).days for day in working)
    end = (rehearsal - today).days
    closed = end - CLOSED
    open_until = sum(1 for one in dates if one < closed)
    room = max((day.slots for day in working), default=0)
    last = (days[-1].date - today).days if len(days) > len(working) else end
    return Situation(
        today=today,
        dates=dates,
        end=last,
        open_until=open_until or len(dates),
        visit_slots=min(VISIT_SLOTS, room),
    )


def _turns(outlooks: Sequence[Outlook], day: int) -> tuple[Turn, ...]:
    """Who takes part on a day, in the order of the programme."""
    return tuple(
        Turn(one.passage, contact)
        for one in outlooks
        for contact in one.timetable.contacts
        if contact.day == day
    )
