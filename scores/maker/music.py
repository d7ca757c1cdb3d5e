"""What a source file says, as plain data: the score before it becomes XML.

Times are Fractions of a quarter note.  Pitches sound; they are transposed when
the XML is written.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from maker.pitches import Instrument, Pitch

VALUES: Final = {
    "w": ("whole", Fraction(4)),
    "h": ("half", Fraction(2)),
    "q": ("quarter", Fraction(1)),
    "e": ("eighth", Fraction(1, 2)),
    "s": ("16th", Fraction(1, 4)),
    "t": ("32nd", Fraction(1, 8)),
}
"""Letter of a note value, its MusicXML name and its length."""


@dataclass(slots=True)
class Direction:
    """Something over or under the staff, placed before an event."""

    kind: str
    """"dynamic", "words" or "wedge"."""
    text: str


@dataclass(slots=True)
class Event:
    """A note or a rest, as written."""

    start: Fraction
    value: str
    """A letter of VALUES; "" for the rest of a whole bar."""
    dots: int
    length: Fraction
    """With dots and tuplet counted."""
    pitch: Pitch | None = None
    """None for a rest."""
    tuplet: tuple[int, int] | None = None
    """Actual and normal notes."""
    tuplet_starts: bool = False
    tuplet_stops: bool = False
    tied_to: bool = False
    tied_from: bool = False
    slur_starts: int = 0
    slur_stops: int = 0
    signs: tuple[str, ...] = ()
    """MusicXML names of articulations and ornaments."""
    graces: tuple[Pitch, ...] = ()
    before: list[Direction] = field(default_factory=list)


@dataclass(slots=True)
class Chord:
    """A chord symbol in concert."""

    start: Fraction
    root: str
    suffix: str
    bass: str


@dataclass(slots=True)
class Tempo:
    """Words, a number, or both."""

    words: str = ""
    value: str = ""
    dots: int = 0
    number: int = 0


@dataclass(slots=True)
class Frame:
    """What a bar is, for all parts."""

    number: int
    length: Fraction
    beats: int
    unit: int
    key: str
    new_key: bool = False
    new_time: bool = False
    mark: str = ""
    tempo: Tempo | None = None
    repeat: bool = False
    end_repeat: bool = False
    ending: str = ""
    line: str = ""
    """MusicXML's bar style at the end: "light-light", "light-heavy" or ""."""
    words: list[str] = field(default_factory=list)
    """Fine, D.S. al Fine and the like, over the last note or rest of the bar."""
    segno: bool = False
    swing: bool = False
    chords: list[Chord] = field(default_factory=list)

    @property
    def beat(self) -> Fraction:
        """What a player counts: a quarter, or a dotted quarter in 6/8."""
        return Fraction(3, 2) if self.unit == 8 and self.beats % 3 == 0 else Fraction(4, self.unit)


@dataclass(slots=True)
class PartLine:
    """One player's bars."""

    code: str
    name: str
    abbreviation: str
    instrument: Instrument
    bars: list[list[Event]] = field(default_factory=list)


@dataclass(slots=True)
class Piece:
    """A whole score."""

    title: str = ""
    composer: str = ""
    rights: str = ""
    marks_in_all: bool = True
    chords_in_all: bool = True
    parts: list[PartLine] = field(default_factory=list)
    frames: list[Frame] = field(default_factory=list)
