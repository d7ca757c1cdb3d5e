"""One player's music: notes, rests, bars and the part they make.

The same ``Bar`` serves what a score printed and what a drill will print, so
every writer in output/ needs to know one form of music only.

Conventions.  Pitches are WRITTEN for the player.  ``start`` counts from the
start of the bar, never from the start of the part: exporters leave bars short
or overfull, so an absolute place means little.  A chord is one ``Note`` with
several tones.  Grace notes ride on the main note that follows them (or on the
one before, at the end of a voice).  Where a value came from stands in
``origin`` and does not count in equality.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drills.music.notes import Voice
from drills.music.pitch import CONCERT, NO_KEY, KeySignature, Transposition
from drills.music.time import (
    COMMON_TIME,
    START,
    ZERO,
    Length,
    NoteValue,
    Position,
    TimeSignature,
)


@dataclass(frozen=True, slots=True)
class RehearsalMark:
    """A letter or figure that a conductor calls out."""

    text: str


@dataclass(frozen=True, slots=True)
class TempoMark:
    """A tempo as the score gives it: a number, words, or both."""

    start: Position
    beat: NoteValue | None = None
    """The note value that is counted; None where there are only words."""
    number: Fraction | None = None
    """Beats per minute; of a range ("120-132") the upper end, which must be ready."""
    text: str = ""

    @property
    def quarters_per_minute(self) -> Fraction | None:
        """The tempo in quarters a minute, or None where only words are given."""
        if self.beat is None or self.number is None:
            return None
        return self.number * self.beat.length.quarters


@dataclass(frozen=True, slots=True)
class ChordDegree:
    """A degree added to, altered in or taken from a chord symbol's kind."""

    number: int
    alter: Fraction
    kind: str
    """"add", "alter" or "subtract"."""
    printed: bool = True
    """False where the symbol's text says it already."""


@dataclass(frozen=True, slots=True)
class ChordSymbol:
    """A chord symbol as written for this part (root and bass are written pitches)."""

    start: Position
    root: str
    """Step and accidental such as ``Bb``; empty for "no chord"."""
    kind: str
    """A MusicXML ``kind-value``."""
    text: str = ""
    """What the score prints for the kind, where it says so."""
    bass: str = ""
    degrees: tuple[ChordDegree, ...] = ()
    remark: str = ""
    """Printed small beside it where it is no symbol of the score: "from the notes"."""


@dataclass(frozen=True, slots=True)
class Direction:
    """A dynamic sign or words over or under the staff."""

    start: Position
    kind: str
    """"dynamic" or "words"."""
    text: str


@dataclass(frozen=True, slots=True)
class Clef:
    """A clef by its sign, the staff line it sits on and its octave figure."""

    sign: str = "G"
    """"G", "F", "C", "percussion", "TAB" or "none"."""
    line: int = 2
    octave_change: int = 0
    """-1 for the tenor clef with an 8 below."""


TREBLE = Clef()


@dataclass(frozen=True, slots=True)
class Instrument:
    """What the part is played on."""

    name: str
    """A name of the instrument table, or the score's own where the table has none."""
    family: str = ""
    """"woodwind", "brass", "percussion", "strings", "keyboard", "voice" or empty."""
    transposition: Transposition = CONCERT
    known: bool = False
    """True where the table has it."""


UNNAMED = Instrument("")
"""Where a score does not say what the part is played on."""


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar of one part: what is in force there, and what is played."""

    index: int
    """From 0, in the order of the file."""
    number: str
    """As printed: "12", "12a", "0"; may repeat, may be empty."""
    length: Length
    """What is really in it: a pickup, a split or an overfull bar keeps its own."""
    time: TimeSignature = COMMON_TIME
    key: KeySignature = NO_KEY
    clef: Clef = TREBLE
    """In force at the start of the bar."""
    instrument: Instrument = UNNAMED
    """In force at the start of the bar, with its transposition."""
    voices: tuple[Voice, ...] = ()
    offset: Length = ZERO
    """What the bar lacks at its start: a pickup of one quarter in 3/4 has an
    offset of two, so that beats are counted as the player counts them."""
    marks: tuple[RehearsalMark, ...] = ()
    tempos: tuple[TempoMark, ...] = ()
    chords: tuple[ChordSymbol, ...] = ()
    directions: tuple[Direction, ...] = ()
    clef_changes: tuple[tuple[Position, Clef], ...] = ()
    """Changes after the start of the bar."""
    key_changes: tuple[tuple[Position, KeySignature], ...] = ()
    starts_repeat: bool = False
    ends_repeat: int = 0
    """How often the passage is played; 0 where no repeat ends here."""
    ending: str = ""
    """The numbers over a first or second ending, such as "1" or "1, 2"; on every bar of it."""
    final: bool = False
    """A final or double bar line at its end."""
    time_shown: bool = True
    """False where the score counts without printing a time signature."""

    def key_at(self, at: Position) -> KeySignature:
        """The key in force at a place of the bar."""
        return [self.key, *(key for start, key in self.key_changes if start <= at)][-1]

    def clef_at(self, at: Position) -> Clef:
        """The clef in force at a place of the bar."""
        return [self.clef, *(clef for start, clef in self.clef_changes if start <= at)][-1]

    def voice(self, name: str) -> Voice | None:
        """The voice of that name, if the bar has it."""
        return next((voice for voice in self.voices if voice.name == name), None)


@dataclass(frozen=True, slots=True)
class Credits:
    """What a score says about itself."""

    title: str = ""
    composer: str = ""
    rights: str = ""
    """The rights line, to be printed wherever its music is."""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One player's music, as read from one staff of one file.

    Compared by identity, so that what is derived from it can be kept by it;
    compare ``bars`` where two parts may be equal.
    """

    name: str
    """As printed; a part of several staves is read a staff at a time, named
    "Harp (staff 2)" from the second on."""
    instrument: Instrument
    """The one it begins with."""
    bars: tuple[Bar, ...]
    credits: Credits = Credits()
    source: str = ""
    """The file as the player named it."""
    part_id: str = ""
    """The file's own identifier."""
    staff: int = 1
    remarks: tuple[str, ...] = ()
    """What the reader left out, mended or assumed, in a player's words."""

    def starts(self) -> tuple[Position, ...]:
        """Where each bar begins, counted from the start of the part."""
        at, found = START, []
        for bar in self.bars:
            found.append(at)
            at = at + bar.length
        return tuple(found)
