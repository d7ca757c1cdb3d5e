"""A recording of a whole practice: a verdict for every rung, against the click of each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Final

import numpy as np

from drills.jobs.take_material import Material
from drills.listening.clicks import Click
from drills.listening.judging import judge
from drills.listening.plan import shift_of
from drills.listening.played import listen
from drills.listening.repeats import judge_all, times_through
from drills.listening.rung import Rung
from drills.listening.sound_file import Recording
from drills.listening.spectra import Floats
from drills.listening.thresholds import USUAL, Thresholds
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
    def heard(self) -> tuple[Verdict, ...]:
        """The times through that could be judged."""
        return tuple(verdict for verdict in self.verdicts if not verdict.refused)

    @property
    def clean(self) -> bool:
        """Nothing wrong, missed or added in most of the times through."""
        good = [v for v in self.verdicts if _clean(v)]
        return len(good) * 2 > len(self.verdicts)

    @property
    def faults(self) -> tuple[int, ...]:
        """Numbers of the notes that were wrong or missed, the most often first."""
        count = Counter(
            note.number
            for verdict in self.heard
            for note in verdict.notes
            if note.call in ("wrong", "missed")
        )
        return tuple(number for number, _ in count.most_common())

    @property
    def late(self) -> tuple[int, ...]:
        """Numbers of the notes that came late or early in most of the times through."""
        count = Counter(
            note.number for verdict in self.heard for note in verdict.notes if note.timed
        )
        return tuple(sorted(n for n, times in count.items() if times * 2 > len(self.heard)))

    @property
    def against_click(self) -> float | None:
        """Mean of all attacks, ms after the click."""
        own = [
            verdict.timing.click.mean
            for verdict in self.heard
            if verdict.timing and verdict.timing.click and verdict.timing.click.mean is not None
        ]
        return float(np.mean(own)) if own else None


def judged_rungs(
    recording: Recording,
    named: Mapping[str, Material],
    plan: Sequence[Rung],
    thresholds: Thresholds = USUAL,
) -> tuple[JudgedRung, ...]:
    """Every rung of a plan; ``named`` has a material for what each of them plays."""
    shift = _shift(recording, named, plan)
    return tuple(
        _judged(recording, named[rung.what].wanted, rung, shift, thresholds) for rung in plan
    )


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


def _judged(
    recording: Recording, wanted: Wanted, rung: Rung, shift: float, thresholds: Thresholds
) -> JudgedRung:
    pace = 60 / rung.tempo
    wanted = replace(wanted, pace=pace)
    if not rung.times:
        low, high = shift + rung.start, shift + rung.end + 0.1
        heard = listen(_piece(recording, low, high), recording.rate, wanted)
        verdicts = judge_all(wanted, heard, thresholds=thresholds)
        return JudgedRung(rung.words, rung.what, verdicts)
    found: list[Verdict] = []
    for number, time in enumerate(rung.times):
        following = (*rung.times, rung.end)[number + 1]
        low, high = shift + time - 0.25, shift + max(following, time) + 0.1
        last = number + 1 == len(rung.times)
        piece = _piece(recording, low, high + SPARE * last)
        click = Click(shift + time - max(low, 0.0), pace, wanted.beat)
        played = listen(piece, recording.rate, wanted)
        found.append(judge(wanted, played, click, thresholds))
    return JudgedRung(rung.words, rung.what, tuple(found))


def _piece(recording: Recording, low: float, high: float) -> Floats:
    """The samples from one second to another; half a second of silence where there are none."""
    rate = recording.rate
    begin, end = max(int(low * rate), 0), max(min(int(high * rate), len(recording.samples)), 0)
    if end - begin < rate // 4:
        return np.zeros(rate // 2, dtype=np.float32)
    return np.asarray(recording.samples[begin:end])


def practice_sentence(rungs: Sequence[JudgedRung]) -> str:
    """ "Clean up to 96; at 104 notes 7 and 12 break it. Stay on 96." """
    if not any(rung.heard for rung in rungs):
        return "Nothing of this practice was heard; was it the same place, and the same choices?"
    by_what: dict[str, list[JudgedRung]] = {}
    for rung in rungs:
        by_what.setdefault(rung.what, []).append(rung)
    broken = [what for what, own in by_what.items() if not all(rung.clean for rung in own)]
    chosen = broken[0] if broken else list(by_what)[-1]
    said = _one_ladder(by_what[chosen])
    if len(by_what) == 1:
        return said
    more = f" So do {len(broken) - 1} others, see below." if len(broken) > 1 else ""
    return f"{chosen}: {said[:1].lower()}{said[1:]}{more}"


def _one_ladder(rungs: Sequence[JudgedRung]) -> str:
    """What is to be said of the rungs of one thing."""
    clean = list(takewhile(lambda rung: rung.clean, rungs))
    if len(clean) == len(rungs):
        late = clean[-1].late
        if late:
            first = f"note{'s' * (len(late) > 1)} {_both(late)}"
            return f"Clean on every rung, up to {clean[-1].words}, where {first} came off the beat."
        return f"Clean on every rung, up to {clean[-1].words}."
    at = rungs[len(clean)]
    first = f"Clean up to {clean[-1].words}; at {at.words}" if clean else f"At {at.words}"
    stay = f"Stay on {clean[-1].words}" if clean else "Begin slower"
    if not at.heard:
        return f"{first} nothing of it was heard."
    if not at.faults:
        return f"{first} notes are added. {stay} until nothing is."
    worst = sorted(at.faults[:2])
    what = f"note {worst[0]} breaks" if len(worst) == 1 else f"notes {_both(worst)} break"
    return f"{first} {what} it. {stay} until they go five times in a row."


def _both(numbers: Sequence[int]) -> str:
    head = ", ".join(map(str, numbers[:-1]))
    return f"{head} and {numbers[-1]}" if head else str(numbers[-1])


def _clean(verdict: Verdict) -> bool:
    faults = [n for n in verdict.notes if n.call in ("wrong", "missed")]
    return not verdict.refused and not faults and not verdict.extras
