"""From a part and a stretch of it to the line that is to be drilled."""

from __future__ import annotations

from dataclasses import dataclass, field

from drills.music.pitch import Tone
from drills.music.score import Articulation, Grace, Origin
from drills.music.time import Length
from drills.places import Span


@dataclass(frozen=True, slots=True)
class Attack:
    """One note (or chord) that the player begins, with ties joined."""

    tones: tuple[Tone, ...]
    """Written tones."""
    length: Length
    """What it lasts in the music."""
    graces: tuple[Grace, ...] = ()
    graces_after: tuple[Grace, ...] = ()
    grace_slurred: bool = False
    """True where a slur leads from the grace notes into the note."""
    articulations: tuple[Articulation, ...] = ()
    number: int = field(default=0, compare=False)
    """Place in the line, from 1: the number printed under the excerpt."""
    origin: Origin | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Slur:
    """A slur over the notes ``first`` to ``last`` of a line (numbers from 1)."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Run:
    """Attacks that no long rest interrupts."""

    attacks: tuple[Attack, ...]


@dataclass(frozen=True, slots=True)
class Spot:
    """A stretch of a part with its line, cut into runs."""

    span: Span
    voice: str
    """The voice that was chosen."""
    runs: tuple[Run, ...]
    slurs: tuple[Slur, ...]
    landing: int = 0
    """Number of the landing note in the line; 0 where there is none."""
    approach: int = 0
    """Number (1) of the approach note; 0 where none was asked for or found."""
    note: str = ""
    """The player's own words about the spot."""

    @property
    def line(self) -> tuple[Attack, ...]:
        """All attacks of the spot in order."""
        return tuple(attack for run in self.runs for attack in run.attacks)
