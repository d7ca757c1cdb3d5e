"""Change values in a player's book and leave all else as it stands: comments, order, spacing.

Problem.  TOML has no rule to which entry a comment belongs.  The library tomlkit counts all
that stands before the next heading, blank lines and the comment that introduces that heading
included, as the end of the table above; a key or a table that is added goes after it, so the
comment seems to have moved away from its entry.  Method.  The end of a table, from its last
key on, is taken off first, the key is added, and the end is put back.  (New spots and parts are
inserted as lines by new_book.py, for the same reason.)  The outcome is read again and
compared with what it must say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

import tomlkit
from tomlkit.exceptions import TOMLKitError

from drills.errors import BookError
from drills.project.book import Book, BookSpot, parse_book
from drills.project.passages import State

KEYS: Final = ("id", "goal", "state")
"""What can be changed in the entry of a spot."""


@dataclass(frozen=True, slots=True)
class Change:
    """New values for one spot; None leaves what is there."""

    part: int
    """Index of the part in the book."""
    spot: int
    """Index of the spot in the part."""
    id: str | None = None
    goal: Fraction | None = None
    state: State | None = None

    @property
    def values(self) -> Mapping[str, str | int | float]:
        """The keys to write."""
        found: dict[str, str | int | float] = {}
        if self.id is not None:
            found["id"] = self.id
        if self.goal is not None:
            whole = self.goal.denominator == 1
            found["goal"] = int(self.goal) if whole else float(self.goal)
        if self.state is not None:
            found["state"] = self.state.value
        return found


def changed(content: bytes, path: Path, changes: list[Change]) -> str:
    """The text of a book with some values changed; raises BookError where that cannot be done."""
    book = parse_book(content, path)
    text = content.decode("utf-8-sig")
    try:
        document: Any = tomlkit.parse(text)  # its tables and arrays are told apart at run time
        for change in changes:
            _set(document["part"][change.part]["spot"][change.spot], change.values)
        outcome = tomlkit.dumps(document)
    except (TOMLKitError, KeyError, IndexError, TypeError, AttributeError) as error:
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}") from error
    _check(outcome, path, book, changes)
    return outcome


_ADVICE: Final = "write each part under [[part]] and each spot under [[part.spot]]"


def with_days(
    content: bytes, path: Path, *, first_rehearsal: date | None = None, minutes: int | None = None
) -> str:
    """The text of a book with another first rehearsal, other minutes of a day.

    Keys that are new stand after the last one before the first heading; None leaves what is
    there.  Raises BookError where that cannot be done.
    """
    book, text = parse_book(content, path), content.decode("utf-8-sig")
    values: dict[str, date | int] = {}
    if first_rehearsal is not None:
        values["first-rehearsal"] = first_rehearsal
    if minutes is not None:
        values["minutes"] = minutes
    try:
        document: Any = tomlkit.parse(text)
        known = set(document)
        for key in values.keys() & known:
            document[key] = values[key]
        head, rest = _cut_at_headings(document)
    except (TOMLKitError, TypeError, AttributeError) as error:
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}") from error
    end = "\r\n" if "\r\n" in text else "\n"
    new = "".join(f"{key} = {value}{end}" for key, value in values.items() if key not in document)
    gap = end if new and not head and rest else ""
    outcome = f"{head}{end if new and head and not head.endswith(end) else ''}{new}{gap}{rest}"
    hours = book.days.hours if minutes is None else replace(book.days.hours, minutes=minutes)
    rehearsal = first_rehearsal or book.days.first_rehearsal
    wanted = replace(book.days, first_rehearsal=rehearsal, hours=hours)
    found = _read_again(outcome, path)
    if found is None or (found.days, found.parts) != (wanted, book.parts):
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}")
    return outcome


def _cut_at_headings(document: Any) -> tuple[str, str]:  # noqa: ANN401 - untyped
    """A book up to the end of its last key before the first heading, and the rest."""
    last = 0
    for place, (key, item) in enumerate(document.body, 1):
        if isinstance(item, tomlkit.items.Table | tomlkit.items.AoT):
            break
        if key is not None:
            last = place
    whole = tomlkit.dumps(document)
    del document.body[last:]
    head = tomlkit.dumps(document)
    return head, whole.removeprefix(head)


def _set(table: Any, values: Mapping[str, str | int | float]) -> None:  # noqa: ANN401 - untyped
    """Put values into a table of tomlkit, new ones after its last key."""
    new = {}
    for key, value in values.items():
        if key in table:
            table[key] = value
        else:
            new[key] = value
    if not new:
        return
    if not hasattr(table.value, "body") or isinstance(table, tomlkit.items.InlineTable):
        for key, value in new.items():
            table[key] = value
        return
    body = table.value.body
    end: list[Any] = []
    while body and body[-1][0] is None:
        end.insert(0, body.pop())
    for key, value in new.items():
        table.add(key, value)
    body.extend(end)


def _check(text: str, path: Path, book: Book, changes: list[Change]) -> None:
    parts = [list(part.spots) for part in book.parts]
    for change in changes:
        old = parts[change.part][change.spot]
        parts[change.part][change.spot] = _with(old, change)
    wanted = tuple(
        replace(part, spots=tuple(own)) for part, own in zip(book.parts, parts, strict=True)
    )
    outcome = _read_again(text, path)
    if outcome is None or outcome.parts != wanted:
        raise BookError(f"{path}: written in a way that cannot be changed; {_ADVICE}")


def _read_again(text: str, path: Path) -> Book | None:
    """The book that a text says; None where it says none."""
    try:
        return parse_book(text.encode(), path)
    except BookError:
        return None


def _with(spot: BookSpot, change: Change) -> BookSpot:
    return replace(
        spot,
        id=spot.id if change.id is None else change.id,
        goal=spot.goal if change.goal is None else change.goal,
        state=spot.state if change.state is None else change.state,
    )
