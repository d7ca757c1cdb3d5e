"""What a timeline is made of, and the clock that turns exact places into seconds."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from drills.errors import UsageError
from drills.music.pitch import Tone, Unpitched
from drills.music.score import Bar
from drills.music.tempo import Tempo
from drills.music.time import Length, Position
from drills.sheets.drill import Drill


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
    """From exact places to seconds, through every change of tempo."""

    starts: tuple[Fraction, ...]
    """Quarters from which on a tempo holds; the first is 0 and holds before it too."""
    paces: tuple[Fraction, ...]
    """Seconds a quarter from each start on."""
    reached: tuple[Fraction, ...]
    """Seconds from place 0 to each start."""

    @classmethod
    def following(cls, starts: Sequence[Fraction], paces: Sequence[Fraction]) -> Clock:
        """The clock of tempos that change; ``starts`` ascend from 0."""
        reached = [Fraction(0)]
        for pace, (start, end) in zip(paces, pairwise(starts), strict=False):
            reached.append(reached[-1] + pace * (end - start))
        return cls(tuple(starts), tuple(paces), tuple(reached))

    @classmethod
    def of(cls, tempo: Tempo) -> Clock:
        """One tempo throughout.  Raises UsageError for one that does not move."""
        if tempo.quarters_per_minute <= 0:
            raise UsageError(f"a tempo of {tempo.number} beats a minute does not move; choose more")
        return cls.following((Fraction(0),), (60 / tempo.quarters_per_minute,))

    def at(self, quarters: Fraction) -> Fraction:
        """Exact seconds from place 0 to a place, each from its own place: nothing adds up."""
        index = self._index(quarters)
        return self.reached[index] + (quarters - self.starts[index]) * self.paces[index]

    def pace(self, quarters: Fraction) -> Fraction:
        """Seconds a quarter from a place on."""
        return self.paces[self._index(quarters)]

    def seconds(self, place: Position) -> float:
        """The one place where exact time becomes a float."""
        return float(self.at(place.quarters))

    def lasting(self, start: Position, lasts: Length) -> float:
        """The seconds that a length takes from ``start`` on."""
        return float(self.at(start.quarters + lasts.quarters) - self.at(start.quarters))

    def _index(self, quarters: Fraction) -> int:
        return max(bisect_right(self.starts, quarters) - 1, 0) if len(self.starts) > 1 else 0
