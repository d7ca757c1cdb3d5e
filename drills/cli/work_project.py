"""What the commands about a project do, once their options are read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from drills.cli.options import RunOptions, session
from drills.cli.screen import Progress, complain, say
from drills.cli.work import remark, style_of, with_pages
from drills.errors import BookError, UsageError
from drills.jobs.day import done_items, planned_day
from drills.jobs.project import (
    Project,
    Spot,
    keep_days,
    open_project,
    plan_project,
    spot_named,
    write_changes,
)
from drills.jobs.request import Settings
from drills.jobs.sessions import calendar_file, file_of, page_file, sound_file, title_of
from drills.output.audio import FORMATS, AudioSettings
from drills.output.files import OutputFile, check_place, safe_name, write_files
from drills.project.book import BOOK_NAME, parse_book, read_content
from drills.project.days import Hours
from drills.project.edit_book import Change
from drills.project.passages import State
from drills.project.plan import Plan, PlannedDay
from drills.project.telling import (
    day_heading,
    day_lines,
    file_lines,
    plan_lines,
    spoken,
)
from drills.reading.limits import Limits


@dataclass(frozen=True, slots=True)
class When:
    """For which days."""

    day: date
    """Today, unless another is named."""
    until: date | None = None
    """The rehearsal, unless the book says it."""
    minutes: int | None = None
    """Of every day, in place of the book's."""


@dataclass(frozen=True, slots=True)
class Tonight:
    """What is wanted of one session besides its list."""

    page: bool
    sound: bool
    format: str
    start: int
    catch_up: bool
    force: bool
    run: RunOptions


def find_book(named: Path | None) -> Path:
    """The book that is named, or the only one in this folder."""
    if named is not None:
        return named
    if Path(BOOK_NAME).is_file():
        return Path(BOOK_NAME)
    found = [path for path in sorted(Path().glob("*.toml")) if _is_book(path)]
    if len(found) == 1:
        return found[0]
    names = ", ".join(path.name for path in found)
    why = f"there are several here ({names})" if found else "there is none in this folder"
    raise BookError(f"name the book, such as spring.toml: {why}")


def _is_book(path: Path) -> bool:
    try:
        parse_book(read_content(path), path)
    except BookError:
        return False
    return True


def opened(book: Path | None, when: When | None, limits: dict[str, str]) -> Project:
    """The project, with the minutes that are asked for."""
    with Progress(session()) as tell:
        settings = Settings(limits=Limits().with_values(limits))
        project = open_project(find_book(book), settings, tell)
    if when is None or when.minutes is None:
        return project
    hours = Hours(when.minutes, {}, project.book.days.hours.on_date)
    days = replace(project.book.days, hours=hours)
    return replace(project, book=replace(project.book, days=days))


# --- plan and today ----------------------------------------------------------------------


def show_plan(
    book: Path | None,
    when: When,
    limits: dict[str, str],
    *,
    calendar: Path | None,
    also_calendar: bool,
    marks: Sequence[tuple[str, State]],
    keep: bool,
    force: bool,
) -> None:
    """Print the plan; write the calendar, the states and the days that are asked for."""
    if keep and when.until is None and when.minutes is None:
        raise UsageError("--keep writes --until and --minutes into the book; give one of them")
    project = opened(book, when, limits)
    if marks:
        _mark(project, marks)
        project = opened(book, when, limits)
    with Progress(session()) as tell:
        tell("planning")
        plan = plan_project(project, when.day, when.until)
    if keep:
        keep_days(project.book.path, when.until, when.minutes)
    say("\n".join(plan_lines(plan, title_of(project))))
    if also_calendar:
        path = calendar or Path(f"{safe_name(project.book.path.stem)}.ics")
        write_files([calendar_file(project, plan, path)], force)
        say(f"{path}")


def _mark(project: Project, marks: Sequence[tuple[str, State]]) -> None:
    """Write states into the book."""
    changes = []
    for name, state in marks:
        spot = spot_named(project, name)
        if spot.place is None:
            raise UsageError(f"{spot.passage.name} is marked in the score only; put it in the book")
        changes.append(Change(*spot.place, id=_base_id(spot), state=state))
    remark(write_changes(project.book.path, changes))


def _base_id(spot: Spot) -> str | None:
    return None if spot.has_id else spot.passage.id.split("-")[0]


def show_today(
    book: Path | None,
    when: When,
    limits: dict[str, str],
    wanted: Tonight,
) -> None:
    """Print one day's list; write its page and its sound."""
    project = opened(book, when, limits)
    with Progress(session()) as tell:
        tell("planning")
        plan, day = planned_day(project, when.day, when.until, catch_up=wanted.catch_up)
        if day is None or not day.items:
            said = "is a day off" if day is None and plan.days else "has nothing to play"
            say(f"{spoken(when.day)} {said}")
            return
        if wanted.start > len(day.items):
            raise UsageError(
                f"--start: today has {len(day.items)} items, there is no {wanted.start}"
            )
        told = _written_today(project, plan, day, tell, wanted)
    say(day_heading(day))
    say("\n".join(day_lines(day, done_items(project, day, when.day))))
    files = {spot.passage.id: file_of(project, spot) for spot in project.spots}
    say("\n".join(file_lines(day, files)))
    missed = _missed(project, when.day)
    if missed and not session().quiet:
        complain(
            f"nothing is logged for {missed} of the days before; the plan has taken that in"
            + ("" if wanted.catch_up else ", --catch-up makes today longer by half")
        )
    for line in told:
        say(line)


def _written_today(
    project: Project, plan: Plan, day: PlannedDay, tell: Progress, wanted: Tonight
) -> list[str]:
    """Write the page and the sound that are asked for; returns what to say of them."""
    files: list[OutputFile] = []
    told = []
    name = f"{safe_name(project.book.path.stem)}-{day.day.date}"
    if wanted.page:
        tell("engraving the page")
        file, pages = page_file(
            project, day, plan.rehearsal, Path(f"{name}.pdf"), style_of(wanted.run)
        )
        files.append(file)
        told.append(f"{file.path}{with_pages(pages)}")
    if wanted.sound:
        path = Path(f"{name}{FORMATS[wanted.format].ending}")
        check_place(path, force=True)
        file, heard = sound_file(
            project, day, path, AudioSettings(wanted.format), start=wanted.start, tell=tell
        )
        files.append(file)
        minutes, seconds = divmod(int(heard.duration), 60)
        told.append(f"{file.path} ({minutes}:{seconds:02} min, {len(heard.cues)} chapters)")
    write_files(files, wanted.force)
    return told


def _missed(project: Project, today: date) -> int:
    """Days with time since the first entry on which nothing was logged."""
    days = {one.said.day for one in project.entries if one.said.day < today}
    if not days:
        return 0
    hours = project.book.days.hours
    every = range((today - min(days)).days)
    dates = [date.fromordinal(min(days).toordinal() + n) for n in every]
    return sum(1 for one in dates if one not in days and hours.of(one) > 0)
