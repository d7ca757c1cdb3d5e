"""The player's book: a TOML file that names the parts of a project and their spots.

    title = "Spring concert"
    first-rehearsal = 2027-03-01

    [[part]]
    file = "march.musicxml"
    part = "Clarinet 2"
    tempo = 120

    [[part.spot]]
    at = "E:3-E:4@1"
    note = "left little finger on C sharp"

Written by hand or by the program, read here into frozen types.  A file's path
counts from the folder of the book, so that a project can be moved as a whole.
A part without spots of its own takes those that are marked in its score.

Every error is a BookError that names the book, the entry and what to do.
Format: TOML 1.0.0 (https://toml.io/en/v1.0.0).
"""

from __future__ import annotations

import datetime
import shlex
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from fractions import Fraction
from pathlib import Path
from typing import Any, Final, NoReturn

from drills.errors import BookError, UsageError
from drills.places.finding import split_places
from drills.reading.bounded import first_bytes
from drills.reading.tomltext import parsed
from drills.rewriting.asked import How, Rewriting, rewriting_for

SCORE_ENDINGS: Final = (".musicxml", ".mxl", ".xml")
"""What files of music are called."""
LARGEST_BOOK: Final = 1_000_000
"""Bytes; a book of thousands of spots is far smaller."""

BOOK_KEYS: Final = ("title", "first-rehearsal", "part")
PART_KEYS: Final = ("file", "part", "tempo", "for", "for-pitch", "spot")
SPOT_KEYS: Final = ("at", "note")

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


@dataclass(frozen=True, slots=True)
class Book:
    """A project: some parts, and some days until the first rehearsal."""

    path: Path
    title: str
    """Empty where the book has none."""
    parts: tuple[BookPart, ...]
    first_rehearsal: datetime.date | None = None


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
    table = _Table(str(path), _toml(content, path), BOOK_KEYS)
    entries = table.tables("part", PART_KEYS)
    if not entries:
        raise BookError(f"{path}: no part is named; {_EXAMPLE}")
    return Book(
        path=path,
        title=table.text("title") or "",
        parts=tuple(_part(entry, path.parent) for entry in entries),
        first_rehearsal=table.date("first-rehearsal"),
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


def _part(table: _Table, folder: Path) -> BookPart:
    file = table.needed("file", 'file = "march.musicxml"')
    return BookPart(
        file=file,
        path=folder / file,
        part=table.name("part"),
        tempo=table.tempo("tempo"),
        spots=tuple(_spot(spot) for spot in table.tables("spot", SPOT_KEYS)),
        where=table.where,
        rewriting=_rewriting(table),
    )


def _rewriting(table: _Table) -> Rewriting | None:
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


def _spot(table: _Table) -> BookSpot:
    at = table.needed("at", 'at = "E:3-E:4@1"')
    if not split_places(at):
        raise BookError(f'{table.where}: at = "{at}" names no place; write at = "E:3-E:4@1"')
    return BookSpot(at, table.text("note") or "", f'{table.where}, at = "{at}"')


class _Table:
    """One table of the file: its values by key and kind, and where it stands, for messages."""

    def __init__(self, where: str, values: Mapping[str, Any], known: tuple[str, ...]) -> None:
        self.where = where
        self._values = values
        for key in values:
            if key not in known:
                near = get_close_matches(key, known, 1, 0.5)
                hint = f"did you mean {near[0]}?" if near else f"known here: {', '.join(known)}"
                raise BookError(f"{where}: there is no key {key!r}; {hint}")

    def text(self, key: str) -> str | None:
        """A text without line breaks around it, or None where the key is missing."""
        value = self._values.get(key)
        if value is not None and not isinstance(value, str):
            self._refuse(key, "is not a text", f'put it in quotes: {key} = "{value}"')
        return value.strip() if value is not None else None

    def needed(self, key: str, example: str) -> str:
        """A text that must be there and not be empty."""
        value = self.text(key)
        if not value:
            raise BookError(f"{self.where}: {key} is missing; write, for example, {example}")
        return value

    def name(self, key: str) -> str | None:
        """A name or a whole number, as text."""
        value = self._values.get(key)
        if isinstance(value, int) and not isinstance(value, bool):
            return str(value)
        return self.text(key) or None

    def tempo(self, key: str) -> Fraction | None:
        """A number of beats a minute."""
        value = self._values.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            self._refuse(key, "is not a number", f"write beats a minute: {key} = 120")
        if not 0 < value <= 1000:
            self._refuse(key, f"of {value} is not a tempo", f"write beats a minute: {key} = 120")
        return Fraction(str(value))

    def date(self, key: str) -> datetime.date | None:
        """A date; of a date with a time, the day."""
        value = self._values.get(key)
        if isinstance(value, datetime.datetime):
            return value.date()
        if value is not None and not isinstance(value, datetime.date):
            self._refuse(key, "is not a date", f"write it without quotes: {key} = 2027-03-01")
        return value

    def tables(self, key: str, known: tuple[str, ...]) -> tuple[_Table, ...]:
        """The tables of a list of tables, each with its own place in messages."""
        value = self._values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(entry, dict) for entry in value):
            heading = "[[part.spot]]" if key == "spot" else f"[[{key}]]"
            self._refuse(key, "is not a list of entries", f"begin each with the line {heading}")
        return tuple(
            _Table(f"{self.where}, {key} {number}", entry, known)
            for number, entry in enumerate(value, 1)
        )

    def _refuse(self, key: str, problem: str, advice: str) -> NoReturn:
        raise BookError(f"{self.where}: {key} {problem}; {advice}")
