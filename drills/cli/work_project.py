"""What the commands about a project do, once their options are read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path
from typing import Final

from drills.cli.options import RunOptions, session
from drills.cli.screen import Progress, complain, say
from drills.cli.work import remark, style_of, with_pages
from drills.errors import BookError, LogError, UsageError, WriteError
from drills.jobs.project import (
    Project,
    Spot,
    day_to_meet,
    open_project,
    pin_ids,
    plan_project,
    spot_named,
    write_changes,
)
from drills.jobs.ready import Readiness, readiness, readiness_picture
from drills.jobs.request import Settings
from drills.jobs.sessions import calendar_file, caught_up, page_file, sound_file, title_of
from drills.output.audio import FORMATS, AudioSettings
from drills.output.files import OutputFile, check_place, made_from, safe_name, write_files
from drills.output.plot import png_bytes, svg_bytes
from drills.project.book import parse_book, read_content
from drills.project.days import Hours
from drills.project.edit_book import Change
from drills.project.entries import Entry, NewEntry
from drills.project.log import Log, log_path, read_entries
from drills.project.log_text import csv_text, json_text, read_rows
from drills.project.passages import Role, State
from drills.project.plan import Plan, PlannedDay
from drills.project.session import Item
from drills.project.telling import (
    cut,
    day_heading,
    day_lines,
    plan_lines,
    shortage,
    spark,
    spoken,
)
from drills.reading.limits import Limits
from drills.sheet.ladder import shown

USUAL_BOOK: Final = "book.toml"


@dataclass(frozen=True, slots=True)
class When:
    """For which days."""

    day: date
    """Today, unless another is named."""
    until: date | None = None
    """The rehearsal, unless the book says it."""
    minutes: int | None = None
    """Of every day, in place of the book's."""


def find_book(named: Path | None) -> Path:
    """The book that is named, or the only one in this folder."""
    if named is not None:
        return named
    if Path(USUAL_BOOK).is_file():
        return Path(USUAL_BOOK)
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
    force: bool,
) -> None:
    """Print the plan; write the calendar and the states that are asked for."""
    project = opened(book, when, limits)
    if marks:
        _mark(project, marks)
        project = opened(book, when, limits)
    with Progress(session()) as tell:
        tell("planning")
        plan = plan_project(project, when.day, when.until)
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


def planned_day(
    project: Project, when: When, *, catch_up: bool = False
) -> tuple[Plan, PlannedDay | None]:
    """The plan, and the day that is asked for."""
    if catch_up:
        hours = project.book.days.hours
        more = caught_up(hours.of(when.day))
        longer = replace(hours, on_date={**hours.on_date, when.day: more})
        days = replace(project.book.days, hours=longer)
        project = replace(project, book=replace(project.book, days=days))
    plan = plan_project(project, when.day, when.until)
    return plan, plan.on(when.day)


def show_today(
    book: Path | None,
    when: When,
    limits: dict[str, str],
    *,
    page: bool,
    sound: bool,
    format: str,
    start: int,
    catch_up: bool,
    force: bool,
    run: RunOptions,
) -> None:
    """Print one day's list; write its page and its sound."""
    project = opened(book, when, limits)
    with Progress(session()) as tell:
        tell("planning")
        plan, day = planned_day(project, when, catch_up=catch_up)
        if day is None or not day.items:
            said = "is a day off" if day is None and plan.days else "has nothing to play"
            say(f"{spoken(when.day)} {said}")
            return
        if start > len(day.items):
            raise UsageError(f"--start: today has {len(day.items)} items, there is no {start}")
        told = _written_today(project, plan, day, tell, page, sound, format, start, force, run)
    say(day_heading(day))
    say("\n".join(day_lines(day, _done(project, day, when.day))))
    missed = _missed(project, when.day)
    if missed and not session().quiet:
        complain(
            f"nothing is logged for {missed} of the days before; the plan has taken that in"
            + ("" if catch_up else ", --catch-up makes today longer by half")
        )
    for line in told:
        say(line)


