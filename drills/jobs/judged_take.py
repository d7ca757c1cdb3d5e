"""A recording with its verdict, and what is told, logged and compared of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from drills.jobs.judged_rung import JudgedRung, practice_sentence
from drills.jobs.take_material import Asked, Material
from drills.jobs.take_rungs import rung_at
from drills.listening.comparing import Compared, compared
from drills.listening.paper import OnLadder, OnPaper
from drills.listening.played import Played
from drills.listening.repeats import Habit, clean_at_the_end, habits, slips
from drills.listening.transposed import shift_words
from drills.listening.verdict import Verdict
from drills.listening.words import sentence
from drills.sheets.sheet import Sheet


@dataclass(frozen=True, slots=True)
class JudgedTake:
    """A recording with its verdict."""

    path: Path
    recorded: datetime | None
    """When the file was last written; None where that is not known."""
    sheet: Sheet
    material: Material
    played: Played
    verdicts: tuple[Verdict, ...]
    """One for each time through."""
    asked: Asked
    rungs: tuple[JudgedRung, ...] = ()
    """Of a practice; the verdicts are then those of its best rung."""
    transposed: int = 0
    """Semitones by which it was played higher than written."""

    @property
    def habits(self) -> tuple[Habit, ...]:
        """What comes back from time to time."""
        return habits(self.verdicts)

    @property
    def slips(self) -> tuple[Habit, ...]:
        """What went wrong once, and not again."""
        return slips(self.verdicts)

    @property
    def best(self) -> Verdict:
        """The time through with most right notes; of equals the one with the longest clean
        stretch, of those the last."""

        def good(one: Verdict) -> tuple[bool, float, int]:
            return not one.refused, one.share_right, one.clean_notes

        return max(reversed(self.verdicts), key=good)

    @property
    def complete(self) -> int:
        """How many times through had every note that could be heard."""
        return sum(v.share_right == 1 and not v.refused for v in self.verdicts)

    @property
    def paper(self) -> OnPaper:
        """How the player reads its notes."""
        return replace(self.material.paper, transposed=self.transposed)

    @property
    def rung(self) -> OnLadder | None:
        """Where on the ladder of the sheet it stands; None where no tempo is known."""
        timing = self.best.timing
        return None if timing is None else rung_at(self.material.ladder, timing.tempo)

    @property
    def sentence(self) -> str:
        """What to say first."""
        said = practice_sentence(self.rungs) if self.rungs else self._one_tempo
        if not self.transposed:
            return said
        return f"This is your spot, {shift_words(self.transposed)}. {said}"

    @property
    def _one_tempo(self) -> str:
        return sentence(
            self.best,
            self.habits,
            self.paper,
            self.rung,
            times=(self.complete, max(sum(not v.refused for v in self.verdicts), 1)),
            in_a_row=clean_at_the_end(self.verdicts),
            swing=self.asked.ratio(self.sheet),
            thresholds=self.asked.thresholds,
        )


@dataclass(frozen=True, slots=True)
class Reached:
    """What a verdict says to a log of practice."""

    spot: str
    """The place as the player asked for it."""
    block: str
    """What was played of it."""
    number: float
    """Quarters a minute that were reached."""
    right: float
    """Share of the notes that were right, 0 to 1."""


def reached(take: JudgedTake) -> Reached | None:
    """The verdict as a row of a log; None where the take was refused."""
    best = take.best
    if best.refused or best.timing is None:
        return None
    return Reached(
        take.sheet.spot.span.asked, take.material.what, best.timing.tempo, best.share_right
    )


def changes(takes: Sequence[JudgedTake]) -> Compared | None:
    """The last of several takes against the first, where both could be judged."""
    judged = [take for take in takes if not take.best.refused]
    same = [take for take in judged if take.material.what == judged[0].material.what]
    return compared(same[0].best, same[-1].best) if len(same) > 1 else None


def written_at(path: Path) -> datetime | None:
    """When a file was last written, to the second."""
    try:
        return datetime.fromtimestamp(path.stat().st_mtime).astimezone().replace(microsecond=0)
    except (OSError, OverflowError, ValueError):
        return None
