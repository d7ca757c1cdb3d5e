"""What is in a score: its parts, read, each with its number."""

from __future__ import annotations

from drills.jobs.request import Tell, say_nothing
from drills.jobs.scores_of_folder import entry_of
from drills.music.score import Part
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_all, read_part
from drills.reading.source import ScoreSource


def read_parts(
    score: ScoreSource,
    part: str | None,
    limits: Limits,
    tell: Tell = say_nothing,
    given: Given = NOTHING_GIVEN,
) -> tuple[tuple[int, Part], ...]:
    """One part of a score, or all of them, each with its number in the score.

    Raises ReadError and UsageError.
    """
    tell(f"reading {score}")
    opened = open_score(score, limits, given)
    if part is not None:
        chosen = read_part(opened, part)
        return ((entry_of(opened, chosen).number, chosen),)
    numbers = (entry.number for entry in opened.entries)
    return tuple(zip(numbers, read_all(opened), strict=True))
