"""What the stand's processes do with the list of spots: the book that the command line reads.

The book is read each time it is asked for, so what was edited outside is noticed.  A change says
which version of the book it was made from, and is refused if the book is another by now; while
it is written nobody else of us writes.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Final

from drills.errors import BookError, DrillsError
from drills.jobs.scores_of_folder import entry_of, parts_in
from drills.output.files import OutputFile, check_place, write_files
from drills.places.finding import find_span, split_places
from drills.project.book import BOOK_NAME, BookPart, BookSpot, parse_book, read_content
from drills.project.edit_book import Change, changed
from drills.project.list_book import (
    Entry,
    at_tempo,
    meeting_on,
    moved,
    noted,
    put_in,
    spot_text,
    taken_out,
    with_part,
)
from drills.reading.partlist import choose
from drills.stand.alone import alone
from drills.stand.shelf import id_of, version_of
from drills.stand.tasks import LIMITS, opened, part_of
from drills.stand.telling import Told

_ELSEWHERE: Final = "the list was changed elsewhere; this is how it is now, try again"


def listed() -> Told:
    """The list: every part of the book with its spots in words."""
    content = _content()
    if content is None:
        return {"version": "", "title": "", "parts": []}
    book = parse_book(content, Path(BOOK_NAME))
    return {
        "version": version_of(content),
        "title": book.title,
        "first_rehearsal": None if not book.first_rehearsal else str(book.first_rehearsal),
        "parts": [_part(index, entry) for index, entry in enumerate(book.parts)],
    }


def _part(index: int, entry: BookPart) -> Told:
    told: Told = {
        "index": index,
        "file": entry.file,
        "score": id_of(entry.file),
        "part": entry.part or "",
        "number": 1,
        "tempo": None if entry.tempo is None else float(entry.tempo),
        "problem": "",
        "spots": [_spot(one) for one in entry.spots],
    }
    try:
        if entry.path.parent.resolve() != Path.cwd():
            raise BookError("this score lies outside the folder, and is left to the command line")
        score = opened(entry.path)
        row = choose(score.entries, entry.part, score.where)
        told |= {"number": row.number, "part": row.name}
        part = part_of(entry.path, row.number)
        for spot, one in zip(told["spots"], entry.spots, strict=True):
            places = [find_span(part, place).words for place in split_places(one.at)]
            spot["words"] = "; ".join(places)
    except DrillsError as error:
        told["problem"] = str(error)
    return told


def _spot(one: BookSpot) -> Told:
    goal = None if one.goal is None else float(one.goal)
    return {"at": one.at, "note": one.note, "goal": goal, "words": one.at}


def put(version: str, of: tuple[str, int, str], note: str, goal: int | None = None) -> Told:
    """A spot at the end of its part's list; book and part are made where they are missing.

    ``of``: score, number of the part, and place; ``goal`` is its goal tempo in beats a minute,
    None for that of the part.
    """
    score, number, at = of
    path = Path(score)
    part = part_of(path, number)
    words = find_span(part, at).words
    name = entry_of(opened(path), part).number

    def change(content: bytes | None) -> str:
        found = parts_in([path], Path(), str(name), LIMITS, _quiet)
        if not found.parts:
            raise BookError(found.remarks[0] if found.remarks else "the score cannot be read")
        text, index = with_part(content, Path(BOOK_NAME), found.parts[0])
        spots = parse_book(text.encode(), Path(BOOK_NAME)).parts[index].spots
        if any(one.at == at for one in spots):
            raise BookError(f"{words} is on the list already")
        entry = spot_text(at, words, note, goal)
        return put_in(text, Path(BOOK_NAME), Entry(index, len(spots)), entry)

    return _changed(version, change)


def _quiet(_: str) -> None:
    pass


def take_out(version: str, part: int, spot: int) -> Told:
    """A spot off the list; ``taken`` puts it in again."""
    taken = ""

    def change(content: bytes | None) -> str:
        nonlocal taken
        text, taken = taken_out(_text(content), Path(BOOK_NAME), Entry(part, spot))
        return text

    done = _changed(version, change)
    return {**done, "taken": taken}


def put_back(version: str, part: int, spot: int, taken: str) -> Told:
    """What was taken out, at its place again."""
    return _changed(version, lambda c: put_in(_text(c), Path(BOOK_NAME), Entry(part, spot), taken))


def move(version: str, part: int, spot: int, to: int) -> Told:
    """A spot at another place of the list."""
    return _changed(version, lambda c: moved(_text(c), Path(BOOK_NAME), Entry(part, spot), to))


def note(version: str, part: int, spot: int, words: str) -> Told:
    """The player's own words about a spot."""
    return _changed(version, lambda c: noted(_text(c), Path(BOOK_NAME), Entry(part, spot), words))


def tempo(version: str, part: int, number: int) -> Told:
    """The performing tempo of a part, in beats a minute."""
    return _changed(version, lambda c: at_tempo(_text(c), Path(BOOK_NAME), part, number))


def goal(version: str, part: int, spot: int, number: int) -> Told:
    """The tempo that is aimed at in a spot, in beats a minute."""
    change = Change(part, spot, goal=Fraction(number))
    return _changed(version, lambda c: changed(_text(c).encode(), Path(BOOK_NAME), [change]))


def meeting(version: str, day: str) -> Told:
    """The day of the first rehearsal."""
    try:
        when = date.fromisoformat(day)
    except ValueError as error:
        raise BookError("the day of the rehearsal is a date") from error
    return _changed(version, lambda c: meeting_on(_text(c), Path(BOOK_NAME), when))


def _text(content: bytes | None) -> str:
    if content is None:
        raise BookError(_ELSEWHERE)
    return content.decode("utf-8-sig")


def _content() -> bytes | None:
    return read_content(Path(BOOK_NAME)) if Path(BOOK_NAME).is_file() else None


def _changed(version: str, change: Callable[[bytes | None], str]) -> Told:
    with alone():
        content = _content()
        if version_of(content) != version:
            raise BookError(_ELSEWHERE)
        text = change(content)
        check_place(Path(BOOK_NAME), force=True)
        write_files([OutputFile(Path(BOOK_NAME), text.encode())], force=True)
    return listed()
