"""A whole practice sound as a plan: when each rung and each time through begins, what sounds.

The plan is what ``drills click --json`` prints (docs/schema/practice.json).  Or it is the
practice sound itself, by its marks (marks.py).  A recording made beside it begins at any
moment, so where its start lies on the plan is found from the sound itself where that can be
heard (bleed.py), else from the notes.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, Final

from drills.errors import LimitError, ReadError
from drills.listening.marks import has_marks, rungs_in_marks
from drills.listening.rung import Rung
from drills.sound.practice.events import Strike
from drills.sound.practice.voices import SOUNDS, VOICES

LARGEST: Final = 20_000_000
"""Bytes of a plan."""
NEAR: Final = 0.12
"""Seconds that a time through may begin beside its place."""


@dataclass(frozen=True, slots=True)
class Plan:
    """A practice sound."""

    rungs: tuple[Rung, ...]
    struck: tuple[Strike, ...] = ()
    """All clicks, drum strokes and bells, where the plan tells them."""
    sound: Path | None = None
    """The practice sound itself, where that was given."""


def read_plan(path: Path, unnamed: str) -> Plan:
    """A plan, or a practice sound by the marks in it.

    ``unnamed`` is what is played where a sound's marks do not name it.  Raises ReadError for
    what is neither, LimitError for a huge one.
    """
    try:
        if has_marks(path):
            return Plan(rungs_in_marks(path, unnamed), sound=path)
        if path.stat().st_size > LARGEST:
            raise LimitError(f"{path} is larger than {LARGEST} bytes, which no plan is")
        data = json.loads(path.read_text(encoding="utf-8"))
        file = next(file for spot in data["spots"] for file in spot["files"])
        rungs = tuple(_rung(stage) for stage in file["stages"])
        return Plan(rungs, tuple(_struck(file.get("struck", ()))))
    except OSError as error:
        raise ReadError(f"{path} cannot be read: {error.strerror}") from error
    except (ValueError, KeyError, TypeError, StopIteration, RecursionError) as error:
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


def _struck(rows: Sequence[Sequence[Any]]) -> Iterator[Strike]:
    before = Fraction(0)
    for seconds, voice, sound, level in rows:
        at = Fraction(seconds)
        if at < before or voice not in VOICES or sound not in SOUNDS or not 0 <= level <= 1:
            raise ValueError("nothing that drills click strikes")
        yield Strike(at, Fraction(0), voice, sound, float(level))
        before = at


def shift_of(rungs: Sequence[Rung], heard: Sequence[float], first_note: float) -> float:
    """Where the plan's start lies on the recording, in seconds, by the notes.

    ``heard``: when each time through began on the recording (its first note);
    ``first_note``: quarters from the start of a time through to its first note.  The shift
    under which most of them fall on a time of the plan; of equal ones the earliest.
    """
    due = [t + first_note * 60 / rung.tempo for rung in rungs for t in rung.times]
    shifts = [at - when for at in heard for when in due]
    if not shifts:
        return 0.0

    def together(shift: float) -> tuple[int, float]:
        near = sum(any(abs(at - shift - when) < NEAR for when in due) for at in heard)
        return near, -abs(shift)

    best = max(shifts, key=together)
    close = [one for one in shifts if abs(one - best) < NEAR]
    return sum(close) / len(close)
