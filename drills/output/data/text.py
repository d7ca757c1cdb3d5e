"""Data as JSON text that a person can read too."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Final

SCHEMA: Final = 1
"""Version of the fields, in every document."""

_WIDTH: Final = 96
"""An object or list that fits is written on one line."""

Data = dict[str, object]
"""What becomes a JSON object."""


def json_text(data: object) -> str:
    """``data`` as JSON, two spaces a level, with a line end at the end.

    What UTF-8 cannot hold (half a surrogate pair in a file's name) becomes a
    question mark.
    """
    text = _lines(data, 0) + "\n"
    return text.encode("utf-8", "replace").decode()


def _lines(data: object, level: int) -> str:
    short = json.dumps(data, ensure_ascii=False)
    if not isinstance(data, dict | list) or len(short) + 2 * level <= _WIDTH:
        return short
    inner = "  " * (level + 1)
    if isinstance(data, dict):
        rows = [
            f"{inner}{json.dumps(str(key), ensure_ascii=False)}: {_lines(value, level + 1)}"
            for key, value in data.items()
        ]
        opened, closed = "{}"
    else:
        rows = [f"{inner}{_lines(value, level + 1)}" for value in data]
        opened, closed = "[]"
    return "\n".join((opened, ",\n".join(rows), "  " * level + closed))


def exact(number: Fraction) -> str:
    """ "3/2", or "2" for a whole number."""
    return str(number)


def without_empty(data: Data) -> Data:
    """``data`` without what is None, False, or an empty text, list or object."""
    return {key: value for key, value in data.items() if value}
