"""What could be practised in a spot, the most useful first: what a plan chooses from.

The order is that of teachers (common practice, not a published one): the hardest moves
alone, the beats as gestures, a rhythm that makes the hard moves the quick ones, the joins
and the cells around them, further rhythms, and whatever else there is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from drills.errors import NotationError
from drills.places.spots import Run
from drills.sheets.blocks import BlockKind
from drills.sheets.cells import Cell, cell_groups, cut, merge
from drills.sheets.drill import Drill
from drills.sheets.given import Given, same_pace
from drills.sheets.own_rhythm import Gesture, gesture_drill, gestures, joins, merged
from drills.sheets.rhythms import Rhythm, find_rhythms
from drills.sheets.telling import count_word

HARDEST: Final = 3
"""Moves that stand alone at most."""
LONG_RUN: Final = 24
"""Notes; of a longer run the rhythms take the hardest bar."""
FIRST_BEATS: Final = 6
"""Beats of a long spot that come before its rhythms."""
_AROUND: Final = (3, 4, 2)
"""Sizes of the cells around hard moves, in the order of their use."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A drill and the block that it would stand in."""

    key: str
    kind: BlockKind
    title: str
    drill: Drill


def candidates(given: Given) -> tuple[Candidate, ...]:
    """Everything that could be chosen, in the order of its use; nothing twice."""
    begin = _begin(given)
    beats = _gestures(given, BlockKind.BEATS)
    rhythms = _rhythms(given)
    first, others = (rhythms[0], rhythms[1:]) if rhythms else ([], [])
    joining = _gestures(given, BlockKind.JOINS)
    around = _around(given)
    rest = _other_cells(given)
    known = {one.drill.ranges for one in beats} | {one.drill.ranges for one in begin}
    cells = [one for one in around if one.drill.ranges not in known]
    seen = known | {one.drill.ranges for one in cells}
    left = [one for one in rest if one.drill.ranges not in seen]
    every = (*cells, *left) if given.choices.every_cell else ()
    useful = _by_use(given, beats)
    ordered = (
        *begin,
        *useful[:FIRST_BEATS],
        *every,
        *first,
        *_by_use(given, joining),
        *cells[: 2 * HARDEST],
        *(one for rhythm in others for one in rhythm),
        *useful[FIRST_BEATS:],
        *cells[2 * HARDEST :],
        *left,
    )
    return tuple(dict.fromkeys(ordered))


def _begin(given: Given) -> list[Candidate]:
    """The hardest moves alone."""
    numbers = given.hardest(HARDEST)
    line = given.spot.line
    cells = [
        Cell((line[number - 2], line[number - 1]), ((number - 1, number),)) for number in numbers
    ]
    drills = same_pace(given.cells(merge(cells), alike=False))
    return [
        Candidate("begin", BlockKind.BEGIN, "Begin here", drill)
        for drill in sorted(drills, key=lambda drill: numbers.index(drill.ranges[0][1]))
    ]


_TITLES: Final = {
    BlockKind.BEATS: "Beat by beat, each into the next",
    BlockKind.JOINS: "Over the joins",
}


def _gestures(given: Given, kind: BlockKind) -> list[Candidate]:
    drills: list[Drill] = []
    for run in given.spot.runs:
        whole = gestures(given.part, run)
        found = whole if kind is BlockKind.BEATS else joins(given.part, run, whole)
        drills += _written(given, run, found)
    return [Candidate(kind.value, kind, _TITLES[kind], drill) for drill in merged(drills)]


def _written(given: Given, run: Run, found: Iterable[Gesture]) -> Iterator[Drill]:
    """Gestures in notes; what cannot be written in a bar of its own is passed over."""
    for one in found:
        try:
            drill = gesture_drill(given.part, run, one, given.spot.slurs)
        except NotationError:
            continue
        if given.choices.keep_still or Cell(run.attacks[one.first : one.last + 1], ()).moves:
            yield drill


def _around(given: Given) -> list[Candidate]:
    """Cells with a hard move in them, move by move."""
    found: list[Candidate] = []
    numbers = given.hardest(HARDEST)
    for size in _AROUND:
        if size not in given.choices.sizes:
            continue
        cells = merge(cell for run in given.spot.runs for cell in cut(run, size))
        for number in numbers:
            held = [c for c in cells if any(a < number <= b for a, b in c.ranges)]
            found += _cells(given, size, held)
    return _one_pace(found)


def _other_cells(given: Given) -> list[Candidate]:
    """All overlapping cells, size by size."""
    choices = given.choices
    groups = cell_groups(
        given.spot.runs, choices.sizes, choices.order, given.costs, keep_still=choices.keep_still
    )
    found = [one for group in groups for one in _cells(given, group.size, group.cells)]
    return _one_pace(found)


