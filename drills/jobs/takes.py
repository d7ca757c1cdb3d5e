"""From a recording and a score to a verdict.

    takes = judge_takes([Path("tue.wav")], Path("march.musicxml"), Asked("E:3"), Settings())

Reading: the score gives the spot or a drill of its sheet, that gives what is wanted, the
recording gives what was played, both give the verdict.  Nothing of a recording is kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from drills.errors import ReadError, UsageError
from drills.jobs.judged_rung import JudgedRung, best_of
from drills.jobs.judged_take import JudgedTake, written_at
from drills.jobs.practice_sound import Cleaned, without_practice
from drills.jobs.practice_takes import judged_rungs
from drills.jobs.request import Settings, Tell, say_nothing
from drills.jobs.take_click import click_beside
from drills.jobs.take_material import SPOT, Asked, Material, asked_for, materials_of
from drills.jobs.take_rungs import climbed
from drills.listening.beats import Beats
from drills.listening.click_heard import heard_click
from drills.listening.clicks import Click, laid_click
from drills.listening.first_look import likeliest
from drills.listening.plan import Plan, read_plan
from drills.listening.played import Played, listen
from drills.listening.repeats import judge_all
from drills.listening.rung import Rung
from drills.listening.sound_file import Recording, open_recording
from drills.listening.transposed import as_written, moved, shifts_of
from drills.listening.verdict import Verdict
from drills.listening.wanted import Wanted
from drills.sheets.sheet import Sheet

SOUNDS: Final = {
    *(".wav", ".flac", ".ogg", ".opus", ".mp3", ".caf", ".aiff", ".aif"),
    *(".m4a", ".mp4", ".3gp", ".webm", ".aac"),
}
"""Endings of what is taken for a recording in a folder."""
FAR: Final = 0.06
"""Share of the beat by which attacks are off as a median, that halves what speaks for a drill:
three times as much as of a take in the right rhythm."""


def judge_takes(
    recordings: Sequence[Path],
    score: Path,
    asked: Asked,
    settings: Settings,
    tell: Tell = say_nothing,
) -> tuple[JudgedTake, ...]:
    """Judge recordings of one spot, in the order in which they are given.

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
            listener = _Listener(recording, sheet, asked)
            if plan is not None:
                found.append(listener.practice(materials, plan))
            else:
                found.append(listener.take(asked_for(materials, asked.drill)))
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


