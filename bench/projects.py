"""Plans against simple habits, on invented players: python -m bench.projects [COUNT]

For each of COUNT projects (200 unless said) a player practises by the plan, made anew every
day from the log; the same player practises with equal time for every passage; and again with
all time for the hardest passage until it is there, then the next.  Told is how many passages
are at their tempo on the day of the rehearsal, and how often the forecast made halfway held
the truth.  A simulation and nothing more: see players.py.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone
from fractions import Fraction
from random import Random
from statistics import mean

from bench.players import MISSED, Learned, observed, player
from drills.project.days import Hours, slots_in
from drills.project.entries import Entry, NewEntry
from drills.project.forecast import forecasts
from drills.project.history import histories, with_history
from drills.project.passages import Block, Passage, Role
from drills.project.plan import make_plan
from drills.project.scale import raised

FIRST_DAY = date(2027, 2, 1)
BLOCKS = (
    Block(1, "spot", Role.SPOT),
    Block(2, "two notes at a time", Role.MOVES),
    Block(3, "dotted", Role.LINE),
)
NEARLY = 0.978
"""Half a number below the goal counts as there."""


@dataclass(frozen=True, slots=True)
class Project:
    """One invented project."""

    seed: int
    passages: tuple[Passage, ...]
    days: int
    hours: Hours

    @property
    def rehearsal(self) -> date:
        return FIRST_DAY + timedelta(self.days)


def project(seed: int) -> Project:
    """A project of 4 to 14 passages, 5 to 12 days, 20 to 75 minutes a day."""
    random = Random(1000 + seed)
    goals = [Fraction(random.randrange(60, 160, 4)) for _ in range(random.randint(4, 14))]
    passages = tuple(
        Passage(f"p{n}", f"passage {n}", goal, goal / 2, BLOCKS, hard=random.random())
        for n, goal in enumerate(goals)
    )
    hours = Hours(random.choice((20, 30, 45, 60, 75)))
    return Project(seed, passages, random.randint(5, 12), hours)


def fingers(one: Project) -> list[Learned]:
    return player(one.seed, [passage.goal for passage in one.passages])


def missed(one: Project) -> set[int]:
    random = Random(2000 + one.seed)
    return {day for day in range(one.days) if random.random() < MISSED}


def reached(learned: Sequence[Learned], days: int) -> int:
    """Passages at their tempo on the day of the rehearsal."""
    for passage in learned:
        passage.wait_until(days + 1)
    return sum(passage.share >= NEARLY for passage in learned)


def by_plan(one: Project) -> tuple[int, list[bool]]:
    """How many are reached, and which forecasts made halfway held the truth."""
    learned, away = fingers(one), missed(one)
    random, entries = Random(3000 + one.seed), list[Entry]()
    index = {passage.id: n for n, passage in enumerate(one.passages)}
    expected = {}
    for day in range(one.days):
        today = FIRST_DAY + timedelta(day)
        known = histories(entries, today)
        plan = make_plan(with_history(one.passages, known), one.hours, today, one.rehearsal)
        if day == one.days // 2:
            more = {
                outlook.passage.id: len(outlook.timetable.contacts) for outlook in plan.outlooks
            }
            expected = forecasts(known, more)
            standing = {name: history.reached for name, history in known.items()}
        if day in away:
            continue
        planned = plan.on(today)
        tops: dict[str, Fraction] = {}
        for item in planned.items if planned else ():
            learned[index[item.passage.id]].play(day, item.minutes / 3)
            tops[item.passage.id] = max(item.high, tops.get(item.passage.id, item.high))
        for name, top in tops.items():
            most = raised(top, 2, one.passages[index[name]].top)
            number = observed(learned[index[name]], random, most)
            entries.append(entry(name, today, number))
    held = []
    count = reached(learned, one.days)
    for name, forecast in expected.items():
        goal = one.passages[index[name]].goal
        if forecast is None or (standing[name] or 0) >= goal:
            continue
        truth = observed(learned[index[name]], random, goal)
        held.append(min(forecast.low, goal) <= truth <= forecast.high)
    return count, held


def entry(name: str, day: date, number: Fraction) -> Entry:
    at = datetime(day.year, day.month, day.day, 19, tzinfo=timezone.utc)  # noqa: UP017
    return Entry(1, NewEntry(name, name, day, at, number=number))


def slots_of(one: Project) -> list[int]:
    """Blocks of every day, all days full."""
    return [slots_in(one.hours.of(FIRST_DAY + timedelta(day))) for day in range(one.days)]


def equally(one: Project) -> int:
    learned, away = fingers(one), missed(one)
    for day, slots in enumerate(slots_of(one)):
        for passage in learned if day not in away else ():
            passage.play(day, slots / len(learned))
    return reached(learned, one.days)


def hardest_first(one: Project) -> int:
    learned, away = fingers(one), missed(one)
    order = sorted(range(len(learned)), key=lambda n: learned[n].share)
    for day, slots in enumerate(slots_of(one)):
        for _ in range(slots if day not in away else 0):
            waiting = [n for n in order if learned[n].share < NEARLY]
            if waiting:
                learned[waiting[0]].play(day, 1)
    return reached(learned, one.days)


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    rows, held = [], []
    for seed in range(count):
        one = project(seed)
        planned, inside = by_plan(one)
        rows.append((planned, equally(one), hardest_first(one), len(one.passages)))
        held += inside
    total = mean(row[3] for row in rows)
    print(f"{count} projects of {total:.1f} passages on average; at their tempo at the end:")
    for name, column in (("by the plan", 0), ("equal time", 1), ("hardest first", 2)):
        fewer = sum(row[0] < row[column] for row in rows)
        more = sum(row[0] > row[column] for row in rows)
        told = f"; the plan has more in {more}, fewer in {fewer}" if column else ""
        print(f"  {name:14} {mean(row[column] for row in rows):5.2f}{told}")
    print(f"forecasts made halfway: {len(held)}, of which {mean(held):.0%} held the truth")


if __name__ == "__main__":
    main()
