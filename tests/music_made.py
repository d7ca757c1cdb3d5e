"""Small pieces of music for tests, written so that a test can be read without a score.

``line("c4 d4 ...")`` are pitches; ``part_of(...)`` puts bars in a part.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from drills.music.notes import Event, Note, Rest, Voice
from drills.music.pitch import Pitch
from drills.music.score import Bar, Credits, Instrument, Part
from drills.music.time import Length, NoteValue, Position, TimeSignature, length
from drills.places.spots import Attack

SCALE = "C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6 A5"
"""Sixteen notes for one bar of sixteenths."""


def pitches(text: str) -> tuple[Pitch, ...]:
    """``pitches("C4 F#4")``."""
    return tuple(Pitch.parse(word) for word in text.split())


SIXTEENTH = length(1, 4)


def attacks(text: str, each: Length = SIXTEENTH) -> tuple[Attack, ...]:
    """Attacks of equal length, numbered from 1."""
    return tuple(
        Attack((pitch,), each, number=number) for number, pitch in enumerate(pitches(text), 1)
    )


def attacks_up(count: int, each: Length) -> tuple[Attack, ...]:
    """``count`` different attacks: a scale that starts again after three octaves."""
    steps = [Pitch("CDEFGAB"[i % 7], Fraction(0), 3 + i // 7 % 3) for i in range(count)]
    return tuple(Attack((pitch,), each, number=n) for n, pitch in enumerate(steps, 1))


def notes(text: str, kind: str, start: Fraction = Fraction(0)) -> list[Event]:
    """Notes of one value, end to end; ``r`` is a rest of that value."""
    value = NoteValue(kind)
    events: list[Event] = []
    at = start
    for word in text.split():
        place = Position(at)
        if word == "r":
            events.append(Rest(place, value.length, value))
        else:
            events.append(Note(place, value.length, (Pitch.parse(word),), value))
        at += value.length.quarters
    return events


def after(events: Sequence[Event]) -> Fraction:
    """Where the next event would start."""
    return events[-1].start.quarters + events[-1].length.quarters


def bar_of(events: Iterable[Event], time: str = "4/4", **more: object) -> Bar:
    """A bar of one voice, as long as what is in it."""
    found = tuple(events)
    signature = TimeSignature.parse(time)
    size = Length(after(found)) if found else signature.bar_length
    voices = (Voice("1", found),) if found else ()
    return Bar(0, "", size, signature, voices=voices, **more)  # type: ignore[arg-type]


def part_of(bars: Sequence[Bar], name: str = "Clarinet 2") -> Part:
    """Bars numbered from 1 unless they carry a number."""
    numbered = tuple(
        replace(bar, index=index, number=bar.number or str(index + 1))
        for index, bar in enumerate(bars)
    )
    return Part(name, Instrument("clarinet in B flat"), numbered, Credits("Harbour March"))
