"""The player's book: a TOML file that names the parts of a project and their spots.

    title = "Spring concert"
    first-rehearsal = 2027-03-01
    minutes = 60                         # a day; what else there is of days: book_days.py

    [[part]]
    file = "march.musicxml"
    part = "Clarinet 2"
    tempo = 120
    weight = 2                           # counts twice in the plan

    [[part.spot]]
    at = "E:3-E:4@1"
    note = "left little finger on C sharp"
    goal = 112                           # the performing tempo unless given
    state = "ready"                      # or "left"
    id = "k3f"                           # written by the program, so that "at" may change

Written by hand or by the program, read here into frozen types.  A file's path
counts from the folder of the book, so that a project can be moved as a whole.
A part without spots of its own takes those that are marked in its score.

Every error is a BookError that names the book, the entry and what to do.
Format: TOML 1.0.0 (https://toml.io/en/v1.0.0).
"""

from __future__ import annotations

import datetime
import re
import shlex
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

from drills.errors import BookError, UsageError
from drills.places.finding import split_places
from drills.project.book_days import DAY_KEYS, BookDays, read_days
from drills.project.passages import State
from drills.project.table import Table
from drills.reading.bounded import first_bytes
from drills.reading.given import NOTHING_GIVEN, Given, read_key, read_metre
from drills.reading.tomltext import parsed
from drills.rewriting.asked import How, Rewriting, rewriting_for

BOOK_NAME: Final = "book.toml"
"""What the book of a folder is called unless its player says otherwise."""
_ENDING: Final = ".toml"
SCORE_ENDINGS: Final = (
    *(".musicxml", ".mxl", ".xml"),
    *(".mei", ".krn", ".abc", ".mid", ".midi", ".bars"),
)
"""What files of music are called, MusicXML first; bars typed by hand last."""
LARGEST_BOOK: Final = 1_000_000
"""Bytes; a book of thousands of spots is far smaller."""

BOOK_KEYS: Final = ("title", *DAY_KEYS, "part")
PART_KEYS: Final = (
    *("file", "part", "tempo", "metre", "key", "for", "for-pitch", "weight", "spot"),
)
SPOT_KEYS: Final = ("at", "note", "id", "goal", "state")
MOST_WEIGHT: Final = 100
_ID: Final = re.compile(r"[a-z0-9][a-z0-9-]{0,31}")

_EXAMPLE: Final = 'write, for example, [[part]] and under it file = "march.musicxml"'


@dataclass(frozen=True, slots=True)
class BookSpot:
    """A spot that the player marked."""

    at: str
    """A place as a player says it, "E:3-E:4@1", or several with commas."""
    note: str = ""
    """The player's own words."""
    where: str = field(default="", compare=False)
    """The entry, for messages: 'spring.toml, part 2, spot 3, at = "99"'."""
    id: str = ""
    """Its own short name, by which the log knows it wherever it moves; empty for none yet."""
    goal: Fraction | None = None
    """The tempo to reach, in beats a minute as the part's tempo; the performing tempo if None."""
    state: State = State.OPEN
    """What the player says of it."""


@dataclass(frozen=True, slots=True)
class BookPart:
    """A part of the project."""

    file: str
    """The score, as the book names it."""
    path: Path
    """The same, from the folder of the book."""
    part: str | None = None
    """Name or number of the part in its score; None where there is one only."""
    tempo: Fraction | None = None
    """The performing tempo, in beats a minute of each spot's own beat, greater than 0."""
    spots: tuple[BookSpot, ...] = ()
    where: str = field(default="", compare=False)
    """The entry, for messages: "spring.toml, part 2"."""
    rewriting: Rewriting | None = None
    """For whose instrument it is rewritten; None for the part's own."""
    weight: Fraction = Fraction(1)
    """How much it counts in the plan beside the other parts."""
    given: Given = NOTHING_GIVEN
    """Metre and key, where its file gives none."""


@dataclass(frozen=True, slots=True)
class Book:
    """A project: some parts, and some days until the first rehearsal."""

    path: Path
    title: str
    """Empty where the book has none."""
    parts: tuple[BookPart, ...]
    days: BookDays = field(default_factory=BookDays)
    """When there is time."""

    @property
    def first_rehearsal(self) -> datetime.date | None:
        """The day by which it should go."""
        return self.days.first_rehearsal


def is_book(path: Path) -> bool:
    """True for a file that is called as books are."""
    return path.suffix.lower() == _ENDING


def read_book(path: Path) -> Book:
    """Read a book file; raises BookError."""
    return parse_book(read_content(path), path)


def read_content(path: Path) -> bytes:
    """The bytes of a book file; raises BookError where it cannot be one."""
    try:
        content = first_bytes(path, LARGEST_BOOK + 1)
    except OSError as error:
        reason = error.strerror or str(error)
        raise BookError(f"{path}: cannot be opened ({reason.lower()}); check the name") from error
    if len(content) > LARGEST_BOOK:
        raise BookError(
            f"{path}: larger than {LARGEST_BOOK} bytes, so hardly a book; check the name"
        )
    return content


