"""From a recording and a score to a verdict.

    with takes(...) ...                                        (cli/work_take.py)

Reading: the score gives the spot or a drill of its sheet, that gives what is wanted, the
recording gives what was played, both give the verdict.  Nothing of a recording is kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from drills.errors import ReadError, UsageError
from drills.jobs.practice_takes import JudgedRung, judged_rungs, practice_sentence
from drills.jobs.request import Settings, Tell, say_nothing
from drills.jobs.take_click import click_beside
from drills.jobs.take_material import SPOT, Asked, Material, asked_for, materials_of
from drills.listening.plan import read_plan
from drills.listening.played import Played, listen
from drills.listening.repeats import Habit, habits, judge_all
from drills.listening.rung import Rung
from drills.listening.sound_file import Recording, open_recording
from drills.listening.transposed import as_written, moved, shift_words, shifts_of
from drills.listening.verdict import Verdict
from drills.listening.words import sentence
from drills.sheets.sheet import Sheet

SOUNDS: Final = {
    *(".wav", ".flac", ".ogg", ".opus", ".mp3", ".caf", ".aiff", ".aif"),
    *(".m4a", ".mp4", ".3gp", ".webm", ".aac"),
}
"""Endings of what is taken for a recording in a folder."""


@dataclass(frozen=True, slots=True)
class JudgedTake:
    """A recording with its verdict."""

    path: Path
    sheet: Sheet
    material: Material
    played: Played
    verdicts: tuple[Verdict, ...]
    """One for each time through."""
    habits: tuple[Habit, ...]
    rungs: tuple[JudgedRung, ...] = ()
    """Of a practice; the verdicts are then those of its best rung."""
    transposed: int = 0
    """Semitones by which it was played higher than written."""

    @property
    def best(self) -> Verdict:
        """The time through with most right notes; of equals the last."""
        return max(reversed(self.verdicts), key=lambda v: (not v.refused, v.share_right))

    @property
    def sentence(self) -> str:
        """What to say first."""
        if self.rungs:
            return practice_sentence(self.rungs)
        said = sentence(self.best, self.habits, hard=dict(self.material.hard))
        if not self.transposed:
            return said
        return f"This is your spot, {shift_words(self.transposed)}. {said}"


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


def judge_takes(
    recordings: Sequence[Path],
    score: Path,
    asked: Asked,
    settings: Settings,
    tell: Tell = say_nothing,
) -> tuple[JudgedTake, ...]:
    """Judge recordings of one spot, in the order of their names' dates.

    A folder stands for the recordings in it, oldest first.  Raises ReadError, UsageError,
    PlaceError, LimitError.
    """
    files = tuple(_files(recordings))
    tell(f"reading {score}")
    sheet, materials = materials_of(score, asked, settings)
    plan = None if asked.practice is None else read_plan(asked.practice, SPOT)
    found = []
    for path in files:
        tell(f"listening to {path}")
        with open_recording(path) as recording:
            if plan is not None:
                found.append(_practice(recording, sheet, materials, plan))
            else:
                found.append(_take(recording, sheet, asked_for(materials, asked.drill)))
    return tuple(found)


def _files(given: Sequence[Path]) -> Iterator[Path]:
    for path in given:
        if not path.is_dir():
            yield path
            continue
        inside = [one for one in path.iterdir() if one.suffix.lower() in SOUNDS and one.is_file()]
        if not inside:
            raise ReadError(f"{path}: there are no recordings in this folder")
        yield from sorted(inside, key=lambda one: (one.stat().st_mtime, one.name))


def _take(recording: Recording, sheet: Sheet, materials: Sequence[Material]) -> JudgedTake:
    """The best of some materials; of one, that."""
    best: JudgedTake | None = None
    for material in materials:
        played = listen(recording.samples, recording.rate, material.wanted)
        click = click_beside(recording.path) if material.what == SPOT else None
        known = None if click is None else (click.first, click.quarter)
        verdicts = judge_all(material.wanted, played, known)
        own = JudgedTake(recording.path, sheet, material, played, verdicts, habits(verdicts))
        if best is None or _evidence(own) > _evidence(best):
            best = own
    if best is None:
        raise UsageError("the sheet has nothing to play")
    return (_transposed(best, recording) or best) if best.best.refused else best


def _transposed(take: JudgedTake, recording: Recording) -> JudgedTake | None:
    """A refused take as the same music at another pitch; None where it is not that either."""
    wanted = take.material.wanted
    found: JudgedTake | None = None
    for shift in shifts_of(recording.samples, recording.rate, wanted):
        other = moved(wanted, shift)
        played = listen(recording.samples, recording.rate, other)
        verdicts = tuple(as_written(one, shift) for one in judge_all(other, played))
        own = replace(
            take, played=played, verdicts=verdicts, habits=habits(verdicts), transposed=shift
        )
        if not own.best.refused and (found is None or _evidence(own) > _evidence(found)):
            found = own
    return found


def _evidence(take: JudgedTake) -> tuple[float, int]:
    """How well a recording fits what it is taken for."""
    times = [v for v in take.verdicts if not v.refused]
    if not times:
        return 0.0, 0
    share = float(np.mean([v.share_right * (1 - 0.1 * len(v.extras)) for v in times]))
    return share * take.played.sounding, len(take.material.wanted.notes)


def _practice(
    recording: Recording, sheet: Sheet, materials: Sequence[Material], plan: Sequence[Rung]
) -> JudgedTake:
    """Every rung of a practice by itself."""
    named = {material.what: material for material in materials}
    unknown = [rung.what for rung in plan if rung.what not in named]
    if unknown:
        raise UsageError(
            f"--practice: the sheet of this place has no {unknown[0]!r}; same options?"
        )
    rungs = judged_rungs(recording, named, plan)
    done = [rung for rung in rungs if any(not v.refused for v in rung.verdicts)]
    if not done:
        whole = _take(recording, sheet, (named[plan[0].what],))
        return replace(whole, rungs=rungs)
    last = next((rung for rung in reversed(done) if rung.clean), done[-1])
    material = named[last.what]
    played = Played((), 0.0, recording.seconds, 0.0, room=False, echo=False, crowd=0.0)
    return JudgedTake(
        recording.path, sheet, material, played, last.verdicts, habits(last.verdicts), rungs
    )
