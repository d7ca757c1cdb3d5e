"""Which passage on which day: the plan as a small optimisation.

Problem.  So many passages, days and minutes; what is played when, so that as much as
possible is at its tempo on the day of the first rehearsal?

    Choose for every passage p one timetable t(p) out of its set T(p)

    to maximise    sum over p of worth(p, t(p))

    subject to     for every day d:  sum over p of slots(t(p), d)  <=  slots of d
                   no timetable begins anything on the last rules.CLOSED days
                   (unless there is no other day)

``worth`` (timetables.py) is the passage's weight times 1000 times the chance that it is at its
tempo in the end, plus 150 times the root of the share of its way that is covered, less a little
for waiting and for blocks that are not needed.  So the plan brings as many passages to their
tempo as can be hoped for, then raises the others, and looks at what is hard and new first.

T(p) holds every choice of days where there are at most timetables.ALL_SUBSETS of them; with
more days, a family of them: any first day, an even stride while the passage climbs, then
growing gaps.  This is a multiple-choice knapsack with one limit for each day (Kellerer,
Pferschy and Pisinger, "Knapsack Problems", 2004, chapter 11, from memory).

Method.  Where every choice of days is weighed, the HiGHS solver of scipy.optimize.milp finds
the optimum, exactly in small cases and to within SMALL_GAP in others.  With more days a plan
that takes one passage after another is enough where it brings all to their tempo; where it
does not, the solver searches among a few first days for each passage, to within GAP of the
best of those, and the better of the two plans is gone through once more with the whole family
for what still falls short.

Blocks that stay free after that go to what falls short, one block at a time, as far as it
brings anything, and then to what climbs on that day (``filled``); this is not part of the
optimum.
"""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Iterator, Sequence
from typing import Any, Final

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array

from drills.project.contacts import Situation, Timetable
from drills.project.passages import Passage
from drills.project.rules import KEEP_SLOTS, MOST_SLOTS
from drills.project.timetables import ALL_SUBSETS, family, make_timetable, may_begin, timetables

GAP: Final = 0.02
"""Of the best worth, where not every choice of days is weighed."""
SMALL_GAP: Final = 0.003
"""The same where every one is, and there are more than FEW_COLUMNS."""
FEW_COLUMNS: Final = 400
"""Timetables of all passages together up to which the optimum is exact."""
MOST_NODES: Final = 100
"""Of the solver's search then: a count, not a time, so that a plan is the same anywhere."""

Loads = np.ndarray[Any, np.dtype[np.float64]]


def best_timetables(
    passages: Sequence[Passage], room: Sequence[int], situation: Situation
) -> tuple[Timetable, ...]:
    """The best timetable for each passage, all of them together.

    ``room`` are the blocks of each day of ``situation``.
    """
    if not room or not passages:
        return tuple(make_timetable(one, (), situation) for one in passages)
    exact = len(room) <= ALL_SUBSETS
    in_turn = [] if exact else _one_after_another(passages, room, situation)
    if in_turn and not any(table.left for table in in_turn):
        return tuple(in_turn)
    columns = [timetables(one, situation, turn) for turn, one in enumerate(passages)]
    picked = _picked(columns, room, exact=exact)
    chosen = [own[index] for own, index in zip(columns, picked, strict=True)]
    if exact:
        return tuple(chosen)
    return tuple(_improved(passages, max(chosen, in_turn, key=_total), room, situation))


def filled(
    passages: Sequence[Passage],
    chosen: Sequence[Timetable],
    room: Sequence[int],
    situation: Situation,
) -> tuple[Timetable, ...]:
    """The same with what is free on each day given to what falls short, a block at a time."""
    fuller = list(chosen)
    for day in range(len(room)):
        while True:
            free = np.array(room) - _loads(fuller, len(room))
            if free[day] < KEEP_SLOTS:
                break
            tried = [
                (index, _with_block(passages[index], table, day, situation))
                for index, table in enumerate(fuller)
                if table.left and not table.is_on(day)
                if table.contacts or may_begin(passages[index], day, situation)
            ]
            gains = [
                (one.worth - fuller[index].worth, -index, one)
                for index, one in tried
                if _fits(one, free + _load(fuller[index], len(room)))
            ]
            gain, negative, best = max(gains, key=lambda one: one[:2], default=(0.0, 0, None))
            if best is None or gain <= 0:
                break
            fuller[-negative] = best
        free = np.array(room) - _loads(fuller, len(room))
        _longer(fuller, day, int(free[day]))
    return tuple(fuller)


