"""The sheet: everything that is printed, heard or told of one spot.

Nothing above this module knows LilyPond, MIDI or audio; everything below works on a
Sheet alone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final, Protocol

from drills.effort.moves import Move
from drills.harmony.chord import NoteFunction
from drills.music.score import Credits
from drills.music.tempo import Tempo
from drills.places.spots import Spot
from drills.sheets.blocks import Block, BlockKind, Plan
from drills.sheets.excerpt import Excerpt, HeldFunctions
from drills.sheets.ladder import Ladder

CAUTIONS: Final = (
    "Repeat slowly and correctly: what is repeated wrong is learned wrong.",
    "Rest often, stop at pain, and keep the level in headphones low. "
    "Your teacher's and your doctor's advice come before this sheet.",
)
"""Printed on every sheet."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """Blocks of drills with the printed spot that they come from."""

    credits: Credits
    part: str
    """The part's name as printed."""
    spot: Spot
    words: str
    """The spot for reading, capitalised as a heading would be."""
    tempo: Tempo
    """The performing tempo."""
    excerpt: Excerpt
    blocks: tuple[Block, ...]
    """In the order of the page."""
    ladder: Ladder
    """Of the spot as it stands, up to the performing tempo."""
    cautions: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    """What was left out or assumed, as far as it concerns this spot."""
    student: bool = False
    name: str = ""
    """Of the student, printed where there is room for it; empty to leave the room."""
    teacher: bool = False
    source: str = ""
    """The file the part was read from."""
    moves: tuple[Move | None, ...] = ()
    """From each note of the line to the next; None from run to run."""
    hard: tuple[int, ...] = ()
    """Numbers of the notes that the hard moves of the spot lead to."""
    functions: tuple[tuple[NoteFunction, ...], ...] = ()
    """For each note of the line what each of its tones does in the chord; empty unless asked."""
    held: tuple[HeldFunctions, ...] = ()
    """The same in every chord that begins while a note is held."""
    start: Fraction | None = None
    """Beats a minute that its ladders begin with; None for half the performing tempo."""
    sounds: tuple[str, ...] = ()
    """For the spot and each block after it the name of its sound file; empty unless asked."""
    plan: Plan | None = None
    """How its time is spent; None where everything is printed."""


class Paper(Protocol):
    """What a sheet is printed on, as far as its plan needs to know."""

    def holds(self, sheet: Sheet, /) -> bool:
        """Whether the sheet fits."""

    def smaller(self, sheet: Sheet, /) -> Paper | None:
        """Less paper to try, where the sheet leaves much of it empty."""


def with_ladder(sheet: Sheet, ladder: Ladder) -> Sheet:
    """The sheet with another ladder for the spot as it stands, on the page too."""
    blocks = tuple(
        replace(block, ladder=ladder) if block.kind is BlockKind.LINE else block
        for block in sheet.blocks
    )
    return replace(sheet, ladder=ladder, blocks=blocks)


def bars_alone(sheet: Sheet) -> Sheet:
    """The printed spot of a sheet without anything to do: what was understood of some bars."""
    return replace(
        sheet,
        excerpt=replace(sheet.excerpt, numbers=()),
        blocks=(),
        hard=(),
        cautions=(),
        remarks=(),
        plan=None,
    )
