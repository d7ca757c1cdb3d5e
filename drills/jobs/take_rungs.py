"""Which rung of a sheet's ladder a take was played on."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from drills.listening.paper import OnLadder
from drills.music.tempo import Tempo
from drills.music.time import NoteValue
from drills.sheets.ladder import Ladder, shown, tempo_words
from drills.sheets.metronome import SERIES

NEAR: Final = 0.02
"""Share by which a tempo may be off a rung and still be on it: half of the metronome's
smallest steps (96 to 100)."""


def rung_at(ladder: Ladder, tempo: float) -> OnLadder:
    """The rung that a tempo (quarters a minute) belongs to, and the next one.

    A tempo between two rungs is told by the number of the metronome next to it.
    """
    number = tempo / float(ladder.beat.length.quarters)
    nearest = min(ladder.rungs, key=lambda rung: abs(float(rung) / number - 1))
    if abs(float(nearest) / number - 1) > NEAR:
        nearest = Fraction(min(SERIES, key=lambda one: abs(one / number - 1)))
    following = next((rung for rung in ladder.rungs if rung > nearest), None)
    words = shown(nearest)
    if ladder.beat != NoteValue("quarter"):
        words = tempo_words(Tempo(nearest, ladder.beat.length))
    return OnLadder(words, "" if following is None else shown(following), ladder.repetitions)
