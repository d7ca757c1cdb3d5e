"""Which rung of a sheet's ladder a take was played on, and the rungs that were climbed in one."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

import numpy as np

from drills.jobs.judged_rung import JudgedRung
from drills.jobs.take_material import Material
from drills.listening.paper import OnLadder
from drills.listening.verdict import Verdict
from drills.music.tempo import Tempo
from drills.music.time import NoteValue
from drills.sheets.ladder import Ladder, shown, tempo_words
from drills.sheets.metronome import SERIES

NEAR: Final = 0.02
"""Share by which a tempo may be off a rung and still be on it: half of the metronome's
smallest steps (96 to 100)."""
HIGHER: Final = 1.03
"""Times as fast from which on a time through is on another rung: the smallest step is 1.036."""
FEWEST: Final = 2
"""Rungs of a climb, ..."""
CLIMBED: Final = 1.1
"""... the last of which is so many times as fast as the first."""


def number_at(ladder: Ladder, tempo: float) -> Fraction:
    """The metronome number of a tempo (quarters a minute): of the ladder, else any."""
    number = tempo / float(ladder.beat.length.quarters)
    nearest = min(ladder.rungs, key=lambda rung: abs(float(rung) / number - 1))
    if abs(float(nearest) / number - 1) > NEAR:
        return Fraction(min(SERIES, key=lambda one: abs(one / number - 1)))
    return nearest


def climbed(material: Material, verdicts: Sequence[Verdict]) -> tuple[JudgedRung, ...]:
    """The rungs of a recording in which somebody climbed; empty for one at about one tempo.

    Times through that follow one another at one tempo are a rung.
    """
    rungs: list[list[Verdict]] = []
    for verdict in verdicts:
        tempo = _tempo(verdict)
        if rungs and (tempo is None or tempo < HIGHER * _last(rungs[-1])):
            rungs[-1].append(verdict)
        elif tempo is not None:
            rungs.append([verdict])
    tempos = [_last(own) for own in rungs]
    steady = any(_last(own) < min(_tempos(own)) / HIGHER for own in rungs)
    if len(rungs) < FEWEST or tempos[-1] < CLIMBED * tempos[0] or steady:
        return ()
    words = [shown(number_at(material.ladder, tempo)) for tempo in tempos]
    return tuple(
        JudgedRung(said, material.what, tuple(own)) for said, own in zip(words, rungs, strict=True)
    )


def _tempo(verdict: Verdict) -> float | None:
    return None if verdict.refused or verdict.timing is None else verdict.timing.tempo


def _tempos(verdicts: Sequence[Verdict]) -> list[float]:
    return [tempo for verdict in verdicts if (tempo := _tempo(verdict)) is not None]


def _last(verdicts: Sequence[Verdict]) -> float:
    """The middle tempo of a rung."""
    return float(np.median(_tempos(verdicts)))


def rung_at(ladder: Ladder, tempo: float) -> OnLadder:
    """The rung that a tempo (quarters a minute) belongs to, and the next one.

    A tempo between two rungs is told by the number of the metronome next to it.
    """
    nearest = number_at(ladder, tempo)
    following = next((rung for rung in ladder.rungs if rung > nearest), None)
    words = shown(nearest)
    if ladder.beat != NoteValue("quarter"):
        words = tempo_words(Tempo(nearest, ladder.beat.length))
    return OnLadder(words, "" if following is None else shown(following), ladder.repetitions)
