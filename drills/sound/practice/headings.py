"""The headings of a printed sheet, so that each can have a sound file of its own.

They are numbered as they stand on the page: the spot itself, each size of cells,
the line in each rhythm, the chords.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from drills.sheets.blocks import Block
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.sheet import Sheet
from drills.sound.practice.choices import KINDS, Material

EXCERPT: str = "excerpt"
"""What the spot itself is called in a file's name; on the page it has no heading."""


@dataclass(frozen=True, slots=True)
class Heading:
    """One heading of a sheet, with what stands under it."""

    number: int
    """From 1, in the order of the page."""
    words: str
    material: Material
    blocks: tuple[Block, ...] = ()
    """The drills under it; none for the spot itself."""

    def alone(self, sheet: Sheet) -> Sheet:
        """The sheet with nothing but what stands under this heading."""
        return replace(sheet, blocks=self.blocks)


def headings_of(sheet: Sheet) -> tuple[Heading, ...]:
    """Every heading of a sheet in the order of the page."""
    return tuple(
        Heading(number, words, material, blocks)
        for number, (words, material, blocks) in enumerate(_headings(sheet), 1)
    )


def _headings(sheet: Sheet) -> Iterator[tuple[str, Material, tuple[Block, ...]]]:
    yield EXCERPT, Material.SPOT, ()
    materials = {kind: material for material, kind in KINDS.items()}
    for block in sheet.blocks:
        if not block.printed:
            continue  # its music is the spot itself
        material = materials[block.kind.drills]
        if block.drills_in_one_file:
            if block.drills:
                yield block.title, material, (block,)
            continue
        for drill in block.drills:
            words = _line_words(block, drill)
            yield words, material, (replace(block, drills=(drill,)),)


def _line_words(block: Block, drill: Drill) -> str:
    return drill.label if block.kind.drills is DrillKind.LINE else "chords"