def parse_book(content: bytes, path: Path) -> Book:
    """Read the content of a book file that stands, or will stand, at ``path``."""
    table = Table(str(path), _toml(content, path), BOOK_KEYS)
    entries = table.tables("part", PART_KEYS)
    if not entries:
        raise BookError(f"{path}: no part is named; {_EXAMPLE}")
    parts = tuple(_part(entry, path.parent) for entry in entries)
    _check_ids(parts)
    return Book(
        path=path,
        title=table.text("title") or "",
        parts=parts,
        days=read_days(table),
    )


def _toml(content: bytes, path: Path) -> dict[str, Any]:
    try:
        return parsed(content.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        if _is_score(content, path):
            raise _not_a_book(path) from error
        line = content[: error.start].count(b"\n") + 1
        raise BookError(f"{path}, line {line}: not UTF-8; save the book as UTF-8 text") from error
    except tomllib.TOMLDecodeError as error:
        if _is_score(content, path):
            raise _not_a_book(path) from error
        raise BookError(f"{path}: {_plain(str(error))}") from error


def _is_score(content: bytes, path: Path) -> bool:
    """True for a file that is named or begins as a score: MusicXML, or a compressed one."""
    begins = content.lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n").startswith((b"<", b"PK\x03\x04"))
    return begins or path.suffix.lower() in SCORE_ENDINGS


def _not_a_book(path: Path) -> BookError:
    return BookError(
        f"{path}: this is a score, not a book; drills sheet {shlex.quote(str(path))} --at 12 makes "
        "a page of it, and drills book --new FOLDER a book of the scores in a folder"
    )


def _plain(message: str) -> str:
    """TOML's own message with its place first: "line 3: ..."."""
    text, _, place = message.rpartition(" (at ")
    where = place.rstrip(")").removesuffix(" of document").split(", column")[0]
    return f"{where}: {text[:1].lower()}{text[1:]}" if text else message


def _part(table: Table, folder: Path) -> BookPart:
    file = table.needed("file", 'file = "march.musicxml"')
    return BookPart(
        file=file,
        path=folder / file,
        part=table.name("part"),
        tempo=table.tempo("tempo"),
        spots=tuple(_spot(spot) for spot in table.tables("spot", SPOT_KEYS)),
        where=table.where,
        rewriting=_rewriting(table),
        weight=table.number("weight", MOST_WEIGHT) or Fraction(1),
        given=_given(table),
    )


def _given(table: Table) -> Given:
    metre, key = table.text("metre"), table.text("key")
    try:
        return Given(read_metre(metre) if metre else None, read_key(key) if key else None)
    except UsageError as error:
        raise BookError(f"{table.where}: {error}") from error


def _rewriting(table: Table) -> Rewriting | None:
    """What ``for`` and ``for-pitch`` ask for."""
    name, pitch = table.text("for"), table.text("for-pitch")
    if not name:
        if pitch:
            raise BookError(f'{table.where}: for-pitch goes with for, such as for = "horn"')
        return None
    if pitch is not None and pitch not in set(How):
        known = " or ".join(f'"{how.value}"' for how in How)
        raise BookError(f'{table.where}: for-pitch = "{pitch}" is not known; write {known}')
    try:
        return rewriting_for(name, How(pitch or How.SOUNDING))
    except UsageError as error:
        raise BookError(f"{table.where}: for = {error}") from error


def _spot(table: Table) -> BookSpot:
    at = table.needed("at", 'at = "E:3-E:4@1"')
    if not split_places(at):
        raise BookError(f'{table.where}: at = "{at}" names no place; write at = "E:3-E:4@1"')
    return BookSpot(
        at,
        table.text("note") or "",
        f'{table.where}, at = "{at}"',
        _own_id(table),
        table.tempo("goal"),
        _state(table),
    )


def _own_id(table: Table) -> str:
    name = table.text("id") or ""
    if name and not _ID.fullmatch(name):
        table.refuse("id", f'= "{name}" is no short name', "write a few small letters and figures")
    return name


def _state(table: Table) -> State:
    state = table.text("state") or State.OPEN
    if state not in set(State):
        known = ", ".join(f'"{one.value}"' for one in State)
        table.refuse("state", f'= "{state}" is not known', f"write one of {known}")
    return State(state)


def _check_ids(parts: Sequence[BookPart]) -> None:
    """The log knows a spot by its id, so no two may share one."""
    seen: dict[str, str] = {}
    for spot in (spot for part in parts for spot in part.spots if spot.id):
        if spot.id in seen:
            raise BookError(
                f'{spot.where}: id = "{spot.id}" is that of another spot too ({seen[spot.id]}); '
                "take the line away from one of them"
            )
        seen[spot.id] = spot.where
