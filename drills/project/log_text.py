"""The log as a table (CSV, RFC 4180) and as data (JSON), and back.

Conventions.  One row an entry; numbers are exact ("96", "133/2").  What is read back in is
added as new entries, less those that are in the log already, word for word.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from fractions import Fraction
from typing import Any, Final

from drills.errors import DrillsError, LogError
from drills.project.entries import Entry, NewEntry, Origin

COLUMNS: Final = (
    *("passage", "name", "day", "at", "block", "whole", "number", "right", "minutes", "word"),
    *("origin", "struck"),
)
LARGEST: Final = 20_000_000
"""Characters of a file that is read in."""


def csv_text(entries: Iterable[Entry]) -> str:
    """All entries as a table with a head row."""
    out = io.StringIO(newline="")
    table = csv.DictWriter(out, COLUMNS, lineterminator="\r\n")
    table.writeheader()
    table.writerows(_row(entry) for entry in entries)
    return out.getvalue()


def json_text(entries: Iterable[Entry]) -> str:
    """All entries as data."""
    rows = [_row(entry) for entry in entries]
    return json.dumps({"log": 1, "entries": rows}, indent=1, ensure_ascii=False) + "\n"


def read_rows(text: str, where: str) -> tuple[NewEntry, ...]:
    """The entries of such a text, those struck out left aside; raises LogError."""
    if len(text) > LARGEST:
        raise LogError(f"{where}: larger than {LARGEST} characters; import it in parts")
    rows = _json_rows(text, where) if text.lstrip().startswith("{") else _csv_rows(text, where)
    found = []
    for number, row in enumerate(rows, 1):
        try:
            if not row.get("struck"):
                found.append(_new(row))
        except (DrillsError, ValueError, KeyError, TypeError, ZeroDivisionError) as error:
            raise LogError(
                f"{where}: entry {number} cannot be read ({error}); nothing was imported"
            ) from error
    return tuple(found)


def _row(entry: Entry) -> dict[str, str]:
    said = entry.said
    return {
        "passage": said.passage,
        "name": said.name,
        "day": said.day.isoformat(),
        "at": said.at.isoformat(),
        "block": said.block,
        "whole": "yes" if said.whole else "no",
        "number": "" if said.number is None else str(said.number),
        "right": "" if said.right is None else str(said.right),
        "minutes": "" if said.minutes is None else str(said.minutes),
        "word": said.word,
        "origin": said.origin.value,
        "struck": "" if entry.struck is None else entry.struck.isoformat(),
    }


def _json_rows(text: str, where: str) -> list[Mapping[str, Any]]:
    try:
        data = json.loads(text)
        rows = data["entries"]
        if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
            raise ValueError("no list of entries")
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise LogError(f"{where}: no exported log ({error})") from error
    return rows


def _csv_rows(text: str, where: str) -> list[Mapping[str, Any]]:
    try:
        table = csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True)
        if not {"passage", "day", "at"} <= set(table.fieldnames or ()):
            raise LogError(f"{where}: the head row of an exported log is missing")
        return list(table)
    except csv.Error as error:
        raise LogError(f"{where}: not a table ({error})") from error


def _new(row: Mapping[str, Any]) -> NewEntry:
    def text(key: str) -> str:
        value = row.get(key)
        return "" if value is None else str(value)

    return NewEntry(
        passage=text("passage"),
        name=text("name"),
        day=date.fromisoformat(text("day")),
        at=datetime.fromisoformat(text("at")),
        block=text("block"),
        whole=text("whole") != "no",
        number=Fraction(text("number")) if text("number") else None,
        right=int(text("right")) if text("right") else None,
        minutes=Fraction(text("minutes")) if text("minutes") else None,
        word=text("word"),
        origin=Origin(text("origin") or Origin.IMPORT),
    )
