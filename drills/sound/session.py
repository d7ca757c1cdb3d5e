"""A whole session as one sound: each item announced by strokes, then its click, then a rest.

Spoken numbers would need a voice with a free licence, so an item's number is struck: a bell
for every five, a wood block for every one.  Times are exact seconds from the start, as in
practice/events.py; quarters go on through the announcements at two a second.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain
from typing import Final

from drills.music.time import TimeSignature
from drills.sound.practice.events import Cue, Event, Strike, TempoStep, Tone
from drills.sound.practice.playable import Playable

STROKE: Final = Fraction(1, 2)
"""Seconds from stroke to stroke of an announcement."""
BEFORE: Final = Fraction(1)
AFTER: Final = Fraction(3)
"""Seconds of silence before the strokes, and to get ready after them."""
_SECONDS_A_QUARTER: Final = Fraction(1, 2)
_TIME: Final = TimeSignature((4,), 4)


@dataclass(frozen=True, slots=True)
class Announced:
    """One item of the session."""

    sound: Playable
    number: int
    words: str
    """For the chapter."""
    rest: Fraction = Fraction(0)
    """Seconds of a break after it."""

    @property
    def strokes(self) -> tuple[str, ...]:
        """The sounds that tell its number."""
        fives, ones = divmod(self.number, 5)
        return ("bell",) * fives + ("high-wood-block",) * ones

    @property
    def lead(self) -> Fraction:
        """Seconds before its click begins."""
        return BEFORE + STROKE * len(self.strokes) + AFTER

    @property
    def length(self) -> Fraction:
        """Seconds of all of it."""
        return self.lead + self.sound.duration + self.rest


@dataclass(frozen=True, slots=True)
class SessionSound:
    """All items, one after the other; a Playable."""

    items: tuple[Announced, ...]
    """At least one."""

    @property
    def duration(self) -> Fraction:
        """Seconds, without the rest after the last item."""
        return sum((one.length for one in self.items), Fraction(0)) - self.items[-1].rest

    @property
    def a4(self) -> Fraction:
        """Hertz of A4."""
        return self.items[0].sound.a4

    @property
    def cues(self) -> tuple[Cue, ...]:
        """A chapter for each item, where its strokes begin."""
        return tuple(Cue(at, quarters, one.words) for one, at, quarters in self._places())

    @property
    def tempos(self) -> tuple[TempoStep, ...]:
        """Those of the items, and the announcements at a tempo of their own."""
        found = []
        for one, at, quarters in self._places():
            found.append(TempoStep(at, quarters, _SECONDS_A_QUARTER, _TIME))
            begin = quarters + one.lead / _SECONDS_A_QUARTER
            found += [
                replace(step, at=step.at + at + one.lead, quarters=step.quarters + begin)
                for step in one.sound.tempos
            ]
        return tuple(found)

    def events(self) -> Iterator[Event]:
        """Everything that sounds, in order of time."""
        for one, at, quarters in self._places():
            lead = one.lead / _SECONDS_A_QUARTER
            strokes = (
                Strike(
                    at + BEFORE + STROKE * n, quarters + 2 * (BEFORE + STROKE * n), "signal", name
                )
                for n, name in enumerate(one.strokes)
            )
            played = (_later(event, at + one.lead, quarters + lead) for event in one.sound.events())
            yield from chain(strokes, played)

    def _places(self) -> Iterator[tuple[Announced, Fraction, Fraction]]:
        """Each item with where it begins, in seconds and in quarters."""
        at = quarters = Fraction(0)
        for one in self.items:
            yield one, at, quarters
            at += one.length
            quarters += one.lead / _SECONDS_A_QUARTER + _quarters(one.sound)
            quarters += one.rest / one.sound.tempos[-1].seconds_per_quarter


def _quarters(sound: Playable) -> Fraction:
    """Quarters until the end of a sound."""
    last = sound.tempos[-1]
    return last.quarters + (sound.duration - last.at) / last.seconds_per_quarter


def _later(event: Event, seconds: Fraction, quarters: Fraction) -> Event:
    if isinstance(event, Tone):
        return replace(
            event,
            at=event.at + seconds,
            end=event.end + seconds,
            quarters=event.quarters + quarters,
            end_quarters=event.end_quarters + quarters,
        )
    return replace(event, at=event.at + seconds, quarters=event.quarters + quarters)
