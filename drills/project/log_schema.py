"""The tables of the log, and how a log of an earlier version becomes one of today.

Conventions.  ``PRAGMA application_id`` tells our log from any other SQLite file, ``PRAGMA
user_version`` is the number of MIGRATIONS that were carried out.  A migration is one
transaction: all of it, or nothing.  Migrations are only ever added at the end.
Format: SQLite 3 (https://www.sqlite.org/fileformat2.html, sections 1.3.12 and 1.3.15).
"""

from __future__ import annotations

from typing import Final

APPLICATION: Final = 0x64726C67
"""The letters "drlg"."""

MIGRATIONS: Final = (
    (
        """CREATE TABLE passage (
            id TEXT PRIMARY KEY CHECK (id <> ''),
            name TEXT NOT NULL
        ) STRICT, WITHOUT ROWID""",
        """CREATE TABLE entry (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            passage TEXT NOT NULL REFERENCES passage (id) ON UPDATE CASCADE,
            day TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
            at TEXT NOT NULL,
            block TEXT NOT NULL,
            whole INTEGER NOT NULL CHECK (whole IN (0, 1)),
            number TEXT,
            right_in_a_row INTEGER CHECK (right_in_a_row >= 0),
            minutes TEXT,
            word TEXT NOT NULL,
            origin TEXT NOT NULL
        ) STRICT""",
    ),
    (
        "ALTER TABLE entry ADD COLUMN struck TEXT",
        "CREATE INDEX entry_by_passage ON entry (passage, day)",
        """CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
            BEGIN SELECT RAISE (ABORT, 'an entry is struck out, never deleted'); END""",
    ),
)
"""Statements by version, oldest first."""

VERSION: Final = len(MIGRATIONS)