def _cells(given: Given, size: int, cells: Iterable[Cell]) -> list[Candidate]:
    title = f"{count_word(size)} notes at a time" if size else "Each hard move, growing"
    key = f"cells-{size}" if size else "growing"
    return [
        Candidate(key, BlockKind.CELLS, title, drill) for drill in given.cells(cells, alike=False)
    ]


def _one_pace(found: Sequence[Candidate]) -> list[Candidate]:
    """Cells that the ladder of their block fits."""
    paces = {one.key: one.drill.pace for one in reversed(found)}
    return [one for one in found if one.drill.pace == paces[one.key]]


# --- rhythms ------------------------------------------------------------------------


def _rhythms(given: Given) -> list[list[Candidate]]:
    """The line, or its hardest bar, in every rhythm: first what makes hard moves quick."""
    found = []
    for rhythm in _chosen(given):
        drills = given.lines(_practised(given), rhythm, named=True)
        if not drills:  # a line of two notes with a value that the rhythm cannot have
            continue
        whole = len(given.spot.runs) == 1 and drills[0].size == len(given.spot.line)
        found.append([_rhythm(drill, whole=whole) for drill in drills])
    return found


def _rhythm(drill: Drill, *, whole: bool) -> Candidate:
    name = drill.label.partition(", notes")[0]
    first, last = drill.ranges[0]
    what = "The whole line" if whole else f"Notes {first} to {last}"
    key = f"line-{drill.rhythm}" if whole else f"line-{drill.rhythm}-{first}"
    return Candidate(key, BlockKind.RHYTHM, f"{what}, {name}", replace(drill, label=name))


def _practised(given: Given) -> list[Run]:
    """The runs that are played in rhythms: of a long line the hardest bar with its landing."""
    runs = [run for run in given.spot.runs if len(run.attacks) > 2]
    if not runs:
        return [given.long_run] if len(given.long_run.attacks) > 1 else []
    if len(given.spot.line) <= LONG_RUN:
        return runs
    numbers = given.hardest(HARDEST)
    pieces = [piece for run in runs for piece in _bars(run)]
    return [max(pieces, key=lambda piece: sum(given.rate(n) for n in numbers if _has(piece, n)))]


def _has(run: Run, number: int) -> bool:
    return run.attacks[0].number < number <= run.attacks[-1].number


def _bars(run: Run) -> Iterator[Run]:
    """A run cut at bar lines, each piece with the note after it."""
    bars = dict.fromkeys(a.origin.bar for a in run.attacks if a.origin is not None)
    for bar in bars:
        places = [n for n, a in enumerate(run.attacks) if a.origin and a.origin.bar == bar]
        piece = run.attacks[places[0] : places[-1] + 2]
        if len(piece) > 2:
            yield Run(piece)


def _chosen(given: Given) -> list[Rhythm]:
    """The rhythms asked for, those first in which the hard moves are quick ones.

    What is even says nothing that the line as written does not.
    """
    rhythms = dict.fromkeys(r for name in given.choices.rhythms for r in find_rhythms(name))
    uneven = [rhythm for rhythm in rhythms if len(set(rhythm.weights)) > 1 or rhythm.accents]
    numbers = given.hardest(HARDEST)
    starts = {n: run.attacks[0].number for run in _practised(given) for n in _numbers(run)}

    def quick(rhythm: Rhythm) -> float:
        """What the hard moves cost that are quick in a rhythm."""
        if len(set(rhythm.weights)) == 1:
            return -1.0
        return sum(
            given.rate(number)
            for number in numbers
            if number - 1 in starts and _is_quick(rhythm, number - 1 - starts[number - 1])
        )

    return sorted(uneven, key=lambda rhythm: -quick(rhythm))


def _numbers(run: Run) -> range:
    return range(run.attacks[0].number, run.attacks[-1].number + 1)


def _is_quick(rhythm: Rhythm, place: int) -> bool:
    """True where the note at a place of the line is a short one of the cycle."""
    return rhythm.weights[place % len(rhythm.weights)] == min(rhythm.weights)


# --- order --------------------------------------------------------------------------


def _by_use(given: Given, found: Sequence[Candidate]) -> list[Candidate]:
    """First what has hard moves in it, then what costs more."""
    numbers = given.hardest(HARDEST)

    def use(one: Candidate) -> tuple[bool, float]:
        first, last = one.drill.ranges[0]
        inside = range(first + 1, last + 1)
        return any(n in numbers for n in inside), max((given.rate(n) for n in inside), default=0.0)

    return sorted(found, key=use, reverse=True)
