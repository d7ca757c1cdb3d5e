"""The hard spots of a part, the hardest first.

Problem.  The notes that ask most lie together in places; a player wants those
places, neither one note nor half a page, cut where music can be cut.

Method.  A run is divided at its musical edges: beats, bars, and the ends of slurs.  The
piece with the greatest sum of squared efforts is a seed; it takes in neighbours of
the same run as long as their mean effort is at least ``LIKE`` of the seed's, those
of its own bar first, up to ``MOST_NOTES`` notes in ``MOST_BARS`` bars.  Then the next seed,
until no free piece holds a move above the easy limit.  A spot counts as hard as the
root of the sum of its squared efforts: of two equally dense places the longer is the
harder, and one wild leap does not make a line of slow notes hard.  Everything is
decided by the notes around a place, so that a bar of rests more changes nothing; for
the same reason breath, which comes from far, counts in the order but cuts nothing.

Music that comes again note for note is one spot: the occurrence that asks most
stands in the list, the others are named with it.

Conventions.  The moves of a spot are those from its first note up to the landing
note, the one after its last if that is in the run.  Of equal spots the earlier comes
first.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import sqrt
from operator import mul
from typing import Final, NamedTuple

from drills.effort.demand import Demand, VoiceDemand
from drills.effort.naming import notes_in, span_of
from drills.effort.settings import TERMS
from drills.places.finding import Span

LIKE: Final = 0.6
"""Share of the seed's mean effort that a neighbour must have (our own choice)."""
MOST_NOTES: Final = 16
MOST_BARS: Final = 2
_MANY: Final = 6
"""Notes by which longer music that comes again is looked up."""
_BREATH: Final = list(TERMS).index("breath")
FEWEST_MOVES: Final = 3


@dataclass(frozen=True, slots=True)
class HardSpot:
    """A stretch that the program proposes."""

    span: Span
    """As find_span reads ``span.asked``."""
    notes: range
    """Indices of its sounds in the voice."""
    hardness: float
    """Root of the sum of the squared efforts of its moves: fingers a second."""
    demands: tuple[Demand, ...]
    """Of its moves: from the second note up to the landing note."""
    again: tuple[Span, ...] = ()
    """Where else the same notes stand, in order."""
    again_notes: tuple[range, ...] = ()
    """Those of each of them."""


class _Piece(NamedTuple):
    """Notes between two edges; ``end`` is the first note of the next piece."""

    run: int
    bar: int
    first: int
    end: int
    square: float
    """Sum of the squared efforts, without breath, of the moves that begin in it."""
    whole: float
    """The same with breath."""
    moves: int
    peak: float
    mean: float
    """Effort of a move."""


