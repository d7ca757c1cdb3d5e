"""Small parts for one instrument of the table, and what another reads of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from drills.instruments.table import find_fact
from drills.music.notes import Note
from drills.music.pitch import NO_KEY, KeySignature, Pitch, Transposition
from drills.music.score import Bar, Instrument, Part
from drills.places.finding import find_span
from drills.rewriting.asked import How, rewriting_for
from drills.rewriting.rewrite import Rewritten, rewriting_of
from tests.music_made import bar_of, notes, part_of


def played_on(name: str, transposition: Transposition | None = None) -> Instrument:
    """An instrument of the table, as a part would carry it."""
    fact = find_fact(name)
    return Instrument(fact.name, fact.family, transposition or fact.transposition, known=True)


def part_for(
    name: str, *bars: str, key: KeySignature = NO_KEY, kind: str = "quarter", time: str = "4/4"
) -> Part:
    """Bars of equal notes, ``"C4 D4 r E4"``, for an instrument."""
    return with_bars(name, [bar_of(notes(text, kind), time, key=key) for text in bars])


def with_bars(name: str, bars: Sequence[Bar]) -> Part:
    """Bars as they are, for an instrument."""
    instrument = played_on(name)
    part = part_of([replace(bar, instrument=instrument) for bar in bars], name)
    return replace(part, instrument=instrument)


def rewrite(part: Part, name: str, how: How = How.SOUNDING, *places: str) -> Rewritten:
    """The part for another instrument; ``places`` are what is drilled."""
    spans = [find_span(part, place) for place in places]
    return rewriting_of(part, rewriting_for(name, how), spans)


def notes_of(part: Part) -> list[Note]:
    """Every note, bar by bar."""
    return [
        event
        for bar in part.bars
        for voice in bar.voices
        for event in voice.events
        if isinstance(event, Note)
    ]


def read(part: Part) -> str:
    """What is read: every pitch, bars with a stroke between."""
    return " | ".join(
        " ".join("+".join(map(str, note.tones)) for note in notes_of(replace(part, bars=(bar,))))
        for bar in part.bars
    )


def sounding(part: Part) -> list[Pitch]:
    """What is heard, note by note."""
    return [
        bar.instrument.transposition.sounding(tone)
        for bar in part.bars
        for note in notes_of(replace(part, bars=(bar,)))
        for tone in note.tones
        if isinstance(tone, Pitch)
    ]
