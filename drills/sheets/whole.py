"""Every block that can be made of a spot: what is printed when no time is given.

All overlapping cells of every size, the line in every rhythm, the line as written.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from drills.sheets.blocks import Block, BlockKind
from drills.sheets.cells import CellGroup, cell_groups
from drills.sheets.drill import EVEN
from drills.sheets.given import Given
from drills.sheets.ladder import RUNGS
from drills.sheets.rhythms import Rhythm, find_rhythms
from drills.sheets.telling import ORDERS, count_word, instruction

REPETITIONS: Final = 5


def all_cells(given: Given) -> Iterator[Block]:
    """The cells of every size, even and in the rhythms asked for."""
    choices = given.choices
    groups = cell_groups(
        given.spot.runs,
        choices.sizes,
        choices.order,
        given.costs,
        keep_still=choices.keep_still,
        hard=given.hard,
    )
    extra = [rhythm for name in choices.cell_rhythms for rhythm in find_rhythms(name)]
    for group in groups if choices.sizes else ():
        yield _cells(given, group, EVEN)
        for rhythm in extra:
            if 0 < group.size >= len(rhythm.weights):
                yield _cells(given, group, rhythm)


def _cells(given: Given, group: CellGroup, rhythm: Rhythm) -> Block:
    """The cells of one size in one rhythm."""
    title = f"{count_word(group.size)} notes at a time" if group.size else "Each hard move, growing"
    key = f"cells-{group.size}" if group.size else "growing"
    drills = given.cells(group.cells, rhythm)
    even = rhythm == EVEN
    return Block(
        key if even else f"{key}-{rhythm.key}",
        BlockKind.CELLS,
        title if even else f"{title}, {rhythm.name}",
        instruction(REPETITIONS, ORDERS[given.choices.order] if group.size else ""),
        drills,
        given.ladder(drills, RUNGS, REPETITIONS),
        before_merging=tuple(cell.ranges[0] for cell in group.before_merging),
    )


def all_lines(given: Given) -> Iterator[Block]:
    """Every rhythm over every run that has more than one note."""
    rhythms = [rhythm for name in given.choices.rhythms for rhythm in find_rhythms(name)]
    for rhythm in dict.fromkeys(rhythms):
        yield from rhythm_blocks(given, rhythm)


def rhythm_blocks(given: Given, rhythm: Rhythm) -> Iterator[Block]:
    """One rhythm over every run: a block, or one for each form that it takes."""
    runs = [run for run in given.spot.runs if len(run.attacks) > 1]
    drills = given.lines(runs, rhythm, named=len(given.spot.runs) > 1)
    keys = dict.fromkeys((drill.rhythm, drill.pace) for drill in drills)
    for number, (key, pace) in enumerate(keys):
        own = tuple(drill for drill in drills if (drill.rhythm, drill.pace) == (key, pace))
        name = own[0].label.partition(", notes")[0]
        again = [k for k, _ in list(keys)[:number]].count(key)
        yield Block(
            f"line-{key}" if not again else f"line-{key}-{again + 1}",
            BlockKind.RHYTHM,
            f"{'The whole line' if len(runs) == 1 else 'Each run'}, {name}",
            instruction(REPETITIONS),
            own,
            given.ladder(own, RUNGS, REPETITIONS),
        )
