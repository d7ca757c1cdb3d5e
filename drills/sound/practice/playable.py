"""What a writer of sound or MIDI needs to know of a practice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Protocol

from drills.sound.practice.events import Cue, Event, TempoStep


class Playable(Protocol):
    """Something that sounds from 0 to its duration."""

    @property
    def duration(self) -> Fraction:
        """Seconds."""

    @property
    def a4(self) -> Fraction:
        """Hertz of A4, which is key 69."""

    @property
    def cues(self) -> Sequence[Cue]:
        """In order of time."""

    @property
    def tempos(self) -> Sequence[TempoStep]:
        """In order of time, the first at 0; each begins where the one before leads to."""

    def events(self) -> Iterator[Event]:
        """In order of time; may be asked for more than once, and is the same each time."""
