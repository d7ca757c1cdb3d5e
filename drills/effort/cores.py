"""The few moves that make a passage hard.

Method.  Moves between the same two notes are one core, however often they come; those
that ask at least ``HARD`` of what the hardest asks are told, at most ``MOST`` of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import itemgetter
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
    alike: dict[tuple[int, ...], list[tuple[int, Move]]] = {}
    for index in moves_of(judged, notes):
        move = judged.demands[index].move
        if move is not None and move.terms:
            # most tones of a part are one object each, and objects are quick to compare
            same = (id(move.first), id(move.second), *map(id, move.through))
            alike.setdefault(same, []).append((index, move))
    found: dict[tuple[Tone, ...], list[tuple[int, Move]]] = {}
    for moves in alike.values():
        move = moves[0][1]
        found.setdefault((move.first, move.second, *move.through), []).extend(moves)
    cores = [_core(judged, sorted(moves, key=itemgetter(0))) for moves in found.values()]
    cores.sort(key=lambda core: (-round(core.effort, 6), core.note))
    limit = HARD * cores[0].effort if cores else 0.0
    return tuple(core for core in cores[:MOST] if core.effort >= limit)


def _core(judged: VoiceDemand, moves: Sequence[tuple[int, Move]]) -> Core:
    demands = judged.demands
    worst, move = max(moves, key=lambda one: (round(demands[one[0]].effort, 6), -one[0]))
    return Core(move, worst, demands[worst].effort, tuple(index for index, _ in moves))
