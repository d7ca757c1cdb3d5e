"""The passages of a voice that are hard as a whole, as a player would bracket them.

Problem.  The notes that ask most lie together in places; a player wants those places,
neither one note nor a slice of sixteen, cut where music can be cut.

Method.  A voice is divided where a player would end a bracket in any case: at rests of a
beat, after notes that are held for ``LONG_BEATS``, at repeats and double bars.  Inside, at
its edges (beats, bars, the ends of slurs), into pieces.  The piece with the hardest four
moves in a row (speed.py) is a seed.  It takes in its neighbours, however many, as long as
they are hard themselves and ask at least ``LIKE`` of what the seed asks; pieces in between
that are easier are bridged, up to the next bar.  A bracket that covers half of what a bar
has is drawn to the bar line.  Then the next seed, until nothing hard is free, so that no
two passages share a note.

How hard a passage is: the cube root of the cubed efforts of its moves, each times its
seconds, added up.  Eight times the length counts twice: endurance asks for more the longer
a passage is, but a player who has its moves has them on every page.  And the cube lets the
hard moves decide, since a hand that is nearly at its limit tires much faster than one at
half of it.  (Our own choice; measured is only that endurance falls much faster than load
grows.)  Time, not notes, is counted, so a flourish of one beat is not hard by its many
notes once more.

Conventions.  The moves of a passage are those from its first note up to the landing note,
the one after its last if that is in the run.  Everything is decided by the notes around a
place, so that a bar of rests more changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise
from math import ceil
from operator import mul
from typing import Final, NamedTuple

from drills.effort.demand import VoiceDemand
from drills.effort.speed import WINDOW, Speeds, moves_of

LIKE: Final = 0.5
"""Share of the seed's effort that a piece must have to belong to it (our own choice)."""
LONG_BEATS: Final = 2
"""Beats from attack to attack after which a passage ends (common practice)."""
FEWEST_MOVES: Final = 3
HEART_NOTES: Final = 16
HEART_BARS: Final = 2
DUST: Final = 1e-6
"""What adding decimals leaves beside a limit."""


class Passage(NamedTuple):
    """A hard stretch of a voice."""

    notes: range
    """Indices of its sounds."""
    hardness: float
    heart: range
    """Its hardest stretch of up to HEART_NOTES notes in HEART_BARS bars: all of it if short."""


class _Piece(NamedTuple):
    """Notes between two edges; ``end`` is the first note of the next piece."""

    section: int
    """Pieces of one section may stand in one passage."""
    bar: int
    first: int
    end: int
    level: float
    """The effort of the moves that begin in it, on average over their time."""
    peak: float
    """The hardest moves in a row that touch it."""


def passages(judged: VoiceDemand, speeds: Speeds) -> tuple[Passage, ...]:
    """All hard passages of a voice, the hardest first, of equals the earlier."""
    pieces = _pieces(judged, speeds)
    taken = [piece.peak <= judged.judgement.limits.easy + DUST for piece in pieces]
    owner = [False] * len(pieces)
    found = []
    for seed in sorted(range(len(pieces)), key=lambda i: _order(pieces, i)):
        if taken[seed]:
            continue
        low, high = _drawn(pieces, owner, *_grown(pieces, owner, seed, judged))
        for index in range(low, high):
            taken[index] = owner[index] = True
        notes = range(pieces[low].first, pieces[high - 1].end)
        if _is_hard(judged, speeds, notes):
            heart = _heart(judged, pieces[low:high])
            found.append(Passage(notes, _hardness(judged, notes), heart))
    return tuple(sorted(found, key=lambda one: (-one.hardness, one.notes.start)))


def _order(pieces: Sequence[_Piece], index: int) -> tuple[float, float, int]:
    piece = pieces[index]
    return (-round(piece.peak, 6), -round(piece.level, 6), index)


def _is_hard(judged: VoiceDemand, speeds: Speeds, notes: range) -> bool:
    """True where moves in a row are hard that lie in the stretch, not only beside it."""
    efforts = [speeds.efforts[index] for index in moves_of(judged, notes)]
    limit = (judged.judgement.limits.easy + DUST) * WINDOW
    return len(efforts) >= FEWEST_MOVES and any(
        sum(efforts[at : at + WINDOW]) > limit for at in range(max(1, len(efforts) - WINDOW + 1))
    )


def _hardness(judged: VoiceDemand, notes: range) -> float:
    total = 0.0
    for index in moves_of(judged, notes):
        demand = judged.demands[index]
        total += demand.effort**3 * demand.seconds
    return float(round(total ** (1 / 3), 6))


# --- pieces ---------------------------------------------------------------------


