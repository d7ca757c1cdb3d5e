"""A player's book and its log -> the passages of the project, and the plan of its days.

    project = open_project(Path("spring.toml"), Settings())
    plan = plan_project(project, date.today())

A spot is known to the log by its id: the one in the book, or else one that follows from
file, part and place; ``pin_ids`` writes those into the book before anything is logged.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from pathlib import Path

from drills.errors import BookError, UsageError
from drills.jobs.paper import paper_for
from drills.jobs.pieces import key_of, open_entries, pieces_of
from drills.jobs.request import Settings, Tell, say_nothing
from drills.jobs.sheets import music_of
from drills.jobs.wanted_spots import Wanted, about, wanted_spots
from drills.music.score import Part
from drills.output.files import OutputFile, check_place, write_files
from drills.project.book import Book, BookPart, BookSpot, read_book, read_content
from drills.project.edit_book import Change, changed, with_days
from drills.project.entries import Entry
from drills.project.history import History, histories, with_history
from drills.project.log import log_path, read_entries
from drills.project.passages import Block, Passage, Role, State
from drills.project.plan import Plan, make_plan
from drills.rewriting.rewrite import rewritten
from drills.sheets.choices import USUAL_MINUTES, Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from drills.sound.practice.choices import Material
from drills.sound.practice.headings import headings_of

_ROLES = {Material.SPOT: Role.SPOT, Material.CELLS: Role.MOVES, Material.LINES: Role.LINE}


@dataclass(frozen=True, slots=True)
class Spot:
    """A spot of the project: what is planned, and what is printed and played."""

    passage: Passage
    sheet: Sheet
    part: Part
    """As it is played, for another's instrument where the book says so."""
    choices: Choices
    """By which the sheet was made."""
    place: tuple[int, int] | None
    """Index of part and of spot in the book; None for one that the score marks."""
    has_id: bool
    """The book gives its id."""


@dataclass(frozen=True, slots=True)
class Project:
    """A book, its spots in the order of the programme, and its log."""

    book: Book
    spots: tuple[Spot, ...]
    entries: tuple[Entry, ...] = ()
    """What counts."""
    remarks: tuple[str, ...] = ()

    def spot(self, passage: str) -> Spot:
        """The spot of a passage."""
        return next(spot for spot in self.spots if spot.passage.id == passage)

    def known(self, before: date | None = None) -> dict[str, History]:
        """What the log says, of the days before one if it is given."""
        return histories(self.entries, before)


def open_project(path: Path, settings: Settings, tell: Tell = say_nothing) -> Project:
    """Read a book, its scores and its log.

    Raises BookError, ReadError, PlaceError and LogError; errors begin with their entry.
    """
    book = read_book(path)
    return Project(book, spots_of(book, settings, tell), read_entries(log_path(path)))


def spots_of(book: Book, settings: Settings, tell: Tell = say_nothing) -> tuple[Spot, ...]:
    """Every spot of a book, in the order of the programme; errors begin with their entry."""
    opened = open_entries(book.parts, settings, tell)
    pieces = pieces_of(opened)
    spots: list[Spot] = []
    for index, entry in enumerate(book.parts):
        with about(entry.where):
            key = key_of(entry)
            music, _ = music_of(opened[key], entry.part, Settings(), pieces.get(key))
        spots += _spots(index, entry, music, settings)
    if not spots:
        raise BookError(
            f"{book.path}: no spot is marked in any part; under a part write [[part.spot]] and "
            'at = "12", or mark the notes with the word "drill" in the score'
        )
    hardest = max((spot.passage.hard for spot in spots), default=0) or 1
    return tuple(
        replace(one, passage=replace(one.passage, hard=one.passage.hard / hardest)) for one in spots
    )


def plan_project(project: Project, today: date, until: date | None = None) -> Plan:
    """The plan from a day on, from what was logged before that day.

    ``until`` is the day of the rehearsal, that of the book unless given; raises UsageError
    where it is over.
    """
    if until is not None and until < today:
        raise UsageError(f"--until {until} is over (today is {today}); give the next date")
    passages = with_history([one.passage for one in project.spots], project.known(today))
    return make_plan(passages, project.book.days.hours, today, until or day_to_meet(project, today))


def day_to_meet(project: Project, today: date) -> date:
    """The day by which all should go: the first rehearsal, or the concert where that is over."""
    days, path = project.book.days, project.book.path
    known = [day for day in (days.first_rehearsal, days.concert) if day is not None]
    if not known:
        raise BookError(
            f"{path}: the day of the first rehearsal is missing; write first-rehearsal = 2027-03-01"
        )
    ahead = [day for day in known if day >= today]
    if not ahead:
        raise BookError(
            f"{path}: first-rehearsal = {known[0]} is over (today is {today}); write the next "
            "date, or give --until"
        )
    return ahead[0]


def pin_ids(project: Project) -> tuple[str, ...]:
    """Write the ids of spots that have none into the book; returns remarks."""
    changes = [
        Change(*spot.place, id=spot.passage.id)
        for spot in project.spots
        if spot.place is not None and not spot.has_id
    ]
    once = {(one.part, one.spot): one for one in reversed(changes)}
    if not once:
        return ()
    return write_changes(project.book.path, list(once.values()))


