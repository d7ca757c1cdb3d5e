"""What of a score practice sound needs: the player's part, and the others where they sound too."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from drills.errors import UsageError
from drills.music.score import Part
from drills.places.aligning import Aligned, align
from drills.reading.given import NOTHING_GIVEN, Given
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_all, read_part
from drills.reading.partlist import choose
from drills.reading.source import ScoreSource
from drills.sound.practice.choices import Material, PracticeChoices

SECTION: Final = "section"
DRONES: Final = ("bass", "chord")


@dataclass(frozen=True, slots=True)
class SoundingScore:
    """The player's part, and the others where they are needed."""

    parts: tuple[Part, ...]
    own: int
    aligned: Aligned | None

    @property
    def line(self) -> Aligned:
        """All parts that were read on one time line."""
        return self.aligned or align(self.parts)

    def sounding_with(self, part: Part) -> Aligned | None:
        """The same time line, with another form of the player's part in its place."""
        if self.aligned is None or part is self.parts[self.own]:
            return self.aligned
        parts = (*self.parts[: self.own], part, *self.parts[self.own + 1 :])
        return replace(self.aligned, parts=parts)


def needs_chords(choices: PracticeChoices) -> bool:
    return Material.CHORDS in choices.material or any(one in choices.voices for one in DRONES)


def needs_score(choices: PracticeChoices) -> bool:
    return SECTION in choices.voices or needs_chords(choices)


def read_needed(
    score: ScoreSource,
    part: str | None,
    limits: Limits,
    choices: PracticeChoices,
    given: Given = NOTHING_GIVEN,
) -> tuple[tuple[Part, ...], int]:
    """The parts that are needed, and which of them is the player's."""
    opened = open_score(score, limits, given)
    if not needs_score(choices):
        return (read_part(opened, part),), 0
    entry = choose(opened.entries, part, opened.where)
    parts = read_all(opened)
    if SECTION in choices.voices and len(parts) == 1:
        raise UsageError(f"{score} has one part only; the voice section needs a full score")
    return parts, opened.entries.index(entry)
