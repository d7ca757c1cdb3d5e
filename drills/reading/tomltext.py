"""TOML text -> tables, within bounds.

Problem: the standard library's reader keeps every beginning of a dotted key, so that
a key of 100 kB (``a.a.a...``) takes gigabytes; lists in lists end in a RecursionError,
a number of thousands of digits in an error that names no line.  Method: keys are
counted in the text before it is parsed, and whatever goes wrong is a TOMLDecodeError.
Format: TOML 1.0.0 (https://toml.io/en/v1.0.0), "Keys".
"""

from __future__ import annotations

import re
import tomllib
from typing import Any, Final

DEEPEST_KEY: Final = 16
"""Names of a dotted key; ours have one."""
_BITS: Final = 64

_NAME: Final = r"""(?:(?<![\w-])[\w-]++|"[^"\n]*+"|'[^'\n]*+')"""
_LONG_KEY: Final = re.compile(rf"(?:{_NAME}[ \t]*+\.[ \t]*+){{{DEEPEST_KEY}}}")


def parsed(text: str) -> dict[str, Any]:
    """The tables of a TOML document; raises tomllib.TOMLDecodeError, and nothing else."""
    found = _LONG_KEY.search(text)
    if found is not None:
        line = text.count("\n", 0, found.start()) + 1
        raise tomllib.TOMLDecodeError(
            f"A dotted key of more than the limit of {DEEPEST_KEY} names (at line {line}, column 1)"
        )
    try:
        tables = tomllib.loads(text)
        _check_numbers(tables)
        return tables
    except RecursionError as error:
        raise tomllib.TOMLDecodeError("lists in lists beyond reading") from error
    except tomllib.TOMLDecodeError:
        raise
    except ValueError as error:  # a number with more digits than Python converts
        raise tomllib.TOMLDecodeError("a number with too many digits") from error


def _check_numbers(value: object) -> None:
    """Whole numbers of 64 bits at most, all that TOML asks for; raises ValueError."""
    if isinstance(value, int) and value.bit_length() > _BITS:
        raise ValueError
    if isinstance(value, dict | list):
        for one in value.values() if isinstance(value, dict) else value:
            _check_numbers(one)
