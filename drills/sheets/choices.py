"""What a player chooses about a sheet."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.music.time import NoteValue
from drills.places.tempos import AskedTempo
from drills.sheets.cells import Order
from drills.sheets.drill import Ending
from drills.sheets.ladder import RUNGS

USUAL_MINUTES: Final = Fraction(15)
"""Of a spot, where a player does not say how long (the command line)."""
DEFAULT_RHYTHMS: Final = ("even", "dotted", "reversed-dotted", "grouped-in-threes")


@dataclass(frozen=True, slots=True)
class Choices:
    """What the player chooses about a sheet; every field has a sensible default."""

    sizes: tuple[int, ...] = (2, 3, 4)
    """Sizes of cells, 2 to 8; empty for none."""
    rhythms: tuple[str, ...] = DEFAULT_RHYTHMS
    """For whole runs: names of the table, families, or proportions such as "3:1:1:2"."""
    cell_rhythms: tuple[str, ...] = ()
    """Rhythms for cells, besides even notes, where their size is at least one cycle."""
    order: Order = Order.MUSIC
    ending: Ending = Ending.HOLD
    """How a cell goes on after its last note."""
    turn: int = 0
    """Notes later that the cycle of a line's rhythm starts."""
    approach: bool = False
    """The note before the spot belongs to the line."""
    landing: bool = True
    """The note after the spot belongs to the line."""
    value: NoteValue | None = None
    """Levelled value of the even line; the commonest in the music unless given."""
    cell_value: NoteValue | None = None
    """Value of the notes of a cell; that of the music unless given."""
    minutes: Fraction | None = None
    """Time to practise: the sheet has the drills that do most in it; None for everything."""
    fingerings: bool = False
    """The fingerings of the hardest moves are drawn, besides the words."""
    every_cell: bool = False
    """All overlapping cells of the sizes, before any rhythm."""
    keep_still: bool = False
    """Keep cells that repeat one pitch."""
    tempo: Fraction | None = None
    """Performing tempo in ``tempo_beat`` a minute; the score's unless given."""
    tempo_beat: NoteValue | None = None
    """What ``tempo`` counts; the beat of the time signature unless given."""
    tempo_source: str = "as asked"
    """Where ``tempo`` comes from, for the sheet's header."""
    tempo_only_for: str | None = None
    """``tempo`` holds only where the score has these words and no number."""
    tempo_place: Fraction | None = None
    """Where ``tempo`` is asked for, in quarters from the start of the part; the beginning of
    each spot unless given."""
    start: Fraction | None = None
    """Lowest rung in beats a minute; unless given the tempo up to which the spot is easy, or
    half the performing tempo where it is easy at that."""
    rungs: int = RUNGS
    voice: str | None = None
    instrument: str | None = None
    """What moves are judged on; the score's unless given."""
    student: bool = False
    """Room for the student's name and the date."""
    teacher: bool = False
    """Room for the teacher's word."""

    @property
    def asked_tempo(self) -> AskedTempo | None:
        """The tempo that the player names, if any."""
        if self.tempo is None:
            return None
        beat, source = self.tempo_beat, self.tempo_source
        return AskedTempo(self.tempo, beat, source, self.tempo_only_for, self.tempo_place)

    def __post_init__(self) -> None:
        wrong = [size for size in self.sizes if not 2 <= size <= 8]
        if wrong:
            raise UsageError(f"a cell has 2 to 8 notes, not {wrong[0]}")
        if not (self.sizes or self.rhythms):
            raise UsageError("neither cells nor rhythms are asked for; give --sizes or --rhythm")
