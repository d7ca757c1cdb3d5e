"""What a timeline is made of, and the clock that turns exact places into seconds."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drills.drill import Drill
from drills.errors import UsageError
from drills.ladder import Tempo
from drills.music.pitch import Tone, Unpitched
from drills.music.score import Bar
from drills.music.time import Length, Position


@dataclass(frozen=True, slots=True)
class Sound:
    """One attack as it is heard, ties joined."""

    at: Position
    length: Length
    seconds: float
    """When it begins."""
    duration: float
    """What ``length`` lasts, in seconds."""
    written: tuple[Tone, ...]
    keys: tuple[Fraction | Unpitched, ...]
    """Sounding MIDI note number of each tone (a fraction for a microtone);
    for an unpitched tone the tone itself, which has no number."""
    accent: bool = False
    grace: bool = False


@dataclass(frozen=True, slots=True)
class Beat:
    """A beat as the player counts it."""

    at: Position
    seconds: float
    number: int
    """From 1 in its bar; a pickup begins later."""
    counted: bool = False
    """True in the counted rest before a drill."""


@dataclass(frozen=True, slots=True)
class BarTime:
    """A bar as it is played; a repeated bar comes once for every time."""

    at: Position
    length: Length
    seconds: float
    duration: float
    bar: Bar
    repetition: int
    """From 1; 0 in the counted rest before a drill."""


@dataclass(frozen=True, slots=True)
class DrillTime:
    """One drill in time; its counted rest ends where it begins."""

    drill: Drill
    at: Position
    """Where the first bar begins, after the counted rest."""
    length: Length
    """All repetitions together."""
    seconds: float
    duration: float
    bars: tuple[BarTime, ...]
    """Counted bars first."""
    beats: tuple[Beat, ...]
    sounds: tuple[Sound, ...]


@dataclass(frozen=True, slots=True)
class Timeline:
    """A sheet at a tempo."""

    tempo: Tempo
    drills: tuple[DrillTime, ...]
    length: Length
    duration: float

    @property
    def sounds(self) -> tuple[Sound, ...]:
        """All sounds of all drills in order."""
        return tuple(sound for drill in self.drills for sound in drill.sounds)


@dataclass(frozen=True, slots=True)
class Clock:
    """From exact time to seconds at one tempo."""

    seconds_per_quarter: Fraction

    @classmethod
    def of(cls, tempo: Tempo) -> Clock:
        """Raises UsageError for a tempo that does not move."""
        if tempo.quarters_per_minute <= 0:
            raise UsageError(f"a tempo of {tempo.number} beats a minute does not move; choose more")
        return cls(60 / tempo.quarters_per_minute)

    def seconds(self, time: Position | Length) -> float:
        """The one place where exact time becomes a float."""
        return float(time.quarters * self.seconds_per_quarter)
