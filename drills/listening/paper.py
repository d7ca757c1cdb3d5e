"""What the page says of the notes that were to be played: names, bars, hard moves, the ladder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from drills.listening.verdict import Extra, NoteVerdict
from drills.music.pitch import Pitch

NAMES: Final = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
"""For what was heard and is not written."""


@dataclass(frozen=True, slots=True)
class OnLadder:
    """Where on the ladder of the sheet a take stands."""

    words: str
    """"96", the rung that was played."""
    following: str = ""
    """The next one; empty on the last."""
    needed: int = 5
    """Correct times in a row before going on."""


@dataclass(frozen=True, slots=True)
class OnPaper:
    """The notes as the player reads them.  All by number, from 1."""

    read: tuple[Pitch, ...] = ()
    """Each note as it is written; empty where that is not known."""
    bars: tuple[str, ...] = ()
    """The printed number of each note's bar; empty in a drill, whose bars are its own."""
    hard: Mapping[int, str] = field(default_factory=lambda: MappingProxyType({}))
    """The notes that hard moves of the sheet lead to, each with what is hard about it."""
    transposed: int = 0
    """Semitones by which all was played higher than written."""
    beat: float = 1.0
    """Quarters of what the ladder counts ..."""
    beat_words: str = "quarter"
    """... and its name: tempos are told in it."""

    def bar(self, number: int) -> str:
        """ "bar 33"; empty where it has no number."""
        return f"bar {self.bars[number - 1]}" if self.bars and self.bars[number - 1] else ""

    def tempo(self, quarters: float) -> float:
        """A tempo in quarters a minute as the ladder counts it."""
        return quarters / self.beat

    def written(self, note: NoteVerdict) -> str:
        """ "Bb4", as the player reads it; as it sounds where that is not known."""
        return str(self.read[note.number - 1]) if self.read else name_of(note.key)

    def heard(self, note: NoteVerdict) -> str:
        """What sounded in its place, as the player would read it."""
        return "" if note.heard is None else self._name(note, note.heard)

    def added(self, extra: Extra, notes: tuple[NoteVerdict, ...]) -> str:
        """An added note, as the player would read it."""
        return self._name(notes[max(extra.after, 1) - 1], extra.key)

    def _name(self, near: NoteVerdict, heard: int) -> str:
        moved = round(float(self.read[near.number - 1].midi)) - near.key if self.read else 0
        return name_of(heard + moved - self.transposed)


def name_of(key: int) -> str:
    """ "Bb4" for a MIDI number."""
    return f"{NAMES[key % 12]}{key // 12 - 1}"
