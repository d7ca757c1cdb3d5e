"""What a sheet is made of: blocks, each with its drills, its ladder and its minutes.

Problem.  A page of drills says nothing of what to do with them.  A block says it: what is
played, how often in a row, at which metronome numbers, and how long that takes.

Method.  A block's time is counted from what is printed: every drill as often as the
instruction says, on every number of the block's ladder, with a moment to set the
metronome, a moment for each drill and a breath after each time through a line.
Nothing is added for what goes wrong.

Conventions.  Times are exact seconds; minutes are what a player reads.  The key of a block
stays the same from one version to the next, so that a log, a plan or a recording can name it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Final

from drills.effort.fingers import Diagram
from drills.music.score import Bar
from drills.music.time import Length
from drills.notation.measured import measured_once
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.ladder import Ladder


class BlockKind(StrEnum):
    """What a block is for, in the order in which blocks stand on a page."""

    BEGIN = "begin"
    """The hardest moves, each alone."""
    BEATS = "beats"
    """Each beat with the note that it leads to."""
    JOINS = "joins"
    """The last two notes of a beat and the first two of the next."""
    CELLS = "cells"
    """Overlapping cells of one size."""
    RHYTHM = "rhythm"
    """The line, or its hardest bar, in one rhythm."""
    LINE = "line"
    """The spot as it stands, up the ladder."""
    CHORDS = "chords"
    """The player's note in each chord, slowly."""

    @property
    def drills(self) -> DrillKind:
        """What the drills of such a block are made of."""
        return _DRILLS[self]


_DRILLS: Final = {
    BlockKind.BEGIN: DrillKind.CELL,
    BlockKind.BEATS: DrillKind.CELL,
    BlockKind.JOINS: DrillKind.CELL,
    BlockKind.CELLS: DrillKind.CELL,
    BlockKind.RHYTHM: DrillKind.LINE,
    BlockKind.LINE: DrillKind.LINE,
    BlockKind.CHORDS: DrillKind.CHORD,
}

SETTING: Final = Fraction(4)
"""Seconds to set the metronome to the next number (our own estimate, as what follows)."""
MOMENT: Final = Fraction(2)
"""Seconds to breathe and find the next drill."""
BREAK: Final = Fraction(30)
"""Seconds of rest between two blocks."""
BREATH: Final = Length(Fraction(1))
"""Quarters between two times through a line, which has no repeat sign."""


@dataclass(frozen=True, slots=True)
class Block:
    """Drills that are practised together, up one ladder."""

    key: str
    """Stable: "begin", "beats", "joins", "cells-3", "cells-3-dotted", "line-dotted",
    "as-written", "chords"."""
    kind: BlockKind
    title: str
    """Printed: "Three notes at a time", "The whole line, dotted"."""
    instruction: str
    """What to do, in a player's words: "Five times right in a row, then one number up."."""
    drills: tuple[Drill, ...]
    ladder: Ladder
    fingerings: tuple[str, ...] = ()
    """For each drill what the fingers do, in words; empty where no table knows."""
    diagrams: tuple[tuple[Diagram, ...], ...] = ()
    """For each drill its fingerings as they are drawn; empty unless asked for."""
    before_merging: tuple[tuple[int, int], ...] = ()
    """For cells: the number range of each, before equal ones were merged."""
    printed: bool = True
    """False where its music is the spot on top of the page."""

    @property
    def drills_in_one_file(self) -> bool:
        """Whether its drills are heard one after another: cells are, runs of a line are not."""
        return self.kind.drills is DrillKind.CELL

    @property
    def seconds(self) -> Fraction:
        """What the block takes as it is printed."""
        ladder = self.ladder
        length = sum((_played(drill) for drill in self.drills), Fraction(0))
        once = ladder.repetitions * length * 60 / ladder.beat.length.quarters
        each = SETTING + MOMENT * len(self.drills)
        return each * len(ladder.rungs) + once * _one_beat_each(ladder.rungs)

    @property
    def minutes(self) -> float:
        """The same in minutes."""
        return float(self.seconds / 60)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Drills that had no room in the time or on the paper."""

    key: str
    """Of the block that they would be in."""
    title: str
    count: int
    """How many drills."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How the time of a sheet was meant to be spent."""

    minutes: Fraction
    """Asked for."""
    breaks: Fraction = Fraction(0)
    """Seconds of rest, as the page says."""
    left_out: tuple[LeftOut, ...] = ()
    why: str = ""
    """Why the minutes are not what was asked for; empty where they are."""


@lru_cache(maxsize=256)
def _one_beat_each(rungs: tuple[Fraction, ...]) -> Fraction:
    """Minutes of a beat at each number together; a plan asks for the same ladders many times."""
    return sum((1 / number for number in rungs), Fraction(0))


def _played(drill: Drill) -> Fraction:
    """Quarters of one time through, with the breath after a line."""
    return _quarters(drill.bars) + (Fraction(0) if drill.repeated else BREATH.quarters)


@measured_once
def _quarters(bars: tuple[Bar, ...]) -> Fraction:
    return sum((bar.length.quarters for bar in bars), Fraction(0))


def seconds_of(blocks: Iterable[Block]) -> Fraction:
    """What some blocks take together."""
    return sum((block.seconds for block in blocks), Fraction(0))


def drill_words(block: Block, drill: Drill) -> str:
    """A drill where it stands by itself: "Two notes at a time, 4-6", "The whole line, dotted"."""
    if block.kind.drills is not DrillKind.CELL:
        notes = drill.label.partition(", notes ")[2]
        return f"{block.title}, notes {notes}" if notes else block.title
    return f"{block.title}, {drill.label}"
