"""The headings of a printed sheet, so that each can have a sound file of its own.

They are numbered as they stand on the page: the spot itself, each size of cells,
the line in each rhythm, the chords.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from drills.sheet.drill import DrillKind
from drills.sheet.making import DrillGroup, Sheet
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
    groups: tuple[DrillGroup, ...] = ()
    """The drills under it; none for the spot itself."""

    def alone(self, sheet: Sheet) -> Sheet:
        """The sheet with nothing but what stands under this heading."""
        return replace(sheet, groups=self.groups)


def headings_of(sheet: Sheet) -> tuple[Heading, ...]:
    """Every heading of a sheet in the order of the page."""
    return tuple(
        Heading(number, words, material, groups)
        for number, (words, material, groups) in enumerate(_headings(sheet), 1)
    )


def _headings(sheet: Sheet) -> Iterator[tuple[str, Material, tuple[DrillGroup, ...]]]:
    yield EXCERPT, Material.SPOT, ()
    materials = {kind: material for material, kind in KINDS.items()}
    for group in sheet.groups:
        material = materials[group.kind]
        if group.kind is DrillKind.CELL:
            if group.drills:
                yield group.title, material, (group,)
            continue
        for drill in group.drills:
            words = drill.label if group.kind is DrillKind.LINE else "chords"
            yield words, material, (replace(group, drills=(drill,)),)
