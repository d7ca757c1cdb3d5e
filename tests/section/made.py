"""Small scores of several parts for tests, bar by bar in the notation of tests/music_made.py."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from drills.music.pitch import CONCERT, KeySignature, Transposition
from drills.music.score import (
    Bar,
    ChordSymbol,
    Clef,
    Credits,
    Instrument,
    Part,
    RehearsalMark,
)
from drills.music.time import Length, position
from tests.music_made import bar_of, notes, part_of

B_FLAT = Transposition(-1, -2)
E_FLAT = Transposition(-5, -9)
IN_F = Transposition(-4, -7)
OCTAVE_DOWN = Transposition(-7, -12)

TITLE = Credits("Harbour Hymn")


def part(
    name: str,
    bars: Sequence[str],
    *,
    kind: str = "quarter",
    time: str = "4/4",
    moved: Transposition = CONCERT,
    **more: object,
) -> Part:
    """A part with one text of notes for every bar; what is more holds in every bar."""
    instrument = Instrument(name, transposition=moved)
    made = [bar_of(notes(text, kind), time, instrument=instrument, **more) for text in bars]
    return replace(part_of(made, name), instrument=instrument, credits=TITLE)


def with_bar(one: Part, index: int, **changes: object) -> Part:
    """The part with one bar changed."""
    bars = list(one.bars)
    bars[index] = replace(bars[index], **changes)  # type: ignore[arg-type]
    return replace(one, bars=tuple(bars))


def pickup(one: Part, text: str, kind: str = "quarter") -> Part:
    """The part with a pickup before it, which has the number 0; the other numbers stay."""
    events = notes(text, kind)
    first = one.bars[0]
    lead = bar_of(events, str(first.time), instrument=first.instrument, key=first.key)
    lead = replace(lead, number="0", offset=first.time.bar_length - lead.length)
    bars = [lead, *one.bars]
    return replace(one, bars=tuple(replace(bar, index=i) for i, bar in enumerate(bars)))


def renumbered(one: Part, first: int) -> Part:
    """The part with bars numbered from ``first``."""
    return replace(
        one, bars=tuple(replace(bar, number=str(first + i)) for i, bar in enumerate(one.bars))
    )


def marked(one: Part, marks: dict[int, str]) -> Part:
    """The part with rehearsal marks at bars by their index."""
    for index, text in marks.items():
        one = with_bar(one, index, marks=(RehearsalMark(text),))
    return one


def symbols(one: Part, chords: dict[int, str]) -> Part:
    """The part with a major triad's symbol at the start of bars, by their index."""
    for index, root in chords.items():
        one = with_bar(one, index, chords=(ChordSymbol(position(0), root, "major"),))
    return one


def short(one: Part, index: int, quarters: Length) -> Part:
    """The part with a bar that a program exported too short."""
    bar: Bar = one.bars[index]
    kept = tuple(
        replace(
            voice, events=tuple(e for e in voice.events if e.start.quarters < quarters.quarters)
        )
        for voice in bar.voices
    )
    return with_bar(one, index, length=quarters, voices=kept)


BASS_CLEF = Clef("F", 4)
ALTO_CLEF = Clef("C", 3)


def in_key(one: Part, fifths: int) -> Part:
    """The part with a key signature in every bar; the notes stay as they are."""
    return replace(one, bars=tuple(replace(bar, key=KeySignature(fifths)) for bar in one.bars))
