"""What the blocks of a sheet are made from: a spot, its moves, and the player's choices."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from drills.effort.fingers import Diagram, diagrams, finger_words
from drills.effort.moves import Move
from drills.effort.within import judged_on
from drills.music.score import Part
from drills.music.tempo import Tempo
from drills.music.time import Length, TimeSignature
from drills.places.spots import Run, Spot
from drills.sheets.cells import Cell
from drills.sheets.choices import Choices
from drills.sheets.drill import EVEN, Drill, cell_drill
from drills.sheets.excerpt import setting_at
from drills.sheets.ladder import Ladder, drill_ladder
from drills.sheets.levels import cell_length, levelled, own_length
from drills.sheets.line_drills import line_drills
from drills.sheets.rhythms import Rhythm


@dataclass(frozen=True, slots=True)
class Given:
    """A spot and all that decides about its drills."""

    part: Part
    spot: Spot
    choices: Choices
    tempo: Tempo
    """The performing tempo."""
    moves: tuple[Move | None, ...]
    """From each note of the line to the next."""
    hard: tuple[int, ...]
    """Numbers of the notes that hard moves lead to."""

    @property
    def time(self) -> TimeSignature:
        """The time signature in which the spot begins."""
        return setting_at(self.part, self.spot.line[0]).time

    @property
    def costs(self) -> list[float]:
        """What each move costs; nothing from run to run."""
        return [0.0 if move is None else move.cost for move in self.moves]

    @property
    def long_run(self) -> Run:
        """The run with most notes."""
        return max(self.spot.runs, key=lambda run: len(run.attacks))

    @property
    def level(self) -> Length:
        """The commonest length of the longest run."""
        return levelled(self.long_run, setting_at(self.part, self.spot.line[0]))

    def rate(self, number: int) -> float:
        """What the move to a note costs for the time that it has."""
        move, length = self.moves[number - 2], self.spot.line[number - 2].length
        return 0.0 if move is None or not length else move.cost / float(length.quarters)

    def hardest(self, most: int) -> tuple[int, ...]:
        """The notes that the hardest moves lead to, the hardest first; one if none stands out."""
        moving = [n + 2 for n, move in enumerate(self.moves) if move is not None and move.cost]
        numbers = self.hard or moving
        ranked = sorted(numbers, key=lambda number: (-self.rate(number), number))
        return tuple(ranked[: most if self.hard else 1])

    def fingering(self, number: int) -> str:
        """What the fingers do on the way to a note; empty where no table knows."""
        move = self.moves[number - 2]
        if move is None:
            return ""
        instrument = judged_on(self.part, self.spot.line[number - 2], self.choices.instrument)
        return finger_words(move, instrument)

    def diagrams(self, number: int) -> tuple[Diagram, ...]:
        """The fingerings of the move to a note, to be drawn; none where no table knows."""
        move = self.moves[number - 2]
        if move is None:
            return ()
        instrument = judged_on(self.part, self.spot.line[number - 2], self.choices.instrument)
        return diagrams(move, instrument)

    def ladder(self, drills: Sequence[Drill], rungs: int, repetitions: int) -> Ladder:
        """A ladder to the performing speed for drills of one pace."""
        return drill_ladder(
            self.tempo,
            self.time,
            drills[0].pace,
            rungs=min(rungs, self.choices.rungs),
            repetitions=repetitions,
            start=self.choices.start,
        )

    def cells(
        self, cells: Iterable[Cell], rhythm: Rhythm = EVEN, *, alike: bool = True
    ) -> tuple[Drill, ...]:
        """Cells written out: ``alike`` all in the value of the commonest note, else each in
        that of its own notes."""
        return tuple(self._cell(cell, rhythm, alike) for cell in cells)

    def lines(self, runs: Iterable[Run], rhythm: Rhythm, *, named: bool) -> list[Drill]:
        """Runs written out in a rhythm; ``named`` as for line_drills."""
        return [
            drill
            for run in runs
            for drill in line_drills(
                self.part,
                run,
                rhythm,
                self.spot.slurs,
                value=self.choices.value,
                turn=self.choices.turn,
                named=named,
            )
        ]

    def _cell(self, cell: Cell, rhythm: Rhythm, alike: bool) -> Drill:
        asked = self.choices.cell_value
        own = self.level if alike or asked else own_length(cell.attacks)
        return cell_drill(
            cell,
            setting_at(self.part, cell.attacks[0]),
            asked.length if asked else cell_length(own),
            self.choices.ending,
            slurs=self.spot.slurs,
            rhythm=rhythm,
            own=own,
        )


def same_pace(drills: Sequence[Drill]) -> tuple[Drill, ...]:
    """The drills that one ladder fits: those with the pace of the first."""
    pace = drills[0].pace if drills else Fraction(1)
    return tuple(drill for drill in drills if drill.pace == pace)
