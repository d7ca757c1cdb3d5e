"""A first book for a folder of scores, and what is new in it for a book that exists.

The player goes on writing in the file, so it is made to be read: a few lines
on how to go on, one entry per part, the spots that the score marks with their
place in words.  Where a book exists already, its text stays as it is, comments
and order included, and only parts and spots that it does not name are put in.

Method: lines are inserted into the player's own text, each spot after the last
entry of its part, and the outcome is read again and compared with what it must
say.  (A library that edits TOML moves a comment that stands before an entry.)
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from drills.errors import BookError
from drills.project.book import Book, BookPart, BookSpot, parse_book

_HOW: Final = """\
# The parts of a project and their hard spots, for "drills book".  Change, add and
# take away as you like: your own lines stay when the file is brought up to date.
#
# A spot is written under its part:
#
#     [[part.spot]]
#     at = "E:3-E:4@1"
#     note = "left little finger on C sharp"
#
# at says where: "12" is bar 12, "12@3" its third beat, "12-14" three bars, "E" the
# bar of rehearsal mark E, "E:3" the third bar of E.  note is printed on the sheet.
# A part without spots here takes those marked in its score with the word "drill".
# "Marked in the score" and "Proposed as hard" remember what was put in: a spot that you
# take out stays out.
"""
_REHEARSAL: Final = """\
# The day of the first rehearsal; take the # away and set your own.
# first-rehearsal = 2027-03-01
"""
_TEMPO: Final = """\
# The score gives no tempo; take the # away and set the performing tempo, in
# beats a minute.
# tempo = 120
"""
_MARKED: Final = "# Marked in the score: "
_PROPOSED: Final = "# Proposed as hard: "
"""A spot in these comments was put into the book once and is not put in again."""
_PART_LINE: Final = re.compile(r"\s*\[\[\s*part\s*\]\]")


@dataclass(frozen=True, slots=True)
class FoundSpot:
    """A spot that a score marks, or that is proposed as hard."""

    at: str
    """A place as the book writes it."""
    words: str
    """The same for reading."""
    note: str = ""
    """Why it is proposed; empty for one that the score marks."""

    @property
    def comment(self) -> str:
        """The comment that remembers it."""
        return _PROPOSED if self.note else _MARKED


@dataclass(frozen=True, slots=True)
class FoundPart:
    """A part of a score in the folder."""

    file: str
    """The score, from the folder of the book, with forward slashes."""
    part: str | None
    """The part's name; None where the score has one part only."""
    spots: tuple[FoundSpot, ...] = ()
    has_tempo: bool = True
    """False where the score gives no number."""
    number: int = 1
    """The part's place in its score, from 1: a book may name it so."""
    others: tuple[str, ...] = ()
    """Parts of the same score that are left out of the book, named in a comment."""
    name: str = ""
    """What the part is called, for a comment where the book names it by its number."""


def new_book(title: str, found: Sequence[FoundPart]) -> str:
    """The text of a first book."""
    head = f"{_HOW}\ntitle = {quoted(title)}\n{_REHEARSAL}"
    return "\n".join((head, *(_part_text(part) for part in found)))


def extended(content: bytes, path: Path, found: Sequence[FoundPart], *, again: bool = False) -> str:
    """The player's own text with the parts and spots that it does not name yet.

    With ``again`` also those that were in it once and were taken out.  Raises BookError
    where it is no book, or is written in a way into which lines cannot be put.
    """
    book = parse_book(content, path)
    text = content.decode("utf-8-sig")
    ends = "\r\n" if "\r\n" in text else "\n"
    lines = text.replace("\r\n", "\n").rstrip("\n").split("\n")
    blocks = [n for n, line in enumerate(lines) if _PART_LINE.match(line)]
    entries: list[BookPart] = list(book.parts)
    tail: list[str] = []
    for part in found:
        known = _entry_of(book, part)
        if known is None:
            entries.append(_entry(part, path))
            tail += ["", *_part_text(part).rstrip("\n").split("\n")]
            continue
        can_insert = len(blocks) == len(book.parts)
        there = {own.at for own in book.parts[known].spots}
        for comment in (_MARKED, _PROPOSED):
            line = _remembered(lines, blocks, known, comment) if can_insert else None
            if line is not None and not again:
                there.update(_offered(lines[line], comment) or ())
            own = [spot for spot in part.spots if spot.comment == comment]
            new = [spot for spot in own if spot.at not in there]
            entry = entries[known]
            added = tuple(BookSpot(spot.at, spot.note) for spot in new)
            entries[known] = replace(entry, spots=(*entry.spots, *added))
            if new and can_insert:
                if line is not None:
                    lines[line] += _also_offered(lines[line], comment, new)
                remembering = [] if line is not None else ["", _offered_line(own).rstrip("\n")]
                texts = "".join(map(_spot_text, new)).rstrip("\n").split("\n")
                _insert(lines, blocks, known, [*remembering, *texts])
    outcome = "\n".join((*lines, *tail, ""))
    _check(outcome, path, entries)
    return outcome.replace("\n", ends)


