"""A plan in words: days, items, what will not be reached."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from textwrap import wrap
from typing import Final

from drills.project.plan import Outlook, Plan, PlannedDay
from drills.project.session import Item
from drills.sheets.ladder import shown

WIDTH: Final = 80
SPARKS: Final = "▁▂▃▄▅▆▇█"
MOST_NAMED: Final = 6


def spoken(day: date) -> str:
    """``Monday 1 March``."""
    return f"{day:%A} {day.day} {day:%B}"


def numbers(item: Item) -> str:
    """``56-63``, or one number, as they stand on the page of the block."""
    low, high = (shown(item.block.on_page(number)) for number in (item.low, item.high))
    return low if low == high else f"{low}-{high}"


def cut(text: str, width: int) -> str:
    """``text`` in a width, its end replaced by dots where it is longer."""
    return text if len(text) <= width else f"{text[: width - 1]}…"


def item_line(item: Item, tick: str = " ") -> str:
    """One item in 80 columns: number, passage, block, minutes, numbers."""
    what = f"{cut(item.passage.name, 36)}: {item.block.words}"
    return f"{tick}{item.number:3}  {cut(what, 54):54} {item.minutes:2} min {numbers(item):>9}"


def day_minutes(day: PlannedDay) -> int:
    """Minutes that a day's items take with their breaks."""
    return sum(item.minutes + item.rest for item in day.items)


def day_lines(day: PlannedDay, done: Sequence[int] = ()) -> Iterator[str]:
    """A day's list; what is ``done`` has a tick."""
    for item in day.items:
        yield item_line(item, "x" if item.number in done else " ")
        if item.rest:
            yield f"      -- {item.rest} minutes of rest --"


def file_lines(day: PlannedDay, files: Mapping[str, str]) -> Iterator[str]:
    """Which files a day's items stand in, in 80 columns; ``files`` by the ids of passages."""
    where: dict[str, list[int]] = {}
    for item in day.items:
        where.setdefault(files[item.passage.id], []).append(item.number)
    for file, items in where.items():
        told = f"{file}: item{'s' * (len(items) > 1)} {', '.join(map(str, sorted(items)))}"
        yield from wrap(told, WIDTH, initial_indent="  ", subsequent_indent="    ")


def day_heading(day: PlannedDay) -> str:
    """``Monday 1 March, 58 minutes with 1 break``."""
    pauses = sum(1 for item in day.items if item.rest)
    told = f" with {pauses} break{'s' * (pauses > 1)}" if pauses else ""
    light = ", light" if day.day.light else ""
    return f"{spoken(day.day.date)}, {day_minutes(day)} minutes{told}{light}"


def plan_lines(plan: Plan, title: str) -> Iterator[str]:
    """The whole plan, day by day, with what is to be said before it."""
    left = (plan.rehearsal - plan.today).days
    if left <= 0:
        yield f"{title}: the rehearsal is today, there is no day left to plan"
        return
    until = f"{spoken(plan.rehearsal)} {plan.rehearsal.year}"
    yield f"{title}: {left} day{'s' * (left != 1)} until {until}"
    yield from shortage(plan)
    for day in plan.days:
        yield ""
        yield day_heading(day)
        yield from day_lines(day)


def shortage(plan: Plan, *, ids: bool = True) -> Iterator[str]:
    """What will not reach its tempo, and what is best left; nothing where all will.

    With ``ids`` what is best left has its id, by which a command names it.
    """
    short = plan.short
    if not short:
        return
    verb = "passage" if len(short) == 1 else "passages"
    yield f"{len(short)} of {len(plan.outlooks)} {verb} will hardly reach their tempo:"
    for one in short[:MOST_NAMED]:
        about = f"about {one.share:4.0%} of {shown(one.passage.goal)}"
        is_new = not one.passage.is_begun and not one.timetable.contacts
        yield f"  {cut(one.passage.name, 56):56} {'not begun' if is_new else about}"
    if len(short) > MOST_NAMED:
        shares = [one.share for one in short[MOST_NAMED:]]
        more = len(short) - MOST_NAMED
        yield f"  and {more} more, at about {min(shares):.0%} to {max(shares):.0%}"
    yield f"If something has to be left, leave first: {_names(plan.leave_first[:3], ids)}"


def _names(outlooks: Sequence[Outlook], ids: bool) -> str:
    return "; ".join(
        f"{one.passage.name} ({one.passage.id})" if ids else one.passage.name for one in outlooks
    )


def spark(shares: Sequence[float], goal: float = 1.0) -> str:
    """Shares as bars of text, from 40 per cent to the goal."""
    found = []
    for share in shares:
        inside = max(0.0, min(1.0, (share - 0.4) / (goal - 0.4)))
        found.append(SPARKS[round(inside * (len(SPARKS) - 1))])
    return "".join(found)


def share_of(number: Fraction, goal: Fraction) -> float:
    """A tempo as a share of the goal."""
    return float(number / goal)