def _longer(tables: list[Timetable], day: int, free: int) -> None:
    """Lengthen what climbs on a day by blocks that nobody else needs; shortest visits first."""
    for _ in range(free):
        waiting = [
            (contact.slots, -contact.before, index)
            for index, table in enumerate(tables)
            for contact in table.contacts
            if contact.day == day and contact.before and contact.slots < MOST_SLOTS
        ]
        if not waiting:
            return
        _, _, index = min(waiting)
        tables[index] = tables[index].with_block_on(day)


def _with_block(passage: Passage, table: Timetable, day: int, situation: Situation) -> Timetable:
    """A timetable with one block more, on a day of its own."""
    days = sorted([*(one.day for one in table.contacts), day])
    short = frozenset({*table.short, day})
    return make_timetable(passage, days, situation, short)


def _total(tables: Sequence[Timetable]) -> float:
    return sum(table.worth for table in tables)


def _one_after_another(
    passages: Sequence[Passage], room: Sequence[int], situation: Situation
) -> list[Timetable]:
    """Each passage gets the best that still fits: heavy ones first, then those near the goal."""
    free = np.array(room, dtype=float)
    found = [make_timetable(one, (), situation) for one in passages]
    order = sorted(
        range(len(passages)),
        key=lambda n: (-passages[n].weight, passages[n].to_go, -passages[n].hard, n),
    )
    for index in order:
        found[index] = _first_fitting(passages[index], free, situation)
        free -= _load(found[index], len(room))
    return found


def _first_fitting(passage: Passage, free: Loads, situation: Situation) -> Timetable:
    """The best of the earliest first day that brings a passage to its tempo, else of all."""
    best = make_timetable(passage, (), situation)
    for start in range(len(free)):
        if not may_begin(passage, start, situation):
            break
        if free[start] < KEEP_SLOTS:
            continue
        fitting = [
            one for one in family(passage, situation, (start,), free.tolist()) if _fits(one, free)
        ]
        best = max((best, *fitting), key=lambda table: table.worth)
        if best.left == 0 and best.contacts:
            break
    return best


def _fits(table: Timetable, free: Loads) -> bool:
    return all(free[contact.day] >= contact.slots for contact in table.contacts)


def _improved(
    passages: Sequence[Passage],
    chosen: Sequence[Timetable],
    room: Sequence[int],
    situation: Situation,
) -> list[Timetable]:
    """The same with the whole family tried, one after another, for what falls short."""
    better = list(chosen)
    free = np.array(room) - _loads(chosen, len(room))
    order = [n for n, table in enumerate(chosen) if table.left]
    for index in sorted(order, key=lambda n: (-passages[n].weight, chosen[n].left, n)):
        own = free + _load(better[index], len(room))
        best = max(
            (better[index], _first_fitting(passages[index], own, situation)),
            key=lambda table: table.worth,
        )
        free = own - _load(best, len(room))
        better[index] = best
    return better


def _load(table: Timetable, days: int) -> Loads:
    """Blocks on each day."""
    load = np.zeros(days)
    for contact in table.contacts:
        load[contact.day] = contact.slots
    return load


def _loads(tables: Sequence[Timetable], days: int) -> Loads:
    load = np.zeros(days)
    for table in tables:
        load += _load(table, days)
    return load


def _picked(
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
    with _without_standard_output():
        found = milp(
            -worth,
            integrality=np.ones(len(flat)),
            bounds=Bounds(0, 1),
            constraints=[LinearConstraint(own, 1, 1), LinearConstraint(taken, 0, np.array(room))],
            options=_effort(len(flat), exact=exact),
        )
    if found.x is None:  # playing nothing at all is always allowed, so a search has one answer
        return tuple(0 for _ in columns)
    best = {row: column for column, row in enumerate(owner) if found.x[column] > 0.5}
    first = np.searchsorted(owner, np.arange(len(columns)))
    return tuple(int(best[row] - first[row]) for row in range(len(columns)))


def _effort(columns: int, *, exact: bool) -> dict[str, float]:
    """How long the solver searches."""
    if exact and columns <= FEW_COLUMNS:
        return {"mip_rel_gap": 0.0}
    return {"mip_rel_gap": SMALL_GAP if exact else GAP, "node_limit": MOST_NODES}


@contextlib.contextmanager
def _without_standard_output() -> Iterator[None]:
    """Let the solver's own remarks go nowhere: some of its versions print them past Python."""
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
