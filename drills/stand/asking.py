"""What a request says, read with limits; raises UsageError in words for the player."""

from __future__ import annotations

import json
from typing import Any, Final

from starlette.requests import Request

from drills.errors import UsageError

LONGEST: Final = 1000
"""Characters of a word of an address."""
MOST_JSON: Final = 200_000
"""Bytes of a request that is data."""


def query(request: Request, name: str) -> str:
    """A word of the address; raises UsageError where it is missing or far too long."""
    value = request.query_params.get(name, "")
    if not 0 < len(value) <= LONGEST:
        raise UsageError(f"the page asked without saying {name!r}; load it again")
    return value


def number(request: Request, name: str, least: int, most: int) -> int:
    """A whole number of the address, brought within bounds."""
    text = query(request, name)
    if not (text.isascii() and text.isdigit() and len(text) < 8):
        raise UsageError(f"{name!r} is a whole number")
    return min(max(int(text), least), most)


async def body(request: Request) -> dict[str, Any]:
    """The data of a request, a table of names."""
    raw = await request.body()
    if len(raw) > MOST_JSON:
        raise UsageError("the page sent too much; load it again")
    try:
        found = json.loads(raw)
    except (ValueError, RecursionError) as error:
        raise UsageError("the page sent something else than data; load it again") from error
    if not isinstance(found, dict):
        raise UsageError("the page sent something else than data; load it again")
    return found


def text(data: dict[str, Any], name: str, longest: int = LONGEST, *, empty: bool = False) -> str:
    """A text of the data."""
    value = data.get(name, "" if empty else None)
    if not isinstance(value, str) or len(value) > longest or not (value or empty):
        raise UsageError(f"the page asked without saying {name!r}; load it again")
    return value


def whole(data: dict[str, Any], name: str, least: int, most: int) -> int:
    """A whole number of the data."""
    value = data.get(name)
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
        raise UsageError(f"{name!r} is a whole number from {least} to {most}")
    return value


def texts(data: dict[str, Any], name: str, most: int = 50) -> tuple[str, ...]:
    """A list of texts."""
    value = data.get(name, [])
    if (
        not isinstance(value, list)
        or len(value) > most
        or not all(isinstance(one, str) and 0 < len(one) <= LONGEST for one in value)
    ):
        raise UsageError(f"{name!r} is a list of at most {most} words")
    return tuple(value)


def table(data: dict[str, Any], name: str) -> dict[str, Any]:
    """A table within the data; empty where it is missing."""
    value = data.get(name, {})
    if not isinstance(value, dict):
        raise UsageError(f"{name!r} is a table")
    return value
