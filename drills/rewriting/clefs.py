"""The clef that the new player reads, and octave lines over what still lies far off.

Method.  The clefs of an instrument stand in its row of the table, the usual one
first.  Each stretch (flow.py: cut at rests and at bar lines, never inside a slur,
tie or beam) gets one; the cheapest way through them all is sought, where a note
costs more the more ledger lines it needs beyond one, and a change of clef costs as
much as four notes with three.  So a trombone reads the tenor clef where the music
stays high, and four ledger lines are seldom passed where a clef is to be had.  The
score's own octave lines are dropped with its clefs; a line stands over (or under)
notes of six ledger lines and more and their neighbours.  Players who read beyond
that without a line are few (common practice); the costs are our own choice.

Staff places count in steps above C0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from typing import Final

from drills.music.notes import Note
from drills.music.score import Clef
from drills.rewriting.cheapest import cheapest_way
from drills.rewriting.flow import pitches_of

_REFERENCE: Final = {"G": 32, "F": 24, "C": 28}
"""The step that a clef's sign marks: G4, F3, C4."""
_BY_LEDGERS: Final = (0, 0, 1, 3, 6, 24)
"""What a note costs by its ledger lines; beyond, as much more for each."""
_CHANGE: Final = 12
_UNUSUAL: Final = 6
"""For each stretch in the second clef of an instrument; twice as much in the third."""
_LINE_FROM: Final = 6
"""Ledger lines from which an octave line is printed."""
_LINE_TAKES_IN: Final = 3
"""Ledger lines of the neighbours that stand under it too."""


def ledgers(step: int, clef: Clef) -> int:
    """Ledger lines over the staff (positive) or under it (negative) of a place on it."""
    if clef.sign not in _REFERENCE:
        return 0
    bottom = _REFERENCE[clef.sign] - 2 * (clef.line - 1) + 7 * clef.octave_change
    if step > bottom + 8:
        return (step - bottom - 8) // 2
    return -((bottom - step) // 2) if step < bottom else 0


def clefs_for(
    stretches: Sequence[Sequence[tuple[int, ...]]], allowed: Sequence[Clef]
) -> list[Clef]:
    """A clef for each stretch, given by the staff places of the notes that count."""
    if len(allowed) == 1:
        return [allowed[0]] * len(stretches)
    rows = [
        {index: _stretch_cost(stretch, index, clef) for index, clef in enumerate(allowed)}
        for stretch in stretches
    ]
    way = cheapest_way(rows, lambda _, old, new: _CHANGE if old != new else 0)
    return [allowed[index] for index in way]


def _stretch_cost(stretch: Sequence[tuple[int, ...]], index: int, clef: Clef) -> int:
    """What a stretch costs in the clef of that place among those of the instrument."""
    steps = [step for note in stretch for step in note]
    return sum(_cost(step, clef) for step in steps) + (_UNUSUAL * index if steps else 0)


def _cost(step: int, clef: Clef) -> int:
    lines = abs(ledgers(step, clef))
    last = len(_BY_LEDGERS) - 1
    return _BY_LEDGERS[min(lines, last)] * max(1, lines - last + 1)


def with_octave_lines(notes: Sequence[Note], clef: Clef) -> list[Note]:
    """Notes that follow each other in one voice, octave lines over those far from the staff."""
    far = [_farthest(note, clef) for note in notes]
    found: list[int] = []
    for side, run in groupby(far, key=_side):
        lines = list(run)
        covered = any(abs(number) >= _LINE_FROM for number in lines)
        found += [side if covered else 0] * len(lines)
    return [
        note if note.octave_line == line else replace(note, octave_line=line)
        for note, line in zip(notes, found, strict=True)
    ]


def _side(lines: int) -> int:
    """1 far above the staff, -1 far below, 0 near it."""
    return 0 if abs(lines) < _LINE_TAKES_IN else (1 if lines > 0 else -1)


def _farthest(note: Note, clef: Clef) -> int:
    """Ledger lines of the pitch that is farthest from the staff; 0 where others lie across it."""
    lines = [ledgers(pitch.diatonic, clef) for pitch in pitches_of(note)]
    if not lines or (min(lines) < 0 < max(lines)):
        return 0
    return max(lines, key=abs)
