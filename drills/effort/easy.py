"""Up to which tempo a passage is easy: where a ladder begins.

    easy_tempo(judged, notes)        Tempo(88, quarter)

Method.  The share of the performing tempo at which no four moves in a row (speed.py) ask
more than the player's easy limit.  It is the same cost that makes the passage hard, and at
that tempo it is hard no more: ``drills spots --tempo`` would not list it.

Conventions.  Numbers are rounded down to whole beats a minute.  None where the passage is
easy at its performing tempo already.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache
from math import floor
from typing import Final

from drills.effort.demand import VoiceDemand, demand_of
from drills.effort.naming import notes_in
from drills.effort.speed import Speeds, moves_of
from drills.music.score import Part
from drills.music.tempo import Tempo
from drills.music.time import Length, NoteValue, TimeSignature
from drills.places.finding import Span
from drills.places.tempos import AskedTempo

_HALVINGS: Final = 40
"""How often the share is halved on: as close as numbers go."""
_DUST: Final = 1e-6
"""What computing leaves beside a whole number."""
SLOWEST_START: Final = 0.25
"""Share of the performing tempo below which a ladder does not start: slower than a fourth of
it a passage is another piece (our own choice)."""
QUICKEST_START: Final = 2 / 3
"""Share above which it does not start, however easy: two numbers are no ladder (our own
choice)."""
_SLOWEST: Final = 40
"""Beats a minute below which parts of the beat are counted: where metronomes begin."""


def easy_tempo(judged: VoiceDemand, notes: range, speeds: Speeds | None = None) -> Tempo | None:
    """The tempo up to which a stretch of a voice is easy, counted as its own tempo is.

    ``notes`` are indices of its sounds; ``speeds`` may be given where they are at hand.
    """
    found = speeds or Speeds(judged)
    share = easy_share(found, moves_of(judged, notes), judged.judgement.limits.easy)
    if share >= 1:
        return None
    tempo = judged.tempos.at(judged.demands[notes.start].sound.start)
    slow = Tempo(tempo.number * Fraction(share), tempo.beat)
    counted = _countable(slow)
    return Tempo(_whole(counted.number), counted.beat)


def easy_share(speeds: Speeds, moves: Iterable[int], limit: float) -> float:
    """The greatest share of the tempo, up to 1, at which every mean keeps within ``limit``."""
    share = 1.0
    for move in moves:
        # a mean falls at least as fast as the share does
        if speeds.windows[move] * share > limit and speeds.at(move, share) > limit:
            low, high = 0.0, share
            for _ in range(_HALVINGS):
                middle = (low + high) / 2
                low, high = (middle, high) if speeds.at(move, middle) <= limit else (low, middle)
            share = low
    return share


def easy_start(
    part: Part,
    span: Span,
    time: TimeSignature,
    *,
    voice: str = "",
    instrument: str | None = None,
    tempo: AskedTempo | None = None,
) -> Fraction | None:
    """Beats of ``time`` a minute that a ladder for a spot begins with, below the tempo there.

    From ``SLOWEST_START`` to ``QUICKEST_START`` of the performing tempo.  Terms as for demand_of,
    by the usual judgement.  None where the spot is easy at its tempo already, or no note of
    the voice lies in it: then nothing speaks for one number.
    """
    judged, speeds = _judged(part, voice, instrument, tempo)
    notes = notes_in(part, judged.line, span)
    if not notes:
        return None
    share = easy_share(speeds, moves_of(judged, notes), judged.judgement.limits.easy)
    top = judged.tempos.at(judged.demands[notes.start].sound.start).counted_in(time.beat).number
    number = _whole(top * Fraction(min(max(share, SLOWEST_START), QUICKEST_START)))
    return number if share < 1 and number < top else None


@lru_cache(maxsize=8)
def _judged(
    part: Part, voice: str, instrument: str | None, tempo: AskedTempo | None
) -> tuple[VoiceDemand, Speeds]:
    """A part is judged once for all its spots."""
    judged = demand_of(part, voice, instrument=instrument, tempo=tempo)
    return judged, Speeds(judged)


def _whole(number: Fraction) -> Fraction:
    return Fraction(max(floor(float(number) + _DUST), 1))


def _countable(tempo: Tempo) -> Tempo:
    """The same tempo counted in parts of the beat where a metronome does not go so slow."""
    parts = 2 if NoteValue.of(tempo.beat, max_dots=0) is not None else 3
    while tempo.number < _SLOWEST and tempo.beat.quarters > Fraction(1, 4):
        tempo = tempo.counted_in(Length(tempo.beat.quarters / parts))
        parts = 2
    return tempo
