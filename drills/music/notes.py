"""Notes and rests as they are written, one voice of one bar at a time."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from drills.music.pitch import Tone
from drills.music.time import Length, NoteValue, Position, Tuplet


@dataclass(frozen=True, slots=True)
class Origin:
    """The bar that a note was read from."""

    bar: int
    """Index of the bar in its part, from 0."""
    number: str
    """The bar's printed number."""
    start: Position
    """Position in that bar."""


class Articulation(StrEnum):
    """Signs that stay with a note.  Values are MusicXML 4.0 element names."""

    ACCENT = "accent"
    STRONG_ACCENT = "strong-accent"
    STACCATO = "staccato"
    STACCATISSIMO = "staccatissimo"
    TENUTO = "tenuto"
    DETACHED_LEGATO = "detached-legato"
    BREATH_MARK = "breath-mark"
    FERMATA = "fermata"
    TRILL = "trill-mark"
    TURN = "turn"
    INVERTED_TURN = "inverted-turn"
    MORDENT = "mordent"
    INVERTED_MORDENT = "inverted-mordent"
    TREMOLO = "tremolo"
    SCOOP = "scoop"
    PLOP = "plop"
    DOIT = "doit"
    FALLOFF = "falloff"


LOUD = frozenset({Articulation.ACCENT, Articulation.STRONG_ACCENT})
"""Signs that accent a note."""

SHORT = frozenset({Articulation.STACCATO, Articulation.STACCATISSIMO, Articulation.DETACHED_LEGATO})
"""Signs that shorten a note, and make no sense on one that is held or tied."""


class Beam(StrEnum):
    """Where a note stands under its (outermost) beam."""

    START = "begin"
    CONTINUE = "continue"
    STOP = "end"


@dataclass(frozen=True, slots=True)
class TupletBracket:
    """A tuplet that a note or rest belongs to, and whether it begins or ends there."""

    ratio: Tuplet
    starts: bool = False
    stops: bool = False


@dataclass(frozen=True, slots=True)
class Grace:
    """One grace note (or grace chord)."""

    tones: tuple[Tone, ...]
    value: NoteValue
    slashed: bool = True
    slur_starts: tuple[int, ...] = ()
    slur_stops: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Note:
    """One written note head or chord, and all that is printed with it.

    ``length`` is value.length times the factors of its tuplets.  A long note
    that crosses a bar line is two Notes joined by ``tie_start``/``tie_stop``.
    """

    start: Position
    length: Length
    tones: tuple[Tone, ...]
    """At least one; as they stand in the score."""
    value: NoteValue
    tuplets: tuple[TupletBracket, ...] = ()
    """Outermost first."""
    tie_start: bool = False
    """Tied to the next note of its voice."""
    tie_stop: bool = False
    """Tied from the note before: not an attack."""
    tie_voice: str = ""
    """The voice of the note that it is tied from, where that is another one."""
    graces: tuple[Grace, ...] = ()
    """Before the note."""
    graces_after: tuple[Grace, ...] = ()
    """After it, at the end of a voice."""
    articulations: tuple[Articulation, ...] = ()
    slur_starts: tuple[int, ...] = ()
    """Numbers of the slurs that begin here; a number is used once in a part or drill."""
    slur_stops: tuple[int, ...] = ()
    beam: Beam | None = None
    octave_line: int = 0
    """1 under 8va, -1 over 8vb, 2 under 15ma: printed that many octaves nearer the staff."""
    cue: bool = False
    """A cue: another player's note, printed small."""
    hidden: bool = False
    """Not printed in the score."""
    origin: Origin | None = field(default=None, compare=False)

    def __post_init__(self) -> None:
        if not self.tones:
            raise ValueError("a note without a tone is a rest")

    @property
    def is_attack(self) -> bool:
        """True where the player begins a note here."""
        return not (self.tie_stop or self.cue or self.hidden)


@dataclass(frozen=True, slots=True)
class Rest:
    """A written rest."""

    start: Position
    length: Length
    value: NoteValue | None
    """None for the rest that stands for a whole bar, whatever the bar's length."""
    tuplets: tuple[TupletBracket, ...] = ()
    hidden: bool = False


Event = Note | Rest


@dataclass(frozen=True, slots=True)
class Voice:
    """The events of one voice in one bar, in order of ``start``; gaps may stay open."""

    name: str
    events: tuple[Event, ...]
