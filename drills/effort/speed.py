"""The part of the effort that goes with the tempo, over a few moves in a row.

Problem.  Whether a place is too quick is not decided by one move: an awkward one among
easy ones has some of their time, since the fingers are set in advance.  Method.  The
efforts of ``WINDOW`` moves in a row are averaged; a run that is shorter has had rest
before it, which counts as moves that ask nothing.  The end of the range and the breath,
which no tempo takes away, are left out.

Conventions.  The move that leads into a run, over a rest, counts as nothing, so that a
bar of rests more or less changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from drills.effort.demand import Demand, VoiceDemand
from drills.effort.settings import TERMS

WINDOW: Final = 4
"""Moves that a player sets at once: a hand thinks in beats of four notes (our own choice)."""
_NAMES: Final = list(TERMS)
_TONGUING: Final = _NAMES.index("tonguing")
_LAST: Final = _NAMES.index("range")
"""The terms from here on do not go with the tempo."""


class Speeds:
    """For every note of a voice what the way to it asks for at the tempo in force."""

    def __init__(self, judged: VoiceDemand) -> None:
        weights = tuple(judged.judgement.weights[name] for name in TERMS)
        lasting = weights[_LAST:]
        self.tonguing = weights[_TONGUING]
        self.efforts: list[float] = []
        """Fingers a second, 0 for the first note of a run."""
        self.strokes: list[float] = []
        """What tonguing adds to each."""
        self.places: list[int] = []
        """How many moves of its run lie before and at each."""
        run, count = -1, 0
        for demand in judged.demands:
            if demand.run != run or demand.move is None:
                run, count = demand.run, 0
                self.efforts.append(0.0)
                self.strokes.append(0.0)
            else:
                count += 1
                self.efforts.append(_without(demand, lasting))
                self.strokes.append(self.tonguing * demand.amounts[_TONGUING])
            self.places.append(count)
        self.windows: list[float] = []
        """Means of the moves up to each note, ``WINDOW`` of them, of its run."""
        for index, count in enumerate(self.places):
            first = index + 1 - min(count, WINDOW)
            self.windows.append(sum(self.efforts[first : index + 1]) / WINDOW)

    def at(self, index: int, share: float) -> float:
        """The mean up to a note at a ``share`` of the tempo in force.

        Rates go with the tempo; tonguing counts from half the limit on, so it falls
        away sooner.
        """
        total = 0.0
        for move in range(index + 1 - min(self.places[index], WINDOW), index + 1):
            tongued = self.strokes[move]
            total += (self.efforts[move] - tongued) * share
            if tongued:
                total += max(0.0, (tongued + self.tonguing) * share - self.tonguing)
        return total / WINDOW

    def hottest(self) -> list[float]:
        """For every note the greatest mean of those that the move to it belongs to."""
        found = self.windows.copy()
        places = self.places
        for index in range(len(found) - 1):
            for after in range(index + 1, min(index + WINDOW, len(found))):
                if places[after] != places[index] + after - index or not places[index]:
                    break
                found[index] = max(found[index], self.windows[after])
        return found


def _without(demand: Demand, lasting: Sequence[float]) -> float:
    """The effort without the terms that do not go with the tempo."""
    kept = demand.effort
    for amount, weight in zip(demand.amounts[_LAST:], lasting, strict=True):
        if amount:
            kept -= amount * weight
    return max(kept, 0.0)


def moves_of(judged: VoiceDemand, notes: range) -> Iterator[int]:
    """The notes that the moves of a stretch lead to: from its second up to the landing note."""
    demands = judged.demands
    yield from range(notes.start + 1, notes.stop)
    if notes.stop < len(demands) and demands[notes.stop].run == demands[notes.stop - 1].run:
        yield notes.stop