def hard_spots(
    judged: VoiceDemand, top: int | None = None, marked: Sequence[Span] = ()
) -> tuple[HardSpot, ...]:
    """The hard spots of a voice, the hardest first, ``top`` of them or all.

    Spots that share a note with what the player ``marked``, wherever their music
    stands, are left out, and so is a stretch that no place text can name (bars
    without numbers).
    """
    theirs = [notes_in(judged.part, judged.line, span) for span in marked]
    found: list[HardSpot] = []
    for stretch in sorted(_stretches(judged), key=lambda one: (-one.hardness, one.notes.start)):
        if len(found) == top:
            break
        places = (stretch.notes, *stretch.again)
        if not any(_share(one, other) for one in places for other in theirs):
            spot = _spot(judged, stretch)
            found += [spot] if spot is not None else []
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A hard spot that has no name yet."""

    notes: range
    hardness: float
    again: tuple[range, ...]


def _stretches(judged: VoiceDemand) -> list[_Stretch]:
    """Seeds in the order of their weight, each grown, until nothing hard is free."""
    pieces = _pieces(judged)
    firsts = [piece.first for piece in pieces]
    taken = [False] * len(pieces)
    music = _Music(judged.demands)
    found = []
    for seed in sorted(range(len(pieces)), key=lambda i: (-pieces[i].square, i)):
        if taken[seed] or pieces[seed].peak <= judged.judgement.limits.easy:
            continue
        low, high = _grown(judged, pieces, taken, seed)
        if sum(piece.moves for piece in pieces[low:high]) < FEWEST_MOVES:
            continue
        notes = range(pieces[low].first, pieces[high - 1].end)
        again = music.elsewhere(notes)
        for stretch in (notes, *again):
            _take(firsts, taken, stretch)
        whole = sum(piece.whole for piece in pieces[low:high])
        found.append(_Stretch(notes, round(sqrt(whole), 6), again))
    return found


# --- pieces ---------------------------------------------------------------------


def _pieces(judged: VoiceDemand) -> list[_Piece]:
    edges = _edges(judged)
    demands = judged.demands
    breath = judged.judgement.weights["breath"]
    found = []
    for first, end in pairwise([*edges, len(demands)]):
        run = demands[first].run
        last = end + 1 if end < len(demands) and demands[end].run == run else end
        moves = demands[first + 1 : last]
        efforts = [d.effort - breath * d.amounts[_BREATH] for d in moves]
        found.append(
            _Piece(
                run=run,
                bar=demands[first].sound.origin.bar,
                first=first,
                end=end,
                square=round(sum(map(mul, efforts, efforts)), 6),
                whole=sum([d.effort * d.effort for d in moves]),
                moves=len(efforts),
                peak=max(efforts, default=0.0),
                mean=sum(efforts) / len(efforts) if efforts else 0.0,
            )
        )
    return found


def _edges(judged: VoiceDemand) -> list[int]:
    """Where a spot may begin: at a run, on a beat, in a new bar, after a slur."""
    after_slurs = {last + 1 for _, last in judged.line.slurs}
    found = []
    before = (-1, -1)
    for index, demand in enumerate(judged.demands):
        here = (demand.run, demand.sound.origin.bar)
        if here != before or demand.on_beat or index in after_slurs:
            found.append(index)
        before = here
    return found


def _grown(
    judged: VoiceDemand, pieces: Sequence[_Piece], taken: Sequence[bool], seed: int
) -> tuple[int, int]:
    """The pieces from ``low`` up to ``high`` that belong with the seed."""
    low, high = seed, seed + 1
    wanted = pieces[seed].mean * LIKE

    def free(index: int) -> bool:
        inside = 0 <= index < len(pieces)
        return inside and not taken[index] and pieces[index].run == pieces[seed].run

    while True:
        small = sum(piece.moves for piece in pieces[low:high]) < FEWEST_MOVES
        beside = [
            index
            for index in (low - 1, high)
            if free(index)
            and (small or pieces[index].mean >= wanted)
            and _fits(judged, pieces[min(low, index)].first, pieces[max(high - 1, index)].end)
        ]
        if not beside:
            return low, high
        best = max(beside, key=lambda i: (pieces[i].bar == pieces[seed].bar, pieces[i].mean, -i))
        low, high = min(low, best), max(high, best + 1)


def _fits(judged: VoiceDemand, first: int, end: int) -> bool:
    """True for a stretch that is not too long."""
    if end - first <= FEWEST_MOVES:
        return True
    bars = [judged.demands[index].sound.origin.bar for index in (first, end - 1)]
    return end - first <= MOST_NOTES and bars[1] - bars[0] < MOST_BARS


def _take(firsts: Sequence[int], taken: list[bool], notes: range) -> None:
    """No other spot may have a note of this stretch; ``firsts`` are those of the pieces."""
    begin = bisect_right(firsts, notes.start) - 1
    for index in range(begin, bisect_right(firsts, notes.stop - 1)):
        taken[index] = True


def _share(one: range, other: range) -> bool:
    return max(one.start, other.start) < min(one.stop, other.stop)


# --- spots ----------------------------------------------------------------------


def _spot(judged: VoiceDemand, stretch: _Stretch) -> HardSpot | None:
    notes = stretch.notes
    span = span_of(judged.part, judged.line, notes)
    if span is None:
        return None
    again = [(span_of(judged.part, judged.line, other), other) for other in stretch.again]
    run = judged.demands[notes.start].run
    ways = judged.demands[notes.start + 1 : notes.stop + 1]
    return HardSpot(
        span=span,
        notes=notes,
        hardness=stretch.hardness,
        demands=tuple(demand for demand in ways if demand.run == run),
        again=tuple(other for other, _ in again if other is not None),
        again_notes=tuple(notes for other, notes in again if other is not None),
    )


class _Music:
    """Finds where the same notes stand again."""

    def __init__(self, demands: Sequence[Demand]) -> None:
        numbers: dict[object, int] = {}
        by_identity: dict[tuple[int, ...], int] = {}
        self._notes = []
        for note in (demand.sound.notes[0] for demand in demands):
            same = (*map(id, note.tones), 0, *map(id, note.graces))
            if same not in by_identity:
                music = (note.tones, note.graces)
                by_identity[same] = numbers.setdefault(music, len(numbers))
            self._notes.append(by_identity[same])
        self._ticks = [demand.tick for demand in demands]
        self._places: dict[int, dict[tuple[int, ...], list[int]]] = {}

    def _beginning(self, notes: list[int]) -> list[int]:
        """Where the first few of these notes stand in a row."""
        size = _MANY if len(notes) >= _MANY else FEWEST_MOVES
        if size not in self._places:
            places: dict[tuple[int, ...], list[int]] = {}
            rows = zip(*(self._notes[start:] for start in range(size)), strict=False)
            for index, row in enumerate(rows):
                places.setdefault(row, []).append(index)
            self._places[size] = places
        return self._places[size].get(tuple(notes[:size]), [])

    def elsewhere(self, stretch: range) -> tuple[range, ...]:
        """Stretches with the same notes at the same distances, that share no note."""
        notes = self._notes[stretch.start : stretch.stop]
        found: list[range] = []
        for at in self._beginning(notes):
            other = range(at, at + len(stretch))
            if (
                other.stop <= len(self._notes)
                and self._notes[at : other.stop] == notes
                and not _share(other, stretch)
                and not (found and _share(other, found[-1]))
                and self._steps(other) == self._steps(stretch)
            ):
                found.append(other)
        return tuple(found)

    def _steps(self, stretch: range) -> list[int]:
        first = self._ticks[stretch.start]
        return [tick - first for tick in self._ticks[stretch.start : stretch.stop]]
