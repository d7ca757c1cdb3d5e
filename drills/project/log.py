"""The log: what was played when, in a SQLite file beside the book.

Problem.  A log that loses an evening is worse than none: a laptop is closed in the middle
of a write, two windows write at once, the file is copied half.  Method.  SQLite with a
write-ahead log and full synchronisation: an entry is either in the file or was never told
to be; one writer at a time, the next one waits.  Nothing is ever deleted: an entry can be
struck out, and a trigger refuses the rest.

Conventions.  An entry's day is the player's own day; ``at`` is the instant with its
distance from UTC, so travelling and daylight saving move no entry to another day.  Entries
stand in the order of their days, then in the order in which they were made, whatever the
clock said.  Every sqlite3 error is translated here, in ``_told``.
Format: log_schema.py.  SQLite's own words on what survives:
https://www.sqlite.org/atomiccommit.html and https://www.sqlite.org/wal.html.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from fractions import Fraction
from pathlib import Path
from types import TracebackType
from typing import Final, Self
from urllib.parse import quote

from drills.errors import LogError
from drills.project.entries import Entry, NewEntry, Origin
from drills.project.log_schema import APPLICATION, MIGRATIONS, VERSION

ENDING: Final = ".log.sqlite"
PATIENCE: Final = 5.0
"""Seconds that a writer waits for another."""

_COLUMNS: Final = (
    "entry.id, passage, name, day, at, block, whole, number, right_in_a_row, minutes, word, "
    "origin, struck"
)


def log_path(book: Path) -> Path:
    """Where the log of a book lies: beside it."""
    return book.with_name(f"{book.stem}{ENDING}")


class Log:
    """An open log; used as a context.  Every method raises LogError."""

    def __init__(self, path: Path, *, patience: float = PATIENCE, writing: bool = True) -> None:
        self.path = path
        self._writing = writing
        with _told(path):
            self._connection = _connected(path, patience, writing=writing)
        try:
            with _told(path):
                self._prepare()
        except BaseException:
            self._connection.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._connection.close()

    def add(self, entries: Iterable[NewEntry]) -> tuple[int, ...]:
        """Put entries into the log, all or none; returns their ids."""
        with self._transaction() as run:
            return tuple(_added(run, entry) for entry in entries)

    def strike(self, ids: Sequence[int], at: datetime) -> None:
        """Strike entries out; LogError for one that is not there or is struck already."""
        with self._transaction() as run:
            for number in ids:
                row = run.execute("SELECT struck FROM entry WHERE id = ?", (number,)).fetchone()
                if row is None:
                    raise LogError(
                        f"{self.path}: there is no entry {number}; drills log lists them"
                    )
                if row[0] is not None:
                    raise LogError(f"{self.path}: entry {number} is struck out already")
                run.execute("UPDATE entry SET struck = ? WHERE id = ?", (at.isoformat(), number))

    def entries(self, *, struck: bool = False) -> tuple[Entry, ...]:
        """All entries by day, then as they were made; with ``struck`` those struck out too."""
        where = "" if struck else "WHERE struck IS NULL"
        with _told(self.path):
            rows = self._connection.execute(
                f"SELECT {_COLUMNS} FROM entry JOIN passage ON passage.id = passage "
                f"{where} ORDER BY day, entry.id"
            ).fetchall()
        try:
            return tuple(_entry(row) for row in rows)
        except (ValueError, TypeError) as error:
            raise LogError(f"{self.path}: an entry cannot be read ({error}); {_RESCUE}") from error

    def latest(self) -> datetime | None:
        """The latest instant of any entry, for a clock that was set back."""
        with _told(self.path):
            rows = self._connection.execute("SELECT at FROM entry").fetchall()
        return max((datetime.fromisoformat(at) for (at,) in rows), default=None)

    @contextlib.contextmanager
    def _transaction(self) -> Iterator[sqlite3.Connection]:
        """One writer at a time: the lock is taken before anything is read."""
        if not self._writing:
            raise LogError(f"{self.path}: opened for reading only")
        with _told(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield self._connection
                self._connection.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.Error):
                    self._connection.execute("ROLLBACK")
                raise

    def _prepare(self) -> None:
        run = self._connection
        application = int(_pragma(run, "application_id"))
        version = int(_pragma(run, "user_version"))
        tables = run.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
        if application != APPLICATION and (application or version or tables):
            raise LogError(f"{self.path}: this is another program's database, not a log of drills")
        if version > VERSION:
            raise LogError(
                f"{self.path}: written by a newer drills (version {version} of the log, this one "
                f"knows {VERSION}); update drills"
            )
        run.execute("PRAGMA foreign_keys = ON")
        if not self._writing:
            return
        if _pragma(run, "journal_mode") != "wal":
            run.execute("PRAGMA journal_mode = WAL")
        run.execute("PRAGMA synchronous = FULL")
        if version < VERSION:
            self._migrate()

    def _migrate(self) -> None:
        """Bring the tables up to date, one version after another."""
        with self._transaction() as run:
            version = _pragma(run, "user_version")  # another writer may have been faster
            run.execute(f"PRAGMA application_id = {APPLICATION}")
            for number in range(int(version), VERSION):
                for statement in MIGRATIONS[number]:
                    run.execute(statement)
                run.execute(f"PRAGMA user_version = {number + 1}")


def read_entries(path: Path, *, struck: bool = False) -> tuple[Entry, ...]:
    """The entries of a log, none where there is no file yet; nothing is written.

    A log of an earlier version is brought up to date where the folder allows it.
    """
    if not path.exists():
        return ()
    writable = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
    with Log(path, writing=writable) as log:
        return log.entries(struck=struck)


def _connected(path: Path, patience: float, *, writing: bool) -> sqlite3.Connection:
    if writing:
        return sqlite3.connect(path, timeout=patience, isolation_level=None)
    waiting = path.with_name(f"{path.name}-wal")
    settled = not waiting.exists() or waiting.stat().st_size == 0
    as_is = "&immutable=1" if settled else ""  # beside a write-ahead log it would be passed over
    address = f"file:{quote(str(path.resolve()))}?mode=ro{as_is}"
    return sqlite3.connect(address, timeout=patience, isolation_level=None, uri=True)


def _pragma(run: sqlite3.Connection, name: str) -> int | str:
    value: int | str = run.execute(f"PRAGMA {name}").fetchone()[0]
    return value


def _added(run: sqlite3.Connection, new: NewEntry) -> int:
    run.execute(
        "INSERT INTO passage (id, name) VALUES (?, ?) "
        "ON CONFLICT (id) DO UPDATE SET name = excluded.name",
        (new.passage, new.name),
    )
    cursor = run.execute(
        "INSERT INTO entry (passage, day, at, block, whole, number, right_in_a_row, minutes, word, "
        "origin) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            new.passage,
            new.day.isoformat(),
            new.at.isoformat(),
            new.block,
            int(new.whole),
            None if new.number is None else str(new.number),
            new.right,
            None if new.minutes is None else str(new.minutes),
            new.word,
            new.origin.value,
        ),
    )
    return int(cursor.lastrowid or 0)


def _entry(row: Sequence[object]) -> Entry:
    number, passage, name, day, at, block, whole, reached, right, minutes, word, origin, struck = (
        row
    )
    return Entry(
        int(str(number)),
        NewEntry(
            str(passage),
            str(name),
            date.fromisoformat(str(day)),
            datetime.fromisoformat(str(at)),
            str(block),
            bool(whole),
            None if reached is None else Fraction(str(reached)),
            None if right is None else int(str(right)),
            None if minutes is None else Fraction(str(minutes)),
            str(word),
            Origin(str(origin)),
        ),
        None if struck is None else datetime.fromisoformat(str(struck)),
    )


_RESCUE: Final = "keep a copy, and put back your last backup or an export (drills log --import)"


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    """Translate what SQLite says, here and nowhere else."""
    try:
        yield
    except sqlite3.Error as error:
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF
        says = _SAYS.get(code, f"cannot be used ({str(error).lower()}); {_RESCUE}")
        raise LogError(f"{path}: {says}") from error
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise LogError(f"{path}: cannot be opened ({reason}); check the folder") from error


_SAYS: Final = {
    sqlite3.SQLITE_BUSY: "another drills is writing; wait until it is done, nothing was changed",
    sqlite3.SQLITE_LOCKED: "another drills is writing; wait until it is done, nothing was changed",
    sqlite3.SQLITE_READONLY: "the log cannot be written to; move book and log to a folder of yours",
    sqlite3.SQLITE_CANTOPEN: "cannot be opened; check that the folder is there and can be written",
    sqlite3.SQLITE_FULL: "the disk is full; make room, nothing was changed",
    sqlite3.SQLITE_NOTADB: f"this is no log of drills, and no database at all; {_RESCUE}",
    sqlite3.SQLITE_CORRUPT: f"the file is damaged; {_RESCUE}",
    sqlite3.SQLITE_IOERR: "the disk refused to read or write; nothing was changed",
}
"""What SQLite's result codes mean to a player (https://www.sqlite.org/rescode.html)."""