def write_changes(path: Path, changes: list[Change]) -> tuple[str, ...]:
    """Change the book; a remark and no error where it is written in a way of its own."""
    try:
        text = changed(read_content(path), path, changes)
    except BookError as error:
        return (f"{error} (the log goes by file and place until then)",)
    _write(path, text)
    return ()


def keep_days(path: Path, until: date | None, minutes: int | None) -> None:
    """Write the day of the rehearsal and the minutes of a day into the book.

    Raises BookError where it is written in a way that cannot be changed.
    """
    _write(path, with_days(read_content(path), path, first_rehearsal=until, minutes=minutes))


def _write(path: Path, text: str) -> None:
    check_place(path, force=True)
    write_files([OutputFile(path, text.encode())], force=True)


def spot_named(project: Project, name: str) -> Spot:
    """The spot with an id, or with a number in the order of the programme."""
    for number, spot in enumerate(project.spots, 1):
        if name in (spot.passage.id, str(number)):
            return spot
    known = ", ".join(spot.passage.id for spot in project.spots[:8])
    raise UsageError(f"there is no spot {name!r}; drills ready lists them ({known})")


# --- the spots of a book -----------------------------------------------------------------


def _spots(index: int, entry: BookPart, music: Part, settings: Settings) -> Iterator[Spot]:
    choices = _as_printed(settings.choices)
    paper = paper_for(settings.page, settings.pages)
    if entry.tempo is not None:
        choices = replace(choices, tempo=entry.tempo, tempo_beat=None, tempo_source="the book")
    rewriting = settings.rewriting or entry.rewriting
    seen: set[object] = set()
    for number, spot, wanted in _wanted(music, entry):
        key = (wanted.span.first, wanted.span.end, wanted.span.includes_end)
        if key in seen:
            continue
        seen.add(key)
        with about(wanted.where):
            part = rewritten(music, rewriting, [wanted.span])
            sheet = make_sheet(part, wanted.span, choices, wanted.note, paper=paper)
        place = None if number is None else (index, number)
        passage = passage_of(sheet, spot, entry, _id_of(spot, entry, wanted))
        yield Spot(passage, sheet, part, choices, place, bool(spot and spot.id))


def _as_printed(choices: Choices) -> Choices:
    """What a book prints of a spot, so that its blocks are what is planned, played and logged."""
    return choices if choices.minutes is not None else replace(choices, minutes=USUAL_MINUTES)


def _wanted(music: Part, entry: BookPart) -> Iterator[tuple[int | None, BookSpot | None, Wanted]]:
    """Every stretch with the spot of the book that asks for it."""
    for number, spot in enumerate(entry.spots):
        for wanted in wanted_spots(music, [spot], entry.where):
            yield number, spot, wanted
    if not entry.spots:
        for wanted in wanted_spots(music, [], entry.where):
            yield None, None, wanted


def _id_of(spot: BookSpot | None, entry: BookPart, wanted: Wanted) -> str:
    """The book's id, with the place behind it where a spot has several; else one of our own."""
    own = "\0".join((entry.file, entry.part or "", wanted.span.asked))
    derived = hashlib.sha256(own.encode("utf-8", "surrogatepass")).hexdigest()[:5]
    if spot is None:
        return derived
    several = "," in spot.at
    if not spot.id:
        whole = "\0".join((entry.file, entry.part or "", spot.at))
        base = hashlib.sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()[:5]
    else:
        base = spot.id
    return f"{base}-{derived}" if several else base


def passage_of(sheet: Sheet, spot: BookSpot | None, entry: BookPart, name: str) -> Passage:
    """What the planner needs to know of a sheet: the one place that looks into it.

    Tempos are counted as the sheet's ladder counts.
    """
    top, foot = sheet.ladder.rungs[-1], sheet.ladder.rungs[0]
    goal = top
    if spot is not None and spot.goal is not None:
        goal = top * spot.goal / sheet.tempo.number
        if goal <= foot:
            raise BookError(
                f"{spot.where}: goal = {float(spot.goal):g} is not above the slowest number of "
                "its ladder; write a faster one"
            )
    costs = sorted((move.cost for move in sheet.moves if move is not None), reverse=True)[:3]
    title = sheet.credits.title or entry.file
    words = sheet.words.split(",")[0]
    return Passage(
        id=name,
        name=f"{title}, {words[:1].lower()}{words[1:]}",
        goal=goal,
        foot=foot,
        blocks=blocks_of(sheet),
        weight=entry.weight,
        hard=sum(costs) / len(costs) if costs else 0.0,
        state=State.OPEN if spot is None else spot.state,
    )


def blocks_of(sheet: Sheet) -> tuple[Block, ...]:
    """The headings of a sheet that are practised by tempo."""
    return tuple(
        Block(
            one.number,
            "as it stands" if one.material is Material.SPOT else one.words,
            role,
            one.blocks[0].ladder.rungs[-1] / sheet.ladder.rungs[-1] if one.blocks else Fraction(1),
        )
        for one in headings_of(sheet)
        if (role := _ROLES.get(one.material)) is not None
    )
