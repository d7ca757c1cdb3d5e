"""What ``drills done`` and ``drills log`` do, once their options are read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime
from fractions import Fraction
from pathlib import Path

from drills.cli.screen import say
from drills.cli.work import remark
from drills.cli.work_project import When, find_book, opened
from drills.errors import LogError, UsageError
from drills.jobs.day import item_entry, logged, planned_day
from drills.output.files import OutputFile, write_files
from drills.project.entries import Entry, NewEntry
from drills.project.log import Log, log_path, read_entries
from drills.project.log_text import csv_text, json_text, read_rows
from drills.project.session import Item
from drills.project.telling import cut, spoken
from drills.sheet.ladder import shown


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
    _, day = planned_day(project, when.day, when.until)
    items = {one.number: one for one in day.items} if day else {}
    if item is None:
        entries = list(_asked(list(items.values()), when.day))
    else:
        if item not in items:
            raise UsageError(
                f"{spoken(when.day)} has {len(items)} items, there is no item {item}; drills today "
                "lists them"
            )
        entry = item_entry(
            items[item], when.day, number=number, right=right, minutes=minutes, word=word
        )
        entries = [entry]
    if not entries:
        say("nothing was logged")
        return
    ids, remarks = logged(project, entries)
    remark(remarks)
    for one, said in zip(ids, entries, strict=True):
        reached = "" if said.number is None else f", {shown(said.number)}"
        say(f"{one}: {said.name}{reached}")


def _asked(items: Sequence[Item], day: date) -> Iterator[NewEntry]:
    """Ask item by item; an empty answer passes one over, a full stop ends."""
    import click  # noqa: PLC0415 - only where somebody is asked

    for item in items:
        what = f"{item.number}. {cut(item.passage.name, 40)}: {item.block.words}, number reached"
        answer = click.prompt(what, default="", show_default=False).strip()
        if answer == ".":
            return
        if answer:
            words = answer.split(maxsplit=2)
            yield item_entry(
                item,
                day,
                number=read_number(words[0]),
                right=int(words[1]) if len(words) > 1 and words[1].isdecimal() else None,
                word=words[2] if len(words) > 2 else "",
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
