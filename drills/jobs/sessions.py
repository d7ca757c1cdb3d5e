"""One session of the plan -> its page for the stand and its sound; the calendar of all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Final

from drills.errors import UsageError
from drills.jobs.project import Project, Spot
from drills.jobs.request import Tell
from drills.jobs.sheet_files import Style, pdf_library_meanwhile
from drills.output.audio import AudioSettings, Tags, audio_writer
from drills.output.calendar import Session, calendar_bytes
from drills.output.cues import cue_sheet
from drills.output.engrave import engrave
from drills.output.files import OutputFile, made_from
from drills.output.lilypond.document import SessionRow, session_text
from drills.project.plan import Plan, PlannedDay
from drills.project.rules import MOST_A_DAY
from drills.project.session import Item
from drills.project.telling import day_heading, day_lines, day_minutes, numbers, spoken
from drills.sheets.excerpt import setting_at
from drills.sheets.metronome import spread
from drills.sheets.sheet import CAUTIONS
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.climb import Climb
from drills.sound.practice.headings import Heading, headings_of
from drills.sound.practice.material import Source
from drills.sound.practice.practice import Practice, make_practice
from drills.sound.session import Announced, SessionSound

MOST_STEPS: Final = 4
"""Tempos of an item's click."""


def mark_of(project: Project, what: str) -> str:
    """Tells a later run the files of a book's days."""
    return made_from(str(project.book.path), what, [])


def title_of(project: Project) -> str:
    """What a book is called."""
    return project.book.title or project.book.path.stem


def file_of(project: Project, spot: Spot) -> str:
    """Where a spot stands: its file, as the book has it, and the part."""
    entry = project.book.parts[spot.place[0]] if spot.place is not None else None
    return f"{entry.file if entry is not None else spot.sheet.source}, {spot.sheet.part}"


def caught_up(minutes: int) -> int:
    """Half as many minutes again, after days that were missed, within the cap of a day."""
    return min(MOST_A_DAY, minutes + minutes // 2)


def calendar_file(project: Project, plan: Plan, path: Path) -> OutputFile:
    """One event for every day of the plan."""
    days, mark = project.book.days, mark_of(project, "calendar")
    sessions = [
        Session(
            day.day.date,
            max(1, day_minutes(day)),
            f"{title_of(project)}: {len(day.items)} things to play",
            "\n".join(line.strip() for line in day_lines(day)),
        )
        for day in plan.days
        if day.items
    ]
    content = calendar_bytes(
        sessions,
        book=str(project.book.path.name) + project.book.title,
        title=title_of(project),
        at=days.session_time,
        zone=days.time_zone,
        made=plan.today,
        mark=mark,
    )
    return OutputFile(path, content, mark)


def page_file(
    project: Project, day: PlannedDay, until: date, path: Path, style: Style
) -> tuple[OutputFile, int]:
    """The page for the stand as PDF, and how many pages it has; raises EngraveError."""
    mark = mark_of(project, "today")
    left = (until - day.day.date).days
    text = session_text(
        f"{title_of(project)}: {spoken(day.day.date)}",
        f"{day_heading(day)}; {left} day{'s' * (left != 1)} to go. Tick what is done, write the "
        "number that you reached.",
        [row for item in day.items for row in _rows(item)],
        CAUTIONS,
        page=style.page,
        mark=mark,
    )
    with pdf_library_meanwhile():
        engraved = engrave([text], ("pdf",), style.engraving)
    from drills.output.pdf import join_pdf  # noqa: PLC0415 - imported by now

    content = join_pdf(engraved.pdfs, title_of(project), spoken(day.day.date), mark, [])
    return OutputFile(path, content, mark), sum(sum(pages) for pages in engraved.pages)


def _rows(item: Item) -> list[SessionRow]:
    what = f"{item.passage.name}: {item.block.words}"
    rows = [SessionRow(f"{item.number}", what, f"{item.minutes} min", numbers(item))]
    if item.rest:
        rows.append(SessionRow("", "", "", "", f"{item.rest} minutes of rest"))
    return rows


# --- sound ---------------------------------------------------------------------------------


def sound_file(
    project: Project,
    day: PlannedDay,
    path: Path,
    settings: AudioSettings,
    *,
    start: int,
    tell: Tell,
) -> tuple[OutputFile, SessionSound]:
    """The whole session as one sound file, from item ``start`` on, with a chapter for each item.

    Raises UsageError where no item is left, or an item cannot be played.
    """
    items = [item for item in day.items if item.number >= start]
    if not items:
        raise UsageError(f"today has {len(day.items)} items; there is no item {start} to start at")
    parts = []
    for done, item in enumerate(items):
        tell(f"laying out the session ({100 * done // len(items)} %)")
        parts.append(_announced(project.spot(item.passage.id), item))
    sound = SessionSound(tuple(parts))
    mark = mark_of(project, "session")
    tags = Tags(
        title=title_of(project),
        words=spoken(day.day.date),
        mark=mark,
        cues=cue_sheet(sound.cues),
    )
    write = audio_writer(sound, tags, settings)

    def told(to: Path) -> None:
        tell(f"writing {path}")
        write(to)

    return OutputFile(path, told, mark), sound


def _announced(spot: Spot, item: Item) -> Announced:
    """An item's click from its lowest number to its highest, in its minutes."""
    practice = item_practice(spot, item)
    words = f"{item.number}: {item.passage.name}, {item.block.words}, {numbers(item)}"
    return Announced(practice, item.number, words, Fraction(60 * item.rest))


def item_numbers(item: Item) -> tuple[Fraction, ...]:
    """The metronome numbers of an item, ascending: MOST_STEPS of them and its own first."""
    return tuple(dict.fromkeys((item.low, *spread(item.low, item.high, MOST_STEPS))))


def item_practice(spot: Spot, item: Item) -> Practice:
    """The practice of an item; where its block does not fit its minutes, that of the spot."""
    heading = next(one for one in headings_of(spot.sheet) if one.number == item.block.number)
    try:
        return _practice(spot, item, heading)
    except UsageError:
        return _practice(spot, item, headings_of(spot.sheet)[0])


def _practice(spot: Spot, item: Item, heading: Heading) -> Practice:
    sheet, full = spot.sheet, spot.sheet.ladder.rungs[-1]
    beat = setting_at(spot.part, sheet.spot.line[0]).time.beat
    top = sheet.tempo.counted_in(beat)
    slowed = replace(top, number=top.number * item.high / full)
    climb = Climb(
        start=top.number * item.low / full if item.low < item.high else None,
        rungs=MOST_STEPS if item.low < item.high else 1,
        total=Fraction(item.minutes * 60),
    )
    source = Source(replace(heading.alone(sheet), tempo=slowed), spot.part)
    return make_practice(source, PracticeChoices(material=(heading.material,), climb=climb))