def _also_offered(line: str, comment: str, new: Sequence[FoundSpot]) -> str:
    """What a remembering line must say too."""
    known = _offered(line, comment) or []
    return "".join(f", {quoted(spot.at)}" for spot in new if spot.at not in known)


def quoted(text: str) -> str:
    """A TOML basic string: the escapes of JSON, and DEL."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")


def _part_text(part: FoundPart) -> str:
    text = f"[[part]]\nfile = {quoted(part.file)}\n"
    if part.part is not None:
        called = _printable(part.name) if part.name != part.part else ""
        text += f"part = {quoted(part.part)}{f'  # {called}' if called else ''}\n"
    if part.others:
        names = ", ".join(quoted(name) for name in part.others)
        text += f"# Also in this score: {names}\n"
    if not part.has_tempo:
        text += _TEMPO
    for comment in (_MARKED, _PROPOSED):
        own = [spot for spot in part.spots if spot.comment == comment]
        text += _offered_line(own) if own else ""
    return text + "".join(_spot_text(spot) for spot in part.spots)


def _spot_text(spot: FoundSpot) -> str:
    words = _printable(spot.words)
    note = f"note = {quoted(spot.note)}\n" if spot.note else ""
    return f"\n[[part.spot]]\nat = {quoted(spot.at)}{f'  # {words}' if words else ''}\n{note}"


def _printable(text: str) -> str:
    """``text`` without what TOML forbids in a comment."""
    return "".join(c for c in text if c.isprintable())


def _offered_line(spots: Sequence[FoundSpot]) -> str:
    """The comment that remembers which spots the book was given; all are of one kind."""
    return f"{spots[0].comment}{', '.join(quoted(spot.at) for spot in spots)}\n"


def _offered(line: str, comment: str) -> list[str] | None:
    """The spots in such a comment; None for any other line."""
    try:
        return [str(at) for at in json.loads(f"[{line.removeprefix(comment)}]")]
    except ValueError:
        return None


def _entry_of(book: Book, part: FoundPart) -> int | None:
    """Index of the entry for the same file and part, if the book has one."""
    for index, entry in enumerate(book.parts):
        names = (None, part.part, str(part.number))
        if entry.path == book.path.parent / part.file and entry.part in names:
            return index
    return None


def _entry(part: FoundPart, path: Path) -> BookPart:
    spots = tuple(BookSpot(spot.at, spot.note) for spot in part.spots)
    return BookPart(part.file, path.parent / part.file, part.part, None, spots)


def _remembered(lines: Sequence[str], blocks: Sequence[int], part: int, comment: str) -> int | None:
    """Index of the line in a part's block that remembers its spots, if it has one."""
    end = blocks[part + 1] if part + 1 < len(blocks) else len(lines)
    found = (n for n in range(blocks[part], end) if lines[n].startswith(comment))
    return next(found, None)


def _insert(lines: list[str], blocks: list[int], part: int, new: Iterable[str]) -> None:
    """Put lines after the last entry of a part, before what is said about the next."""
    end = blocks[part + 1] if part + 1 < len(blocks) else len(lines)
    while not lines[end - 1].strip() or lines[end - 1].lstrip().startswith("#"):
        end -= 1
    added = list(new)
    lines[end:end] = added
    for later in range(part + 1, len(blocks)):
        blocks[later] += len(added)


def _check(text: str, path: Path, entries: Sequence[BookPart]) -> None:
    """Make sure that the new text says what it must and nothing else."""
    try:
        outcome = parse_book(text.encode(), path)
    except BookError:
        outcome = None
    if outcome is None or outcome.parts != tuple(entries):
        raise BookError(
            f"{path}: written in a way that lines cannot be put into; "
            "write each part under [[part]] and each spot under [[part.spot]]"
        )
