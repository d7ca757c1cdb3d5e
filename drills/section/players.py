"""A section in a spot: what each player gets, what they play together, and in which chords."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drills.harmony.chord import Harmony, NoteFunction
from drills.music.pitch import Pitch, Tone
from drills.music.score import Credits, Part
from drills.music.tempo import Tempo
from drills.places.finding import Span
from drills.section.score import SectionScore
from drills.sheets.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Player:
    """One part of the section in the spot."""

    part: Part
    span: Span | None
    """The stretch in the player's own bars; None where the part has no music there."""
    sheet: Sheet | None
    """Their drills; None where there is nothing to drill."""
    silence: str = ""
    """Why there is no sheet, for the player: "rests from bar 33 to bar 36", "holds G4 ..."."""
    doublings: tuple[str, ...] = ()
    """With whom they play: "with the 1st clarinet, an octave lower"."""


@dataclass(frozen=True, slots=True)
class PlayerPage:
    """What one player gets for a section's spot: their sheet, or why there is none."""

    player: Player
    words: str
    """The spot for reading."""
    tempo: Tempo


@dataclass(frozen=True, slots=True)
class SliceNote:
    """What one part does in a slice: the tone that sounds there."""

    part: int
    """Index into Section.players."""
    written: Tone
    sounding: Pitch | None
    """None for a note without pitch."""
    begins: bool
    """False where it was begun in an earlier slice and still sounds."""
    function: NoteFunction | None
    cents: float | None
    """Offset from equal temperament for a pure interval against the bass, in cents."""


@dataclass(frozen=True, slots=True)
class Slice:
    """From one attack in any part to the next: who sounds what, in which chord."""

    start: Fraction
    """Quarters on the common time line of the parts."""
    end: Fraction
    bar: str
    """Printed number of the bar in the part whose numbers count."""
    beat: str
    """As the player counts it: "1", "2.5"."""
    harmony: Harmony | None
    notes: tuple[SliceNote, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """A spot for all chosen parts."""

    credits: Credits
    words: str
    """The spot for reading, capitalised as a heading would be."""
    asked: str
    """What was typed."""
    tempo: Tempo
    players: tuple[Player, ...]
    """In the order of the score."""
    slices: tuple[Slice, ...]
    scores: tuple[SectionScore, ...]
    """The section page: chords, chords built up, cells."""
    cautions: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    """What was left out or assumed: whose bar numbers count, that chords were read from notes."""
    source: str = ""
