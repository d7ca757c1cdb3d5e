"""The few moves that make a passage hard.

Method.  Moves between the same two notes are one core, however often they come; those
that ask at least ``HARD`` of what the hardest asks are told, at most ``MOST`` of them.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from drills.effort.demand import VoiceDemand
from drills.effort.moves import Move
from drills.effort.speed import moves_of
from drills.music.pitch import Tone

HARD: Final = 0.75
MOST: Final = 3
"""Both our own choice."""


class Core(NamedTuple):
    """A hard move of a passage."""

    move: Move
    """Where it asks most."""
    note: int
    """Index of the sound that it leads to there."""
    effort: float
    """Fingers a second."""
    notes: tuple[int, ...]
    """The same for every time it comes, in order."""


def cores_of(judged: VoiceDemand, notes: range) -> tuple[Core, ...]:
    """The cores of a stretch, the hardest first, of equals the earlier."""
    found: dict[tuple[Tone, Tone, tuple[Tone, ...]], list[int]] = {}
    for index in moves_of(judged, notes):
        move = judged.demands[index].move
        if move is not None and move.terms:
            found.setdefault((move.first, move.second, move.through), []).append(index)
    cores = [_core(judged, indices) for indices in found.values()]
    cores.sort(key=lambda core: (-round(core.effort, 6), core.note))
    limit = HARD * cores[0].effort if cores else 0.0
    return tuple(core for core in cores[:MOST] if core.effort >= limit)


def _core(judged: VoiceDemand, indices: list[int]) -> Core:
    worst = max(indices, key=lambda index: (round(judged.demands[index].effort, 6), -index))
    demand = judged.demands[worst]
    assert demand.move is not None
    return Core(demand.move, worst, demand.effort, tuple(indices))
