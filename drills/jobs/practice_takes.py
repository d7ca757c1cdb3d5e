"""A recording of a whole practice: a verdict for every rung, against the click of each.

Where the practice sound can be heard in the recording, its start there tells where every
time through lies, and it is taken off before anything is listened to.  Each time through is
then heard by itself, with what is so of the recording as a whole.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from drills.jobs.judged_rung import JudgedRung
from drills.jobs.take_material import Material
from drills.listening.clicks import Click
from drills.listening.judging import judge
from drills.listening.plan import shift_of
from drills.listening.played import Played, PlayedNote, Whole, listen
from drills.listening.repeats import times_through
from drills.listening.rung import Rung
from drills.listening.sound_file import Recording
from drills.listening.spectra import Floats
from drills.listening.stage_times import times_of
from drills.listening.states import NOTE
from drills.listening.thresholds import USUAL, Thresholds
from drills.listening.wanted import Wanted

BEFORE: Final = 0.25
"""Seconds of a time through that are heard before it is due ..."""
AFTER: Final = 0.1
"""... and after the next one is."""
SPARE: Final = 1.5
"""Seconds that are heard beyond the end of one after which nothing is due; up to the bell of
the next rung."""


def judged_rungs(
    recording: Recording,
    named: Mapping[str, Material],
    plan: Sequence[Rung],
    shift: float | None,
    thresholds: Thresholds = USUAL,
) -> tuple[JudgedRung, ...]:
    """Every rung of a plan; ``named`` has a material for what each of them plays.

    ``shift``: where the practice sound begins on the recording, seconds; None where that is not
    known.
    """
    listener = _Listener(recording, thresholds, plan[-1].end, {})
    if any(not rung.times for rung in plan):
        if shift is None:
            shift = _shift(recording, named, plan)
        plan = _with_times(listener, named, plan, shift)
    elif shift is None:
        shift = _shift(recording, named, plan)
    return tuple(listener.judged(named[rung.what], rung, shift) for rung in plan)


def _shift(recording: Recording, named: Mapping[str, Material], plan: Sequence[Rung]) -> float:
    """Where the plan begins on the recording, from the notes of its first minute or two."""
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


def _with_times(
    listener: _Listener, named: Mapping[str, Material], plan: Sequence[Rung], shift: float
) -> tuple[Rung, ...]:
    """The same rungs with the times through that marks do not tell."""
    heard = [listener.begun(named[rung.what].wanted, rung, shift) for rung in plan]
    bars = [(named[rung.what].bar, named[rung.what].length) for rung in plan]
    return times_of(plan, bars, heard)


@dataclass(frozen=True, slots=True)
class _Listener:
    """A recording that is listened to piece by piece."""

    recording: Recording
    thresholds: Thresholds
    last: float
    """Where the last rung ends, seconds of the plan."""
    known: dict[range, Whole]
    """Keys that are listened for -> what is so of the whole recording."""

    def judged(self, material: Material, rung: Rung, shift: float) -> JudgedRung:
        """A rung whose times through are known."""
        pace = 60 / rung.tempo
        wanted = replace(material.wanted, pace=pace)
        found = []
        for number, time in enumerate(rung.times):
            last = number + 1 == len(rung.times)
            following = rung.end if last else rung.times[number + 1]
            until = time + material.length * pace + SPARE
            until = min(until, following + (self.ringing(rung) if last else AFTER))
            low = max(shift + time - BEFORE, 0.0)
            played = self._listen(low, shift + until, wanted)
            due = shift + time - low
            own = _own(played, wanted, due, None if last else due + following - time)
            click = Click(due, pace, wanted.beat)
            found.append(judge(wanted, own, click, self.thresholds))
        return JudgedRung(rung.words, rung.what, tuple(found))

    def ringing(self, rung: Rung) -> float:
        """Seconds after the end of a rung that belong to it: none where another one begins."""
        return 0.0 if rung.end < self.last - 0.01 else SPARE

    def begun(self, wanted: Wanted, rung: Rung, shift: float) -> tuple[float, ...]:
        """For each right note of a rung when its time through must have begun, on the plan."""
        wanted = replace(wanted, pace=60 / rung.tempo)
        low = max(shift + rung.start, 0.0)
        played = self._listen(low, shift + rung.end, wanted)
        return tuple(
            one.at + low - shift - wanted.notes[one.note].at * wanted.pace
            for one in played.notes
            if one.kind == NOTE
        )

    def _listen(self, low: float, high: float, wanted: Wanted) -> Played:
        recording = self.recording
        if wanted.keys not in self.known:
            self.known[wanted.keys] = Whole.of(recording.samples, recording.rate, wanted.keys)
        piece = _piece(recording, low, high)
        return listen(piece, recording.rate, wanted, self.known[wanted.keys])


def _own(played: Played, wanted: Wanted, due: float, following: float | None) -> Played:
    """Without what belongs to the time before or to the next one.

    ``due``: where this time through begins, ``following``: where the next one does.
    """
    first, last = wanted.notes[0], wanted.notes[-1]
    begin = due + first.at * wanted.pace - min(0.12, first.length * wanted.pace / 2)
    end = np.inf if following is None else following + first.at * wanted.pace
    end -= min(0.12, last.length * wanted.pace / 2)
    close = min(end, due + (last.at + last.length) * wanted.pace)

    def inside(one: PlayedNote) -> bool:
        return one.at < end if one.kind == NOTE else begin <= one.at < close

    return replace(played, notes=tuple(one for one in played.notes if inside(one)))


def _piece(recording: Recording, low: float, high: float) -> Floats:
    """The samples from one second to another; half a second of silence where there are none."""
    rate = recording.rate
    begin, end = max(int(low * rate), 0), max(min(int(high * rate), len(recording.samples)), 0)
    if end - begin < rate // 4:
        return np.zeros(rate // 2, dtype=np.float32)
    return np.asarray(recording.samples[begin:end])
