"""A whole practice sound as a plan: when each rung and each time through begins.

The plan is what ``drills click --json`` prints (docs/schema/practice.json); of it only the
times are read.  Or it is the practice sound itself, by its marks (marks.py).  A recording
made beside it begins at any moment, so where its start lies on the plan is found from the
notes that were heard.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

from drills.errors import LimitError, ReadError
from drills.listening.marks import is_wav, rungs_in_marks
from drills.listening.rung import Rung

LARGEST: Final = 20_000_000
"""Bytes of a plan."""


def read_plan(path: Path, unnamed: str) -> tuple[Rung, ...]:
    """The rungs of a plan, or of a practice sound (WAV) by the marks in it.

    ``unnamed`` is what is played where a sound's marks do not name it.  Raises ReadError for
    what is neither, LimitError for a huge one.
    """
    try:
        if is_wav(path):
            return rungs_in_marks(path, unnamed)
        if path.stat().st_size > LARGEST:
            raise LimitError(f"{path} is larger than {LARGEST} bytes, which no plan is")
        data = json.loads(path.read_text(encoding="utf-8"))
        files = [file for spot in data["spots"] for file in spot["files"]]
        stages = files[0]["stages"]
        return tuple(_rung(stage) for stage in stages)
    except OSError as error:
        raise ReadError(f"{path} cannot be read: {error.strerror}") from error
    except (ValueError, KeyError, TypeError, IndexError, RecursionError) as error:
        raise ReadError(
            f"{path} is no plan of practice sound; make one with drills click ... --json"
        ) from error


def _rung(stage: Mapping[str, Any]) -> Rung:
    number = Fraction(stage["tempo"]["number"])
    beat = Fraction(stage["tempo"]["beat"])
    if number <= 0 or beat <= 0:
        raise ValueError("a tempo that does not move")
    return Rung(
        str(stage["what"]),
        float(number * beat),
        f"{float(number):g}",
        float(Fraction(stage["start"]["exact"])),
        tuple(float(Fraction(time["exact"])) for time in stage["times"]),
        float(Fraction(stage["end"]["exact"])),
    )


def shift_of(rungs: Sequence[Rung], heard: Sequence[float], first_note: float) -> float:
    """Where the plan's start lies on the recording, in seconds.

    ``heard``: when each time through began on the recording (its first note);
    ``first_note``: quarters from the start of a time through to its first note.  The shift
    under which most of them fall on a time of the plan; of equal ones the earliest.
    """
    due = [t + first_note * 60 / rung.tempo for rung in rungs for t in rung.times]
    shifts = [at - when for at in heard for when in due]
    if not shifts:
        return 0.0

    def together(shift: float) -> tuple[int, float]:
        near = sum(any(abs(at - shift - when) < 0.12 for when in due) for at in heard)
        return near, -abs(shift)

    best = max(shifts, key=together)
    close = [one for one in shifts if abs(one - best) < 0.12]
    return sum(close) / len(close)