def _pieces(judged: VoiceDemand, speeds: Speeds) -> list[_Piece]:
    demands = judged.demands
    found = []
    sections, hottest = _sections(judged), speeds.hottest()
    for first, end in pairwise([*_edges(judged, sections), len(demands)]):
        last = end + (end < len(demands) and demands[end].run == demands[end - 1].run)
        efforts = speeds.efforts[first + 1 : last]
        times = [demand.seconds for demand in demands[first + 1 : last]]
        whole = sum(times)
        level = sum(map(mul, efforts, times)) / whole if whole else 0.0
        peak = max(hottest[first + 1 : last], default=0.0)
        bar = demands[first].sound.origin.bar
        found.append(_Piece(sections[first], bar, first, end, level, peak))
    return found


def _sections(judged: VoiceDemand) -> list[int]:
    """For every note the number of the section it lies in."""
    bars = judged.part.bars
    barriers = [
        0,
        *accumulate(
            one.ends_repeat > 0 or one.final or two.starts_repeat for one, two in pairwise(bars)
        ),
    ]
    long = [ceil(LONG_BEATS * bar.time.beat.quarters * judged.ticks) for bar in bars]
    found = []
    number, run, at, tick = 0, 0, 0, 0
    for demand in judged.demands:
        bar = demand.sound.origin.bar
        ends = demand.run != run or barriers[bar] != barriers[at]
        number += ends or demand.tick - tick >= long[at]
        run, at, tick = demand.run, bar, demand.tick
        found.append(number)
    return found


def _edges(judged: VoiceDemand, sections: Sequence[int]) -> list[int]:
    """Where a passage may begin: at a section, on a beat, in a new bar, after a slur."""
    after_slurs = {last + 1 for _, last in judged.line.slurs}
    found = []
    before = (-1, -1)
    for index, demand in enumerate(judged.demands):
        here = (sections[index], demand.sound.origin.bar)
        if here != before or demand.on_beat or index in after_slurs:
            found.append(index)
        before = here
    return found


# --- brackets -------------------------------------------------------------------


def _grown(
    pieces: Sequence[_Piece], owner: Sequence[bool], seed: int, judged: VoiceDemand
) -> tuple[int, int]:
    """The pieces from ``low`` up to ``high`` that belong with the seed."""
    wanted, easy = pieces[seed].peak * LIKE, judged.judgement.limits.easy

    def reach(step: int) -> int:
        """The last piece in a direction that belongs to it."""
        last = index = seed
        while 0 <= index + step < len(pieces):
            index += step
            piece = pieces[index]
            if owner[index] or piece.section != pieces[seed].section:
                break
            if abs(piece.bar - pieces[last].bar) > 1:
                break
            if piece.peak > easy and piece.level >= wanted:
                last = index
        return last

    low, high = reach(-1), reach(1) + 1
    while low + 1 < high and pieces[low].level < wanted:
        low += 1
    while low + 1 < high and pieces[high - 1].level < wanted:
        high -= 1
    return low, high


def _drawn(pieces: Sequence[_Piece], owner: Sequence[bool], low: int, high: int) -> tuple[int, int]:
    """The same, drawn to the bar line where that takes in no more than is there already."""
    bar = pieces[low].bar
    first = low
    while first and _joins(pieces, owner, first - 1, low) and pieces[first - 1].bar == bar:
        first -= 1
    inside = sum(p.end - p.first for p in pieces[low:high] if p.bar == bar)
    if pieces[low].first - pieces[first].first <= inside:
        low = first
    bar = pieces[high - 1].bar
    last = high
    while last < len(pieces) and _joins(pieces, owner, last, low) and pieces[last].bar == bar:
        last += 1
    inside = sum(p.end - p.first for p in pieces[low:high] if p.bar == bar)
    if pieces[last - 1].end - pieces[high - 1].end <= inside:
        high = last
    return low, high


def _joins(pieces: Sequence[_Piece], owner: Sequence[bool], index: int, other: int) -> bool:
    return not owner[index] and pieces[index].section == pieces[other].section


def _heart(judged: VoiceDemand, pieces: Sequence[_Piece]) -> range:
    """The stretch of whole pieces with the greatest hardness that is short enough to drill."""
    weights = [
        sum(demand.effort**3 * demand.seconds for demand in judged.demands[p.first + 1 : p.end + 1])
        for p in pieces
    ]
    best, heart = -1.0, range(pieces[0].first, pieces[0].end)
    for low, high in _short(pieces):
        weight = sum(weights[low:high])
        if weight > best + 1e-9:
            best, heart = weight, range(pieces[low].first, pieces[high - 1].end)
    return heart


def _short(pieces: Sequence[_Piece]) -> Iterator[tuple[int, int]]:
    """From every piece on, as many as keep within the limits."""
    for low, piece in enumerate(pieces):
        high = low + 1
        while (
            high < len(pieces)
            and pieces[high].end - piece.first <= HEART_NOTES
            and pieces[high].bar - piece.bar < HEART_BARS
        ):
            high += 1
        yield low, high
