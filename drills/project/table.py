"""One table of a book file: its values by key and kind, with errors that name their place."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from difflib import get_close_matches
from fractions import Fraction
from typing import Any, NoReturn

from drills.errors import BookError


class Table:
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
            self.refuse(key, "is not a text", f'put it in quotes: {key} = "{value}"')
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
            self.refuse(key, "is not a number", f"write beats a minute: {key} = 120")
        if not 0 < value <= 1000:
            self.refuse(key, f"of {value} is not a tempo", f"write beats a minute: {key} = 120")
        return Fraction(str(value))

    def date(self, key: str) -> datetime.date | None:
        """A date; of a date with a time, the day."""
        value = self._values.get(key)
        if isinstance(value, datetime.datetime):
            return value.date()
        if value is not None and not isinstance(value, datetime.date):
            self.refuse(key, "is not a date", f"write it without quotes: {key} = 2027-03-01")
        return value

    def tables(self, key: str, known: tuple[str, ...]) -> tuple[Table, ...]:
        """The tables of a list of tables, each with its own place in messages."""
        value = self._values.get(key, [])
        if not isinstance(value, list) or not all(isinstance(entry, dict) for entry in value):
            heading = "[[part.spot]]" if key == "spot" else f"[[{key}]]"
            self.refuse(key, "is not a list of entries", f"begin each with the line {heading}")
        return tuple(
            Table(f"{self.where}, {key} {number}", entry, known)
            for number, entry in enumerate(value, 1)
        )

    def whole(self, key: str, low: int, high: int) -> int | None:
        """A whole number within bounds."""
        value = self._values.get(key)
        if value is not None and (isinstance(value, bool) or not isinstance(value, int)):
            self.refuse(key, "is not a whole number", f"write {key} = {low + 1}")
        if value is not None and not low <= value <= high:
            self.refuse(key, f"of {value} is out of bounds", f"write {low} to {high}")
        return value

    def number(self, key: str, most: int) -> Fraction | None:
        """A number above 0."""
        value = self._values.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value <= most:
            self.refuse(key, "is no number that makes sense", f"write more than 0, up to {most}")
        return Fraction(str(value))

    def raw(self, key: str) -> object:
        """Whatever stands there, to be looked at by the caller."""
        return self._values.get(key)

    def refuse(self, key: str, problem: str, advice: str) -> NoReturn:
        """Raise the error about one key."""
        raise BookError(f"{self.where}: {key} {problem}; {advice}")
