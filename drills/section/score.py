"""Music of several players, one staff each, as the pages of a section print it.

Everything that is printed in score for a section has this one form: the spot
reduced to chords, chords that are built up, cells that all play at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from drills.music.score import Bar
from drills.music.time import Position
from drills.sheets.drill import UnderNote


class ScoreKind(StrEnum):
    """What a section score is made of."""

    SPOT = "spot"
    """The spot as the parts print it, all staves together."""
    CHORDS = "chords"
    """The spot slowed and reduced to its chords, bar by bar."""
    BUILD = "build"
    """The same chords built up in the order in which a section tunes."""
    CELLS = "cells"
    """The same cell in all parts at once; every cell is repeated."""


@dataclass(frozen=True, slots=True)
class Staff:
    """One player's staff: full bars with one voice, as WRITTEN for the player."""

    name: str
    """The part's name as printed."""
    bars: tuple[Bar, ...]
    """As many as every other staff of the score has, each as long as theirs."""
    under: tuple[UnderNote, ...] = ()


@dataclass(frozen=True, slots=True)
class ChordName:
    """A chord's name over the top staff, in concert pitch."""

    bar: int
    start: Position
    text: str
    """Such as "Bbm7/Db"; "b" and "#" are printed as signs."""
    remark: str = ""
    """Printed small beside it where it is no symbol of the score: "notes"."""


@dataclass(frozen=True, slots=True)
class SectionScore:
    """Staves that sound together under one heading."""

    kind: ScoreKind
    heading: str
    staves: tuple[Staff, ...]
    """In the order of the score."""
    chords: tuple[ChordName, ...] = ()
    bar_labels: tuple[str, ...] = ()
    """Over each bar: the printed bar number where the music's bar begins, a cell's beats; else
    empty.  As many as bars."""
    ends: tuple[int, ...] = ()
    """Bars (indices) after which a double bar line stands: the end of a bar of the music, of a
    chord that was built up, of a cell."""
    repeated: bool = False
    """Every stretch between two ``ends`` is printed between repeat signs."""
