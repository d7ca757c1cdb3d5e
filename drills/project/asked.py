"""What a player types about days, read."""

from __future__ import annotations

from datetime import date

from drills.errors import UsageError


def read_date(text: str) -> date:
    """A day as typed; raises UsageError."""
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise UsageError(f"{text!r} is no day; write it like 2027-03-01") from error
