"""Cells: two, three, four successive notes of a run, and how they are written.

Method.  A run of n notes has n-k+1 cells of size k; they overlap, so that every
move stands in several.  A run shorter than k gives one cell of its own length,
once.  Cells with the same written tones (spelling and grace notes count) are
merged and remember every place where they occur; a cell that repeats one tone
is dropped unless asked for, since nothing moves.

Conventions.  ``costs`` are those of the moves of a line (effort/moves.py): from note n
to note n + 1 at index n - 1; what lies between two runs costs nothing.

Worked example: c d e f and the landing note g have four cells of two notes,
three of three and two of four.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from drills.music.pitch import Pitch
from drills.places.spots import Attack, Run

LARGEST = 8
"""Notes in the largest cell that can be asked for."""
GROWN = 16
"""Notes up to which a cell grows note by note; then comes the whole run."""


class Order(StrEnum):
    """In which order the cells stand."""

    MUSIC = "music"
    """As they come."""
    BACK = "back"
    """From the last to the first, so that each leads into something known."""
    HARDEST = "hardest"
    """By effort, the hardest first."""
    GROW = "grow"
    """Each hard move alone, then with a note more on either side, until the run is whole."""


@dataclass(frozen=True, slots=True)
class Cell:
    """Successive attacks of one run."""

    attacks: tuple[Attack, ...]
    ranges: tuple[tuple[int, int], ...]
    """First and last note number of every place where it occurs, in order."""

    @property
    def size(self) -> int:
        """Number of attacks."""
        return len(self.attacks)

    @property
    def moves(self) -> bool:
        """False where the same tones are only repeated, however they are spelled."""
        return any(_sounding(a) != _sounding(b) for a, b in pairwise(self.attacks))


@dataclass(frozen=True, slots=True)
class CellGroup:
    """The cells of one size."""

    size: int
    """0 for cells that grow."""
    before_merging: tuple[Cell, ...]
    cells: tuple[Cell, ...]


def cut(run: Run, size: int) -> tuple[Cell, ...]:
    """The overlapping cells of ``size`` notes; the run itself where it is shorter."""
    size = min(size, len(run.attacks))
    return tuple(
        _cell(run.attacks[first : first + size]) for first in range(len(run.attacks) - size + 1)
    )


def cell_groups(
    runs: Sequence[Run],
    sizes: Iterable[int],
    order: Order,
    costs: Sequence[float],
    *,
    keep_still: bool = False,
    hard: Collection[int] = (),
) -> tuple[CellGroup, ...]:
    """The cells of every size, merged and ordered.

    A run that is shorter than a size appears under the smallest size that is at
    least its length and nowhere again.  With ``Order.GROW`` there is one group, around the
    moves that lead to the notes ``hard``, or around the hardest where none stands out.
    """
    if order is Order.GROW:
        grown = tuple(cell for run in runs for cell in grow(run, costs, hard))
        return (CellGroup(0, grown, merge(grown, keep_still=keep_still)),) if grown else ()
    groups = []
    ordered = sorted(set(sizes))
    for number, size in enumerate(ordered):
        done = ordered[number - 1] if number else 0
        cells = tuple(
            cell
            for run in runs
            if len(run.attacks) >= size or len(run.attacks) > done
            for cell in cut(run, size)
        )
        merged = merge(cells, keep_still=keep_still)
        if merged:
            groups.append(CellGroup(size, cells, arranged(merged, order, costs)))
    return tuple(groups)


def merge(cells: Iterable[Cell], *, keep_still: bool = False) -> tuple[Cell, ...]:
    """Equal cells as one, at the place of the first, with all their ranges."""
    found: dict[object, Cell] = {}
    for cell in cells:
        if not (cell.moves or keep_still):
            continue
        key = tuple((a.tones, a.graces, a.graces_after) for a in cell.attacks)
        known = found.get(key)
        ranges = (*(known.ranges if known else ()), *cell.ranges)
        found[key] = Cell((known or cell).attacks, tuple(dict.fromkeys(ranges)))
    return tuple(found.values())


def arranged(cells: Sequence[Cell], order: Order, costs: Sequence[float]) -> tuple[Cell, ...]:
    """The cells of one size in the wanted order; equals stay as they come.

    Of two cells with the same hardest move the one that costs more in all is harder.
    """
    if order is Order.BACK:
        return tuple(reversed(cells))
    if order is Order.HARDEST:
        return tuple(sorted(cells, key=lambda cell: _hardness(cell, costs), reverse=True))
    return tuple(cells)


def _hardness(cell: Cell, costs: Sequence[float]) -> tuple[float, float]:
    """The cost of its hardest move, and of all its moves."""
    first, last = cell.ranges[0]
    own = costs[first - 1 : last - 1]
    return max(own, default=0.0), round(sum(own), 6)


def grow(
    run: Run, costs: Sequence[float], hard: Collection[int] = (), moves: int = 3
) -> tuple[Cell, ...]:
    """The hardest moves of a run, each alone, then with a note more on either side.

    The hardest grows to GROWN notes and then to the whole run, the others (at
    most ``moves`` in all, no two within three notes of each other) to LARGEST.
    """
    attacks = run.attacks
    count = len(attacks)
    cells = []
    for number, index in enumerate(_hard_moves(attacks, costs, hard, moves)):
        largest = LARGEST if number else GROWN
        low, high = index, index + 2
        while high - low <= largest:
            cells.append(_cell(attacks[low:high]))
            if (low, high) == (0, count):
                break
            low, high = max(low - 1, 0), min(high + 1, count)
    if cells and count > max(cell.size for cell in cells):
        cells.append(_cell(attacks))
    return tuple(cells)


def _hard_moves(
    attacks: Sequence[Attack], costs: Sequence[float], hard: Collection[int], moves: int
) -> list[int]:
    """Indices of the first note of the hard moves, hardest first; the hardest if none is."""
    efforts = [costs[attack.number - 1] for attack in attacks[:-1]]
    ranked = sorted(range(len(efforts)), key=lambda i: (-efforts[i], i))
    chosen: list[int] = []
    for index in ranked:
        wanted = not hard or attacks[index + 1].number in hard
        far = all(abs(index - c) > 3 for c in chosen)
        if len(chosen) < moves and efforts[index] and wanted and far:
            chosen.append(index)
    return chosen or ranked[:1]


def _sounding(attack: Attack) -> tuple[object, ...]:
    """The tones by what is played: a respelled pitch is the same."""
    return tuple(tone.midi if isinstance(tone, Pitch) else tone for tone in attack.tones)


def _cell(attacks: tuple[Attack, ...]) -> Cell:
    return Cell(attacks, ((attacks[0].number, attacks[-1].number),))
