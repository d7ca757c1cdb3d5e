"""One day of a project: its items, which of them are played, and how that comes into the log."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from fractions import Fraction

from drills.jobs.project import Project, Spot, pin_ids, plan_project
from drills.jobs.sessions import caught_up
from drills.project.entries import NewEntry, Origin
from drills.project.log import Log, log_path
from drills.project.passages import Role
from drills.project.plan import Plan, PlannedDay
from drills.project.session import Item


def planned_day(
    project: Project, today: date, until: date | None = None, *, catch_up: bool = False
) -> tuple[Plan, PlannedDay | None]:
    """The plan, and the day that is asked for; with ``catch_up`` the day is longer by half."""
    if catch_up:
        hours = project.book.days.hours
        longer = replace(hours, on_date={**hours.on_date, today: caught_up(hours.of(today))})
        days = replace(project.book.days, hours=longer)
        project = replace(project, book=replace(project.book, days=days))
    plan = plan_project(project, today, until)
    return plan, plan.on(today)


def block_name(item: Item) -> str:
    """What an item's block is called in the log."""
    return f"{item.number} {item.block.words}"


def done_items(project: Project, day: PlannedDay, when: date) -> list[int]:
    """Numbers of the items that are in the log of the day."""
    logged = {(one.said.passage, one.said.block) for one in project.entries if one.said.day == when}
    return [item.number for item in day.items if (item.passage.id, block_name(item)) in logged]


def item_entry(
    item: Item,
    day: date,
    *,
    number: Fraction | None,
    right: int | None = None,
    minutes: Fraction | None = None,
    word: str = "",
    origin: Origin = Origin.TERMINAL,
) -> NewEntry:
    """An item of a day, played; ``number`` as it stands on the page of its block."""
    return NewEntry(
        passage=item.passage.id,
        name=item.passage.name,
        day=day,
        at=now(),
        block=block_name(item),
        whole=item.block.role is not Role.MOVES,
        number=None if number is None else item.block.of_spot(number),
        right=right,
        minutes=minutes if minutes is not None else Fraction(item.minutes),
        word=word,
        origin=origin,
    )


def spot_entry(
    spot: Spot, block: str, number: Fraction | None, *, whole: bool, right: int, origin: Origin
) -> NewEntry:
    """A spot played at a number outside the plan.

    ``block`` is its heading; ``whole`` says whether that is the spot or its whole line.
    """
    at = now()
    return NewEntry(
        passage=spot.passage.id,
        name=spot.passage.name,
        day=at.date(),
        at=at,
        block=block,
        whole=whole,
        number=number,
        right=right,
        origin=origin,
    )


def now() -> datetime:
    """This instant, with its distance from UTC, to the second."""
    return datetime.now(UTC).astimezone().replace(microsecond=0)


def logged(project: Project, entries: list[NewEntry]) -> tuple[tuple[int, ...], tuple[str, ...]]:
    """Put entries into the log of a project: their ids, and what should be known.

    The ids of the spots are written into the book first.
    """
    remarks = pin_ids(project)
    with Log(log_path(project.book.path)) as log:
        latest = log.latest()
        ids = log.add(entries)
    if latest is not None and latest > entries[0].at:
        remarks += (
            f"the clock stands before the last entry ({latest:%d.%m.%Y %H:%M}); entries are kept "
            "in the order of their days",
        )
    return ids, remarks
