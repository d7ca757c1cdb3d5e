"""What the stand's processes do with the days of a project: tonight's list, the log, the ladder."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Final

from drills.errors import BookError, UsageError
from drills.jobs.asked import values
from drills.jobs.day import (
    block_name,
    done_items,
    item_entry,
    logged,
    planned_day,
    spot_entry,
)
from drills.jobs.project import Project, Spot, day_to_meet, open_project, plan_project
from drills.jobs.ready import readiness, readiness_picture
from drills.jobs.request import Settings
from drills.jobs.sessions import item_numbers, title_of
from drills.output.data.text import exact
from drills.output.plot import svg_bytes
from drills.places.finding import find_span
from drills.project.book import BOOK_NAME
from drills.project.entries import Origin
from drills.project.plan import PlannedDay
from drills.project.session import Item
from drills.project.telling import day_heading, shortage, spoken
from drills.sheets.ladder import shown
from drills.sound.practice.choices import Material, PracticeChoices
from drills.sound.practice.headings import Heading
from drills.sound.practice.loop import heading_under, ladder_of
from drills.stand.alone import alone
from drills.stand.play_tasks import source_at
from drills.stand.shelf import id_of
from drills.stand.telling import Told

DAYS_SHOWN: Final = 14
"""Days of the project on the shelf."""


def days(today: str) -> Told:
    """The days of the project from today on, each with its minutes; none without a list."""
    if not Path(BOOK_NAME).is_file():
        return {"title": "", "rehearsal": "", "days": []}
    project, day = _project(), date.fromisoformat(today)
    meeting = _meeting(project, day)
    if meeting is None:
        return {"title": title_of(project), "rehearsal": "", "days": []}
    plan = plan_project(project, day, meeting)
    return {
        "title": title_of(project),
        "rehearsal": spoken(plan.rehearsal),
        "days_left": (plan.rehearsal - plan.today).days,
        "days": [
            {
                "date": str(one.day.date),
                "heading": day_heading(one),
                "items": len(one.items),
                "done": len(done_items(project, one, one.day.date)),
            }
            for one in plan.days[:DAYS_SHOWN]
        ],
        "more": max(0, len(plan.days) - DAYS_SHOWN),
    }


def tonight(today: str) -> Told:
    """The list of a day with what is done of it, and the day to meet as the book has it."""
    project, day = _project(), date.fromisoformat(today)
    if _meeting(project, day) is None:
        return {"rehearsal": "", "shortage": [], "heading": "", "items": [], "done": []}
    plan, planned = planned_day(project, day)
    met: Told = {"rehearsal": str(plan.rehearsal), "shortage": list(shortage(plan, ids=False))}
    if planned is None or not planned.items:
        return {**met, "heading": "", "items": [], "done": []}
    return {
        **met,
        "title": title_of(project),
        "heading": day_heading(planned),
        "days_left": (plan.rehearsal - plan.today).days,
        "items": [_item(project, item) for item in planned.items],
        "done": done_items(project, planned, day),
    }


def _project() -> Project:
    if not Path(BOOK_NAME).is_file():
        raise UsageError("nothing is on the list yet; mark a spot in a part first")
    return open_project(Path(BOOK_NAME), Settings())


def _meeting(project: Project, today: date) -> date | None:
    """The day by which all should go; None where the book has none ahead."""
    try:
        return day_to_meet(project, today)
    except BookError:
        return None


def _item(project: Project, item: Item) -> Told:
    spot = project.spot(item.passage.id)
    entry = project.book.parts[spot.place[0]] if spot.place is not None else None
    file = entry.file if entry is not None else spot.sheet.source
    return {
        "number": item.number,
        "passage": item.passage.id,
        "name": item.passage.name,
        "block": item.block.number,
        "words": item.block.words,
        "numbers": [
            [exact(number), shown(item.block.on_page(number))] for number in item_numbers(item)
        ],
        "minutes": item.minutes,
        "rest": item.rest,
        "score": id_of(Path(file).name),
        "part": spot.sheet.part,
        "at": spot.sheet.spot.span.asked,
    }


def tick(today: str, number: int, reached: str, right: int) -> Told:
    """An item of the day into the log, with the metronome number that was reached."""
    day, counted = date.fromisoformat(today), values.read_number(reached) if reached else None
    with alone():  # ids of spots may be written into the book
        project = _project()
        item = _item_of(planned_day(project, day)[1], number)
        entry = item_entry(item, day, number=counted, right=right, origin=Origin.PAGE)
        ids, remarks = logged(project, [entry])
    told = f"{block_name(item)}: in the log" + (f", at {shown(counted)}" if counted else "")
    return {"id": ids[0], "words": told, "remarks": list(remarks)}


def _item_of(planned: PlannedDay | None, number: int) -> Item:
    items = planned.items if planned is not None else ()
    found = next((one for one in items if one.number == number), None)
    if found is None:
        raise UsageError("today's list has changed; look at it again")
    return found


def judged(where: tuple[str, str, str], block: int, number: str, right: bool) -> Told:
    """Right: the next number of the ladder; not yet: the one before.  Into the log with it.

    ``where``: score, part and place.  What is on no list is not logged, and the answer says so.
    """
    score, part, place = where
    source = source_at(score, part, place)
    rungs = [tempo.number for tempo in ladder_of(source, PracticeChoices())]
    now = values.read_number(number)
    above, below = [n for n in rungs if n > now], [n for n in rungs if n < now]
    following = (above or [rungs[-1]])[0] if right else (below or [rungs[0]])[-1]
    told = "right" if right else "not yet"
    if _logged(where, source.sheet.part, heading_under(source, block), now, right=right):
        words = f"{told} at {shown(now)}, in the log"
    else:
        words = f"{told} at {shown(now)}; the place is not on your list, so the log has nothing"
    if right and following == now:
        words += "; that is the goal"
    return {"number": exact(following), "words": words}


def _logged(
    where: tuple[str, str, str], part: str, heading: Heading, number: Fraction, *, right: bool
) -> bool:
    """Into the log, where the place is on the list; ``part`` by its name."""
    score, _, place = where
    with alone():  # ids of spots may be written into the book
        found = _spot(score, part, place)
        if found is None:
            return False
        project, own = found
        entry = spot_entry(
            own,
            heading.words,
            number if right else None,
            whole=heading.material is not Material.CELLS,
            right=int(right),
            origin=Origin.PAGE,
        )
        logged(project, [entry if right else replace(entry, word=f"not yet at {shown(number)}")])
        return True


def _spot(score: str, part: str, place: str) -> tuple[Project, Spot] | None:
    """The spot of the book for a place, if it is on the list."""
    if not Path(BOOK_NAME).is_file():
        return None
    project = _project()
    for spot in project.spots:
        if spot.place is None or project.book.parts[spot.place[0]].path != Path(score):
            continue
        if spot.sheet.part == part and spot.sheet.spot.span == find_span(spot.part, place):
            return project, spot
    return None


def ready(today: str) -> Told:
    """How far every passage is, as a picture and in words."""
    project, day = _project(), date.fromisoformat(today)
    plan = plan_project(project, day)
    rows = readiness(project, plan)
    return {
        "files": [("ready.svg", svg_bytes(readiness_picture(rows, plan, title_of(project))))],
        "rows": [
            {
                "name": row.passage.name,
                "reached": None if row.reached is None else shown(row.reached),
                "goal": shown(row.passage.goal),
                "ready": row.is_ready,
            }
            for row in rows
        ],
    }
