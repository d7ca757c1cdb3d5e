"""What was to be played, as a row of notes that a recording can be compared with."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WantedNote:
    """One attack that is written."""

    at: float
    """Quarters from the start."""
    length: float
    """Quarters, ties joined."""
    key: int
    """Sounding MIDI number."""
    slurred: bool = False
    """From the note before."""
    grace: bool = False
    """A grace note: it belongs to the next note that is none, and may be left out."""
    pure: float | None = None
    """Cents from equal temperament at which it is beatless in its chord; None where no chord
    is told."""
    bar: int = 0
    """Number of its bar, from 0."""
    beat: bool = False
    """It stands on a beat: a player who goes back begins here rather than elsewhere."""
    share: float | None = None
    """How far into its beat it stands, 0 on the beat, under 1; None where that is not told."""
    short: bool = False
    """A dot or wedge makes it shorter than it is written."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What was to be played."""

    notes: tuple[WantedNote, ...]
    pace: float
    """Seconds a quarter that are expected; a first guess only."""
    bar_words: tuple[str, ...] = ("",)
    """The printed number of each bar."""
    beat: float = 1.0
    """Quarters of a beat."""
    swing: float = 1.0
    """How many times as long an eighth on the beat is as the one off it: places and lengths are
    moved for it already."""

    @property
    def mains(self) -> tuple[int, ...]:
        """Indices of the notes that are no grace notes: those that are numbered on the sheet."""
        return tuple(n for n, note in enumerate(self.notes) if not note.grace)

    @property
    def keys(self) -> range:
        """The keys that are listened for: those of the notes and some on either side."""
        keys = [note.key for note in self.notes]
        return range(max(min(keys) - BESIDE, 21), min(max(keys) + BESIDE, 108) + 1)

    @property
    def struck(self) -> tuple[int, ...]:
        """The keys that occur."""
        return tuple(sorted({note.key for note in self.notes}))


BESIDE = 9
"""Semitones beside the written range at which wrong notes are looked for."""
