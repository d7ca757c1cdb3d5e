"""Short ways to write notes and moves in the tests of effort."""

from __future__ import annotations

from drills.effort.moves import Move, cost_of_tones, instrument_for
from drills.instruments.fingering import Fingering, Table
from drills.music.pitch import Pitch

NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B")


def name_of(midi: int) -> str:
    """58 is "Bb3"."""
    return f"{NAMES[midi % 12]}{midi // 12 - 1}"


def midi_of(name: str) -> int:
    """ "Bb3" is 58."""
    return int(Pitch.parse(name).midi)


def run(instrument: str, text: str, *, alternates: bool = True) -> tuple[Move, ...]:
    """The moves of "C4 D4 E4"."""
    tones = [Pitch.parse(word) for word in text.split()]
    return cost_of_tones(tones, instrument_for(instrument), alternates=alternates)


def cost(instrument: str, text: str, *, alternates: bool = True) -> float:
    """The whole cost of "C4 D4 E4"."""
    return round(sum(move.cost for move in run(instrument, text, alternates=alternates)), 3)


def standard(table: Table, name: str) -> Fingering:
    """The standard fingering of a note of the table."""
    return table.notes[midi_of(name)][0]


def held(table: Table, name: str) -> frozenset[str]:
    """The keys of the standard fingering."""
    return frozenset(standard(table, name).keys)
