"""The waist of the program: spots and choices go in, a Sheet comes out.

Nothing above this module knows LilyPond, MIDI or audio; everything below it
works on a Sheet alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from drills.ladder import Ladder, Tempo
from drills.music.score import Bar, Credits
from drills.music.time import Position
from drills.spots import Spot


class DrillKind(StrEnum):
    """What a drill is made of."""

    CELL = "cell"
    LINE = "line"


@dataclass(frozen=True, slots=True)
class Drill:
    """One thing to play, written out in full bars."""

    kind: DrillKind
    label: str
    """Printed above: the cell's number range ("4-6") or the rhythm's name ("reversed dotted")."""
    rhythm: str
    """Key of the rhythm, such as "reversed-dotted"."""
    size: int
    """Number of attacks."""
    ranges: tuple[tuple[int, int], ...]
    """First and last note number of every place in the line where it occurs."""
    bars: tuple[Bar, ...]
    """Full bars with one voice; indices and numbers count from 1 in the drill."""
    repeated: bool
    """Printed between repeat signs."""


@dataclass(frozen=True, slots=True)
class DrillGroup:
    """Drills that stand together under one heading."""

    title: str
    """"Two notes at a time"."""
    kind: DrillKind
    drills: tuple[Drill, ...]
    merged_from: int = 0
    """For cells: how many there were before equal ones were merged."""


@dataclass(frozen=True, slots=True)
class NoteNumber:
    """The number printed under a note of the excerpt."""

    bar: int
    """Index into Excerpt.bars."""
    start: Position
    number: int


@dataclass(frozen=True, slots=True)
class Excerpt:
    """The spot as the part prints it."""

    bars: tuple[Bar, ...]
    """One voice each; the bar of a landing note ends with that note."""
    numbers: tuple[NoteNumber, ...]
    open_ended: bool
    """True where the last bar is cut after the landing note: no bar line there."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """An ordered set of drills with the printed spot they come from."""

    credits: Credits
    part: str
    """The part's name as printed."""
    spot: Spot
    words: str
    """The spot for reading, capitalised as a heading would be."""
    tempo: Tempo
    """The performing tempo."""
    excerpt: Excerpt
    groups: tuple[DrillGroup, ...]
    ladder: Ladder
    cautions: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    """What the reader left out or assumed, as far as it concerns this spot."""
    student: bool = False
    """Room for the student's name and the date."""
    teacher: bool = False
    """Room for the teacher's word."""
    source: str = ""
    """The file the part was read from."""
