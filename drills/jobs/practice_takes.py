"""A recording of a whole practice: a verdict for every rung, against the click of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from drills.jobs.take_material import Material
from drills.listening.judging import judge
from drills.listening.plan import shift_of
from drills.listening.played import listen
from drills.listening.repeats import judge_all, times_through
from drills.listening.rung import Rung
from drills.listening.sound_file import Recording
from drills.listening.spectra import Floats
from drills.listening.verdict import Verdict
from drills.listening.wanted import Wanted

SPARE: Final = 1.5
"""Seconds of a rung's recording that are heard beyond its end."""


@dataclass(frozen=True, slots=True)
class JudgedRung:
    """One tempo of a practice."""

    words: str
    """The metronome number."""
    what: str
    verdicts: tuple[Verdict, ...]
    """One for each time through."""

    @property
    def clean(self) -> bool:
        """Nothing wrong, missed or added in most of the times through."""
        good = [v for v in self.verdicts if _clean(v)]
        return len(good) * 2 > len(self.verdicts)


def judged_rungs(
    recording: Recording, named: Mapping[str, Material], plan: Sequence[Rung]
) -> tuple[JudgedRung, ...]:
    """Every rung of a plan; ``named`` has a material for what each of them plays."""
    shift = _shift(recording, named, plan)
    return tuple(_judged(recording, named[rung.what], rung, shift) for rung in plan)


def _shift(recording: Recording, named: Mapping[str, Material], plan: Sequence[Rung]) -> float:
    """Where the plan begins on the recording, from its first minute or two."""
    first = plan[0]
    material = named[first.what]
    wanted = replace(material.wanted, pace=60 / first.tempo)
    end = int(min(first.end + 20.0, recording.seconds) * recording.rate)
    played = listen(np.asarray(recording.samples[:end]), recording.rate, wanted)
    begun = [one.notes[0].at for one in times_through(played, wanted) if one.notes[0].note == 0]
    same = [rung for rung in plan if rung.what == first.what][:2]
    if not first.times:  # marks do not tell the count-in: one bar, as usual
        same = [replace(first, times=(first.start + material.bar * wanted.pace,))]
    return shift_of(same, begun, wanted.notes[0].at)


def _judged(recording: Recording, material: Material, rung: Rung, shift: float) -> JudgedRung:
    pace = 60 / rung.tempo
    wanted = replace(material.wanted, pace=pace)
    if not rung.times:
        low, high = shift + rung.start, shift + rung.end + 0.1
        heard = listen(_piece(recording, low, high), recording.rate, wanted)
        return JudgedRung(rung.words, rung.what, judge_all(wanted, heard))
    verdicts: list[Verdict] = []
    for number, time in enumerate(rung.times):
        following = (*rung.times, rung.end)[number + 1]
        low, high = shift + time - 0.25, shift + max(following, time) + 0.1
        last = number + 1 == len(rung.times)
        verdicts.append(_one_time(recording, wanted, low, high + SPARE * last, shift + time))
    return JudgedRung(rung.words, rung.what, tuple(verdicts))


def _one_time(recording: Recording, wanted: Wanted, low: float, high: float, due: float) -> Verdict:
    """One time through, against the click that it was played to."""
    played = listen(_piece(recording, low, high), recording.rate, wanted)
    return judge(wanted, played, (due - max(low, 0.0), wanted.pace))


def _piece(recording: Recording, low: float, high: float) -> Floats:
    """The samples from one second to another; half a second of silence where there are none."""
    rate = recording.rate
    begin, end = max(int(low * rate), 0), max(min(int(high * rate), len(recording.samples)), 0)
    if end - begin < rate // 4:
        return np.zeros(rate // 2, dtype=np.float32)
    return np.asarray(recording.samples[begin:end])


def practice_sentence(rungs: Sequence[JudgedRung]) -> str:
    """ "Clean up to 96; at 104 note 7 breaks." """
    clean = [rung for rung in rungs if rung.clean]
    broken = next((rung for rung in rungs if not rung.clean), None)
    if broken is None:
        return f"Clean on every rung, up to {clean[-1].words}." if clean else "Nothing was heard."
    first = f"Clean up to {clean[-1].words}; " if clean else ""
    heard = [v for v in broken.verdicts if not v.refused]
    if not heard:
        return f"{first}at {broken.words} nothing of it was heard."
    counts = np.sum([[note.call in ("wrong", "missed") for note in v.notes] for v in heard], axis=0)
    worst = [int(n) + 1 for n in np.argsort(-counts, kind="stable")[:2] if counts[n]]
    if not worst:
        return f"{first}at {broken.words} notes are added: stay below and repeat."
    what = f"note {worst[0]} breaks" if len(worst) == 1 else _both(sorted(worst))
    return f"{first}at {broken.words} {what} it: stay below and repeat."


def _both(numbers: Sequence[int]) -> str:
    return f"notes {numbers[0]} and {numbers[1]} break"


def _clean(verdict: Verdict) -> bool:
    faults = [n for n in verdict.notes if n.call in ("wrong", "missed")]
    return not verdict.refused and not faults and not verdict.extras
