"""A player's book -> its sheets; a folder of scores -> a first book."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from drills.errors import BookError
from drills.jobs.assumed_tempo import assumed_tempos
from drills.jobs.pieces import EntryKey, Piece, key_of, open_entries, pieces_of
from drills.jobs.request import Settings, Tell, say_nothing
from drills.jobs.scores_of_folder import find_parts
from drills.jobs.sheet_files import SheetSet
from drills.jobs.sheets import music_of, sheets_for
from drills.jobs.wanted_spots import Wanted, about, wanted_spots
from drills.music.score import Part
from drills.output.files import (
    made_from,
    safe_name,
)
from drills.project.book import Book, BookPart, read_content
from drills.project.new_book import extended, new_book
from drills.reading.musicxml import ScoreFile
from drills.sheets.sheet import Sheet

if TYPE_CHECKING:  # imported only where chords are wanted
    from drills.section.sheet_chords import SheetChords


def build_book(book: Book, settings: Settings, tell: Tell = say_nothing) -> SheetSet:
    """A sheet for every spot of every part of a book, in the order of the book.

    A part without spots of its own takes those that its score marks; one with
    neither is left out with a remark.  Errors begin with the entry they are about.
    """
    opened = open_entries(book.parts, settings, tell)
    pieces = pieces_of(opened)
    entries = [_read(entry, opened[key_of(entry)], pieces, settings) for entry in book.parts]
    settings = _sharing(settings, sum(len(one.wanted) for one in entries))
    sheets: list[Sheet] = []
    remarks = [remark for piece in pieces.values() for remark in piece.remarks]
    unmarked: list[BookPart] = []
    for one in entries:
        entry, made = one.entry, _book_sheets(one, settings)
        sheets += made
        remarks += assumed_tempos(entry.file, made, "write tempo = 120 under the part for another")
        if not made:
            unmarked.append(entry)
    if not sheets:
        raise BookError(
            f"{book.path}: no spot is marked in any part; under a part write [[part.spot]] and "
            'at = "12", or mark the notes with the word "drill" in the score'
        )
    return SheetSet(
        sheets=tuple(sheets),
        name=safe_name(book.path.stem),
        mark=made_from(str(book.path), "", [], choices=settings.chosen),
        inputs=(book.path, *(entry.path for entry in book.parts)),
        book_title=book.title or book.path.stem,
        first_rehearsal=book.first_rehearsal,
        remarks=(*remarks, *_left_out(book, unmarked)),
    )


def _left_out(book: Book, parts: Sequence[BookPart]) -> tuple[str, ...]:
    """One line about the parts in which nothing is marked."""
    if len(parts) == 1:
        return (f"{parts[0].where}: no spot is marked in {parts[0].file}; it is left out",)
    names = [part.part or part.file for part in parts]
    more = f" and {len(names) - 5} more" if len(names) > 5 else ""
    told = f"{len(names)} parts have no marked spot and are left out: {', '.join(names[:5])}{more}"
    return (f"{book.path}: {told}",) if names else ()


def build_new_book(
    folder: Path, path: Path, part: str | None, settings: Settings, tell: Tell = say_nothing
) -> tuple[str, tuple[str, ...]]:
    """The text of a book for the scores of a folder, and what was left out of it.

    Beside the spots that the scores mark it has the ``settings.hardest`` hardest of each
    part.  Where a book exists at ``path`` its text is kept and only added to.  Raises
    BookError where the folder has no score or the book cannot be added to.
    """
    found = find_parts(folder, path.parent, part, settings.limits, tell)
    if settings.hardest:
        from drills.jobs.project_spots import with_hardest  # noqa: PLC0415 - only for these
        from drills.jobs.spots import Judging  # noqa: PLC0415 - likewise

        how = Judging(judgement=settings.judgement)
        found = with_hardest(found, how, settings.hardest, tell)
    if path.is_file():
        return extended(read_content(path), path, found.parts), found.remarks
    return new_book(folder.resolve().name, found.parts), found.remarks


@dataclass(frozen=True, slots=True)
class _Entry:
    """A part of a book, read, with the spots that are wanted of it."""

    entry: BookPart
    part: Part
    chords: SheetChords | None
    wanted: tuple[Wanted, ...]


def _sharing(settings: Settings, spots: int) -> Settings:
    """The settings with an evening divided among all spots of the book."""
    if settings.evening is None or not spots or settings.choices.minutes is None:
        return settings
    return replace(settings, choices=replace(settings.choices, minutes=settings.evening / spots))


def _read(
    entry: BookPart, score: ScoreFile, pieces: Mapping[EntryKey, Piece], settings: Settings
) -> _Entry:
    with about(entry.where):
        part, chords = music_of(score, entry.part, settings, pieces.get(key_of(entry)))
    return _Entry(entry, part, chords, wanted_spots(part, entry.spots, entry.where))


def _book_sheets(one: _Entry, settings: Settings) -> tuple[Sheet, ...]:
    entry, choices = one.entry, settings.choices
    if entry.tempo is not None:
        choices = replace(choices, tempo=entry.tempo, tempo_beat=None, tempo_source="the book")
    rewriting = settings.rewriting or entry.rewriting
    own = replace(settings, choices=choices, rewriting=rewriting)
    return sheets_for(one.part, one.wanted, own, one.chords)