def _written_today(
    project: Project,
    plan: Plan,
    day: PlannedDay,
    tell: Progress,
    page: bool,
    sound: bool,
    format: str,
    start: int,
    force: bool,
    run: RunOptions,
) -> list[str]:
    files: list[OutputFile] = []
    told = []
    name = f"{safe_name(project.book.path.stem)}-{day.day.date}"
    if page:
        tell("engraving the page")
        file, pages = page_file(project, day, plan.rehearsal, Path(f"{name}.pdf"), style_of(run))
        files.append(file)
        told.append(f"{file.path}{with_pages(pages)}")
    if sound:
        path = Path(f"{name}{FORMATS[format].ending}")
        check_place(path, force=True)
        file, heard = sound_file(project, day, path, AudioSettings(format), start, tell)
        files.append(file)
        minutes, seconds = divmod(int(heard.duration), 60)
        told.append(f"{file.path} ({minutes}:{seconds:02} min, {len(heard.cues)} chapters)")
    write_files(files, force)
    return told


def _done(project: Project, day: PlannedDay, when: date) -> list[int]:
    """Items that are in the log of the day."""
    logged = {(one.said.passage, one.said.block) for one in project.entries if one.said.day == when}
    return [item.number for item in day.items if (item.passage.id, _block_name(item)) in logged]


def _block_name(item: Item) -> str:
    return f"{item.number} {item.block.words}"


def _missed(project: Project, today: date) -> int:
    """Days with time since the first entry on which nothing was logged."""
    days = {one.said.day for one in project.entries if one.said.day < today}
    if not days:
        return 0
    hours = project.book.days.hours
    every = range((today - min(days)).days)
    dates = [date.fromordinal(min(days).toordinal() + n) for n in every]
    return sum(1 for one in dates if one not in days and hours.of(one) > 0)


# --- the log -----------------------------------------------------------------------------


def log_done(
    book: Path | None,
    when: When,
    limits: dict[str, str],
    *,
    item: int | None,
    number: Fraction | None,
    right: int | None,
    minutes: Fraction | None,
    word: str,
) -> None:
    """Put what was played into the log: one item, or all of the day, asked for one by one."""
    project = opened(book, None, limits)
    _, day = planned_day(project, when)
    items = {one.number: one for one in day.items} if day else {}
    if item is None:
        entries = list(_asked(project, list(items.values()), when.day))
    else:
        if item not in items:
            raise UsageError(
                f"{spoken(when.day)} has {len(items)} items, there is no item {item}; drills today "
                "lists them"
            )
        entries = [_entry(items[item], when.day, number, right, minutes, word)]
    if not entries:
        say("nothing was logged")
        return
    remark(pin_ids(project))
    path = log_path(project.book.path)
    with Log(path) as log:
        latest = log.latest()
        ids = log.add(entries)
    if latest is not None and latest > entries[0].at:
        complain(
            f"the clock stands before the last entry ({latest:%d.%m.%Y %H:%M}); entries are kept "
            "in the order of their days"
        )
    for one, said in zip(ids, entries, strict=True):
        reached = "" if said.number is None else f", {shown(said.number)}"
        say(f"{one}: {said.name}{reached}")


def _entry(
    item: Item,
    day: date,
    number: Fraction | None,
    right: int | None,
    minutes: Fraction | None,
    word: str,
) -> NewEntry:
    return NewEntry(
        passage=item.passage.id,
        name=item.passage.name,
        day=day,
        at=datetime.now(UTC).astimezone().replace(microsecond=0),
        block=_block_name(item),
        whole=item.block.role is not Role.MOVES,
        number=number,
        right=right,
        minutes=minutes if minutes is not None else Fraction(item.minutes),
        word=word,
    )


def _asked(project: Project, items: Sequence[Item], day: date) -> Iterator[NewEntry]:
    """Ask item by item; an empty answer passes one over, a full stop ends."""
    import click  # noqa: PLC0415 - only where somebody is asked

    for item in items:
        what = f"{item.number}. {cut(item.passage.name, 40)}: {item.block.words}, number reached"
        answer = click.prompt(what, default="", show_default=False).strip()
        if answer == ".":
            return
        if answer:
            words = answer.split(maxsplit=2)
            yield _entry(
                item,
                day,
                read_number(words[0]),
                int(words[1]) if len(words) > 1 and words[1].isdecimal() else None,
                None,
                words[2] if len(words) > 2 else "",
            )


