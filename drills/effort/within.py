"""The moves inside a spot, and which of them are the hard ones.

Method.  Each run of the line is judged on its own, on the instrument of its first
note.  A move is hard if, by cost for its time, it asks at least ``HARD`` of what the
hardest of the spot asks; at most one in ``ONE_IN`` is told, and where that cannot be
(a trill, whose moves are all alike) none stands out and none is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from drills.effort.moves import Move, cost_of_run, instrument_for
from drills.instruments.judged import EffortInstrument
from drills.music.score import Instrument, Part
from drills.places.spots import Attack, Run

HARD: Final = 0.75
ONE_IN: Final = 4
"""Both our own choice."""


def moves_within(
    part: Part, runs: Sequence[Run], asked: str | None = None
) -> tuple[tuple[Move | None, ...], tuple[EffortInstrument, ...]]:
    """The move from each note of a line to the next (None from run to run), and on what.

    ``asked`` is an instrument's name that holds in place of the score's.
    """
    moves: list[Move | None] = []
    instruments = []
    for number, run in enumerate(runs):
        instrument = judged_on(part, run.attacks[0], asked)
        instruments.append(instrument)
        moves += [None] if number else []
        moves += cost_of_run(run.attacks, instrument)
    return tuple(moves), tuple(dict.fromkeys(instruments))


def judged_on(part: Part, attack: Attack, asked: str | None = None) -> EffortInstrument:
    """What the moves around an attack are judged on."""
    return instrument_for(_instrument(part, attack) if asked is None else asked)


def hard_moves(line: Sequence[Attack], moves: Sequence[Move | None]) -> tuple[int, ...]:
    """Numbers of the notes that the hard moves of a line lead to, in order."""
    rates = [
        0.0 if move is None or not attack.length else move.cost / float(attack.length.quarters)
        for attack, move in zip(line, moves, strict=False)
    ]
    allowed = max(1, len(rates) // ONE_IN)
    limit = HARD * max(rates, default=0.0)
    for rate in sorted(set(rates)):
        hard = [index for index, one in enumerate(rates) if one >= rate]
        if rate >= limit and len(hard) <= allowed:
            return tuple(line[index + 1].number for index in hard if rates[index])
    return ()


def _instrument(part: Part, attack: Attack) -> Instrument:
    return part.instrument if attack.origin is None else part.bars[attack.origin.bar].instrument