@dataclass(frozen=True, slots=True)
class _Listener:
    """One recording that is open, and what is asked of it."""

    recording: Recording
    sheet: Sheet
    asked: Asked

    def take(self, materials: Sequence[Material]) -> JudgedTake:
        """The best of some materials, of which the likeliest are followed; of one, that."""
        best: JudgedTake | None = None
        samples, rate = self.recording.samples, self.recording.rate
        for number in likeliest(samples, rate, [one.wanted for one in materials]):
            material = materials[number]
            played = listen(samples, rate, material.wanted)
            own = self._judged(material, played, self._verdicts(material.wanted, played))
            if best is None or _evidence(own) > _evidence(best):
                best = own
        if best is None:
            raise UsageError("the sheet has nothing to play")
        found = (self._transposed(best) or best) if best.best.refused else best
        if found.best.refused:
            return found
        rungs = climbed(found.material, found.verdicts)
        if rungs:
            return replace(found, rungs=rungs, verdicts=best_of(rungs).verdicts)
        return self._against_click(found)

    def _against_click(self, take: JudgedTake) -> JudgedTake:
        """The same with its time against a click, where one is known or heard."""
        wanted = moved(take.material.wanted, take.transposed)
        beside = None if take.material.drill else click_beside(self.recording.path)
        click = (
            self._click(wanted, take.played)
            if beside is None
            else Click(beside.first, beside.quarter, wanted.beat)
        )
        if click is None:
            return take
        verdicts = self._verdicts(wanted, take.played, click)
        return replace(take, verdicts=tuple(as_written(v, take.transposed) for v in verdicts))

    def _judged(
        self,
        material: Material,
        played: Played,
        verdicts: tuple[Verdict, ...],
        *,
        rungs: tuple[JudgedRung, ...] = (),
        transposed: int = 0,
    ) -> JudgedTake:
        path = self.recording.path
        return JudgedTake(
            path,
            written_at(path),
            self.sheet,
            material,
            played,
            verdicts,
            self.asked,
            rungs,
            transposed,
        )

    def _verdicts(
        self, wanted: Wanted, played: Played, click: Click | None = None
    ) -> tuple[Verdict, ...]:
        return judge_all(wanted, played, click, self.asked.thresholds)

    def _click(self, wanted: Wanted, played: Played) -> Click | None:
        """The click that is heard, else one that the player names, laid where it fits."""
        if self.asked.click is None:
            return self._heard(wanted, played, None)
        counted, number = self.asked.click
        beat = self.sheet.tempo.beat if counted is None else counted.length
        quarters = float(beat.quarters)
        tempo = float(number) * quarters
        return self._heard(wanted, played, tempo) or laid_click(
            wanted, played, 60 / tempo, quarters
        )

    def _heard(self, wanted: Wanted, played: Played, tempo: float | None) -> Click | None:
        """A click on the beats of the music in the recording; of ``tempo`` where one is named."""
        timing = Beats(wanted, played).timing(played)
        if timing is None:
            return None
        recording, attacks = self.recording, [one.at for one in played.notes]
        number = (timing.tempo if tempo is None else tempo) / wanted.beat
        found = heard_click(recording.samples, recording.rate, number, attacks)
        if found is None or (tempo is not None and abs(found.number - number) > 0.5):
            return None
        return Click(found.at, 60 / (found.number * wanted.beat), wanted.beat, heard=True)

    def _transposed(self, take: JudgedTake) -> JudgedTake | None:
        """A refused take as the same music at another pitch; None where it is not that either."""
        wanted, recording = take.material.wanted, self.recording
        found: JudgedTake | None = None
        for shift in shifts_of(recording.samples, recording.rate, wanted):
            other = moved(wanted, shift)
            played = listen(recording.samples, recording.rate, other)
            verdicts = tuple(as_written(one, shift) for one in self._verdicts(other, played))
            own = self._judged(take.material, played, verdicts, transposed=shift)
            if not own.best.refused and (found is None or _evidence(own) > _evidence(found)):
                found = own
        return found

    def practice(self, materials: Sequence[Material], plan: Plan) -> JudgedTake:
        """Every rung of a practice by itself."""
        named = {material.what: material for material in materials}
        unknown = [rung.what for rung in plan.rungs if rung.what not in named]
        if unknown:
            raise UsageError(
                f"--practice: the sheet of this place has no {unknown[0]!r}; give the choices that "
                "the practice sound was made with (--rhythm, --sizes, ...)"
            )
        with without_practice(self.recording, plan) as cleaned:
            rungs, shift = self._rungs(cleaned, named, plan.rungs)
        if not any(rung.heard for rung in rungs):
            return replace(self.take((named[plan.rungs[0].what],)), rungs=rungs)
        last = best_of([rung for rung in rungs if rung.heard])
        seconds = self.recording.seconds
        played = Played((), 0.0, seconds, 0.0, room=False, echo=False, crowd=0.0)
        return self._judged(named[last.what], played, last.verdicts, rungs=rungs, transposed=shift)

    def _rungs(
        self, cleaned: Cleaned, named: Mapping[str, Material], plan: Sequence[Rung]
    ) -> tuple[tuple[JudgedRung, ...], int]:
        """Every rung, and by how many semitones all of them were played higher than written."""

        def judged(semitones: int, some: Sequence[Rung]) -> tuple[JudgedRung, ...]:
            other = {
                what: replace(one, wanted=moved(one.wanted, semitones))
                for what, one in named.items()
            }
            found = judged_rungs(
                cleaned.recording, other, some, cleaned.shift, self.asked.thresholds
            )
            return tuple(_rung_as_written(one, semitones) for one in found)

        rungs = judged(0, plan)
        if any(rung.heard for rung in rungs):
            return rungs, 0
        samples, rate = cleaned.recording.samples, cleaned.recording.rate
        for semitones in shifts_of(samples, rate, named[plan[0].what].wanted):
            if any(rung.heard for rung in judged(semitones, plan[:1])):
                return judged(semitones, plan), semitones
        return rungs, 0


def _rung_as_written(rung: JudgedRung, semitones: int) -> JudgedRung:
    return replace(rung, verdicts=tuple(as_written(one, semitones) for one in rung.verdicts))


def _evidence(take: JudgedTake) -> tuple[float, int]:
    """How well a recording fits what it is taken for: notes, order and rhythm."""
    times = [v for v in take.verdicts if not v.refused]
    if not times:
        return 0.0, 0
    fits = [v.share_right * (1 - 0.1 * len(v.extras)) / (1 + (v.off / FAR) ** 2) for v in times]
    return float(np.mean(fits)) * take.played.sounding, len(take.material.wanted.notes)