def read_number(text: str) -> Fraction:
    """A metronome number as typed; raises UsageError."""
    try:
        number = Fraction(text.replace(",", "."))
    except (ValueError, ZeroDivisionError) as error:
        raise UsageError(f"{text!r} is no metronome number; give one like 96") from error
    if not 0 < number <= 1000:
        raise UsageError(f"{text} is no metronome number; give one like 96")
    return number


def show_log(
    book: Path | None,
    *,
    everything: bool,
    strike: Sequence[int],
    export: Path | None,
    bring: Path | None,
    force: bool,
) -> None:
    """List the log; strike entries out, export and import."""
    path = log_path(find_book(book))
    if strike:
        with Log(path) as log:
            log.strike(strike, datetime.now(UTC).astimezone().replace(microsecond=0))
    if bring is not None:
        say(f"{_imported(path, bring)} entries imported")
    entries = read_entries(path, struck=everything or export is not None)
    if export is not None:
        as_json = export.suffix.lower() == ".json"
        if not as_json and export.suffix.lower() != ".csv":
            raise UsageError(f"--export {export}: end the name in .csv or .json")
        text = json_text(entries) if as_json else csv_text(entries)
        write_files([OutputFile(export, text.encode())], force)
        say(f"{export} ({len(entries)} entries)")
        return
    for entry in entries:
        say(_log_line(entry))
    if not entries and not (strike or bring):
        say("nothing is logged yet; drills done puts something in")


def _imported(path: Path, file: Path) -> int:
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise LogError(f"{file}: cannot be read ({error}); check the name") from error
    new = read_rows(text, str(file))
    there = {entry.said for entry in read_entries(path, struck=True)}
    fresh = [entry for entry in dict.fromkeys(new) if entry not in there]
    with Log(path) as log:
        return len(log.add(fresh))


def _log_line(entry: Entry) -> str:
    said = entry.said
    number = "" if said.number is None else shown(said.number)
    right = "" if said.right is None else f"{said.right} right"
    word = f"  {said.word}" if said.word else ""
    struck = "  (struck out)" if entry.struck else ""
    return f"{entry.id:4}  {said.day}  {cut(said.name, 38):38} {number:>5} {right:>9}{word}{struck}"


# --- ready? ------------------------------------------------------------------------------


def show_ready(
    book: Path | None, when: When, limits: dict[str, str], *, plot: Path | None, force: bool
) -> None:
    """Print how far each passage is, and draw it."""
    project = opened(book, when, limits)
    if when.until is None and not project.book.days.first_rehearsal:
        day_to_meet(project, when.day)
    plan = plan_project(project, when.day, when.until)
    rows = readiness(project, plan)
    ready = sum(row.is_ready for row in rows)
    say(f"{title_of(project)}: {ready} of {len(rows)} passages at their tempo")
    for number, row in enumerate(rows, 1):
        for line in _ready_lines(number, row):
            say(line)
    say("\n".join(shortage(plan)))
    if plot is not None:
        picture = readiness_picture(rows, plan, title_of(project))
        kinds = {".svg": svg_bytes, ".png": png_bytes}
        if plot.suffix.lower() not in kinds:
            raise WriteError(f"--plot {plot}: end the name in .svg or .png")
        mark = made_from(str(project.book.path), "ready", [])
        content = kinds[plot.suffix.lower()](picture)
        write_files([OutputFile(plot, content, mark)], force)
        say(f"{plot}")


def _ready_lines(number: int, row: Readiness) -> Iterator[str]:
    goal = shown(row.passage.goal)
    reached = "-" if row.reached is None else shown(row.reached)
    last = "never played"
    if row.history.days:
        last = f"last on {row.history.days[-1].day}"
    trend = spark([share for _, share in row.shares[-12:]])
    yield f"{number:3}  {cut(row.passage.name, 44):44} {reached:>5} of {goal:>5}  {trend}"
    if row.is_ready:
        told = "ready" if row.passage.state is not State.READY else "ready, as you say"
    elif row.forecast is None:
        told = "not enough entries to say more (3 days with a number)"
    else:
        low, high = (
            shown(min(one, row.passage.goal)) for one in (row.forecast.low, row.forecast.high)
        )
        told = f"at the rehearsal {low} to {high}, in eight of ten cases"
    yield f"     {last}; {told}  ({row.passage.id})"
