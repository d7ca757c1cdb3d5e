"""Which LilyPond is run, and on how many cores."""

from __future__ import annotations

import os
import shutil
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Final

from drills.errors import NoEngraverError

ENVIRONMENT_VARIABLE: Final = "DRILLS_LILYPOND"
"""Names the LilyPond to use, unless one is given."""

HOW_TO_GET_ONE: Final = (
    "install LilyPond 2.24 (lilypond.org), then put it on the PATH, name it with --lilypond or in "
    f"{ENVIRONMENT_VARIABLE}"
)
"""What to do where there is none."""


def find_lilypond(program: Path | None = None) -> str:
    """The LilyPond to run: the one given, else the one that the environment
    variable DRILLS_LILYPOND names, else the installed package's, else the PATH's.

    Raises NoEngraverError with what to do where there is none.
    """
    asked = str(program) if program else os.environ.get(ENVIRONMENT_VARIABLE)
    if asked:
        found = shutil.which(asked)
        if found is None:
            raise NoEngraverError(f"{asked} is not a program that can be run; {HOW_TO_GET_ONE}")
        return found
    found = _packaged() or shutil.which("lilypond")
    if found is None:
        raise NoEngraverError(f"LilyPond, which engraves the pages, is missing; {HOW_TO_GET_ONE}")
    return found


def _packaged() -> str | None:
    """The binary of the package ``lilypond``, which exists for some systems only."""
    if find_spec("lilypond") is None:
        return None
    program = Path(import_module("lilypond").executable())
    return str(program) if program.is_file() else None


def cores() -> int:
    """Processor cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1
