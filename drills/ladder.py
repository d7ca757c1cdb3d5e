"""Metronome numbers: the traditional series, a ladder up to the performing tempo, clicks."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from drills.music.time import Length, NoteValue


@dataclass(frozen=True, slots=True)
class Tempo:
    """A tempo as the player counts it."""

    number: Fraction
    """Beats per minute."""
    beat: Length
    """What is counted, as a length; normally the beat of the spot's time signature."""
    source: str = ""
    """Where it comes from: "bar 1 of the score", "--tempo", "assumed"."""


@dataclass(frozen=True, slots=True)
class ClickSetting:
    """What to set on a plain metronome, for each rung of a ladder."""

    words: str
    """"on beat 4 only", "every three sixteenths"."""
    numbers: tuple[Fraction, ...]
    """Clicks per minute, one for each rung."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Metronome numbers from a slow tempo up to the performing tempo."""

    beat: NoteValue
    """The note value that the numbers count."""
    rungs: tuple[Fraction, ...]
    """Ascending; the last is the performing tempo."""
    clicks: tuple[ClickSetting, ...]
    ticks: int = 5
    """Boxes to tick at each rung, for correct repetitions in a row."""
