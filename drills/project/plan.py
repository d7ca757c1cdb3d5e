"""The plan: which passage on which day, as a small optimisation.

Problem.  So many passages, days and minutes; what is played when, so that as much as
possible is at its tempo on the day of the first rehearsal?

    Choose for every passage p one timetable t(p) out of its set T(p)

    to maximise    sum over p of worth(p, t(p))

    subject to     for every day d:  sum over p of slots(t(p), d)  <=  slots of d
                   no timetable begins anything on the last rules.CLOSED days
                   (unless there is no other day)

``worth`` (timetables.py) is the passage's weight times 1000 if it is at its tempo in the
end, plus 500 times the share of its way that is covered, less a little for waiting with
hard ones and for blocks that are not needed.  So the plan first brings as many to their
tempo as the time allows, then raises the others, then begins with the hard ones.

T(p) holds every choice of days where there are at most timetables.ALL_SUBSETS of them; with
more days, a family of them: any first day, an even stride while the passage climbs, then
growing gaps.  What is left is a multiple-choice knapsack with one limit for each day, which
the HiGHS solver of scipy.optimize.milp settles: exactly where every choice of days is weighed,
otherwise to within GAP of the best.

The last day stands apart: it is light, and goes once through all that was begun in the
order of the programme.  Source of the method: Kellerer, Pferschy and Pisinger, "Knapsack
Problems" (2004), chapter 11, from memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array

from drills.project.days import Day, Hours, days_between
from drills.project.passages import Passage, State
from drills.project.rules import CLOSED, VISIT_SLOTS
from drills.project.session import Item, Turn, light_session, session
from drills.project.timetables import (
    ALL_SUBSETS,
    Situation,
    Timetable,
    family,
    make_timetable,
    timetables,
)

GAP: Final = 0.02
"""Of the best worth, where not every choice of days is weighed."""
MOST_NODES: Final = 200
"""Of the solver's search then; a count and not a time, so that a plan is the same on any machine."""
MOST_EXACT: Final = 20_000
"""The same where every choice of days is weighed."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """What the plan makes of one passage."""

    passage: Passage
    timetable: Timetable
    """Of the days before the light one."""

    @property
    def reaches(self) -> bool:
        """Whether it is at its tempo in the end."""
        return self.timetable.left == 0

    @property
    def share(self) -> float:
        """Where it ends as a share of its tempo, by the numbers of the metronome."""
        return float(2.0 ** (-self.timetable.left / 16))


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
    chosen = _solved(played, working, situation)
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


def _solved(
    passages: Sequence[Passage], working: Sequence[Day], situation: Situation
) -> tuple[Timetable, ...]:
    """The best timetable for each passage, all of them together."""
    if not working or not passages:
        return tuple(make_timetable(one, (), situation) for one in passages)
    exact = len(working) <= ALL_SUBSETS
    room = [day.slots for day in working]
    columns = [timetables(one, situation, turn) for turn, one in enumerate(passages)]
    picked = _chosen(columns, room, exact=exact)
    chosen = [own[index] for own, index in zip(columns, picked, strict=True)]
    return tuple(chosen if exact else _improved(passages, chosen, room, situation))


def _improved(
    passages: Sequence[Passage],
    chosen: Sequence[Timetable],
    room: Sequence[int],
    situation: Situation,
) -> list[Timetable]:
    """The same with the whole family tried, one after another, for what does not reach its tempo."""
    better = list(chosen)
    free = np.array(room) - sum((_load(one, len(room)) for one in chosen), np.zeros(len(room)))
    order = [n for n, table in enumerate(chosen) if table.left]
    for index in sorted(order, key=lambda n: (-passages[n].weight, chosen[n].left, n)):
        own = free + _load(better[index], len(room))
        fitting = [
            table
            for table in family(passages[index], situation)
            if all(own[contact.day] >= contact.slots for contact in table.contacts)
        ]
        best = max((*fitting, better[index]), key=lambda table: table.worth)
        free = own - _load(best, len(room))
        better[index] = best
    return better


def _load(table: Timetable, days: int) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Blocks on each day."""
    load = np.zeros(days)
    for contact in table.contacts:
        load[contact.day] = contact.slots
    return load


def _chosen(
    columns: Sequence[Sequence[Timetable]], room: Sequence[int], *, exact: bool
) -> tuple[int, ...]:
    """For each passage the index of its timetable in the optimum."""
    flat = [(row, table) for row, own in enumerate(columns) for table in own]
    worth = np.array([table.worth for _, table in flat])
    owner = np.array([row for row, _ in flat])
    own = csc_array(
        (np.ones(len(flat)), (owner, np.arange(len(flat)))), shape=(len(columns), len(flat))
    )
    loads = [
        (contact.slots, contact.day, column)
        for column, (_, table) in enumerate(flat)
        for contact in table.contacts
    ]
    values, rows, at = zip(*loads, strict=True) if loads else ((), (), ())
    taken = csc_array((values, (rows, at)), shape=(len(room), len(flat)), dtype=float)
    found = milp(
        -worth,
        integrality=np.ones(len(flat)),
        bounds=Bounds(0, 1),
        constraints=[LinearConstraint(own, 1, 1), LinearConstraint(taken, 0, np.array(room))],
        options={
            "mip_rel_gap": 0.0 if exact else GAP,
            "node_limit": MOST_EXACT if exact else MOST_NODES,
        },
    )
    if found.x is None:  # playing nothing at all is always allowed, so a search has one answer
        return tuple(0 for _ in columns)
    best = {row: column for column, row in enumerate(owner) if found.x[column] > 0.5}
    first = np.searchsorted(owner, np.arange(len(columns)))
    return tuple(int(best[row] - first[row]) for row in range(len(columns)))
