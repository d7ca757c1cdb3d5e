"""What a book and a log must be, whatever happened while they were written."""

from __future__ import annotations

import contextlib
import sqlite3
from pathlib import Path

from drills.project.book import read_book
from drills.project.log import log_path, read_entries


def whole(folder: Path, spots: int, entries: int) -> None:
    """The book is one that its reader takes, with every spot of its first part once; SQLite finds
    no fault in the log (PRAGMA integrity_check, sqlite.org/pragma.html); and both hold at least
    so much as was said to be in them.
    """
    found = [spot.at for spot in read_book(folder / "book.toml").parts[0].spots]
    assert len(found) == len(set(found)) >= spots
    log = log_path(folder / "book.toml")
    with contextlib.closing(sqlite3.connect(log)) as line:
        assert line.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert len(read_entries(log)) >= entries
