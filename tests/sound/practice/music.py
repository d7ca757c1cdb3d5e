"""Parts in the shorthand of tests/output/fixtures_time.py, with tempos, as sources of practice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from drills.harmony.chord import Harmony
from drills.music.lines import bar_starts
from drills.music.score import Bar, Credits, Instrument, Part, TempoMark
from drills.music.time import Length, NoteValue, Position, TimeSignature
from drills.places.aligning import align
from drills.places.finding import find_span
from drills.places.tempos import tempo_map
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.events import Event, Strike, Tone
from drills.sound.practice.material import Source
from drills.sound.practice.practice import Practice, make_practice
from tests.output.fixtures_time import CLARINET, bars

QUARTER = NoteValue("quarter")
SCALE = "C5/16 D5/16 E5/16 F5/16 G5/16 A5/16 B5/16 C6/16 D6/16 C6/16 B5/16 A5/16 G5/16 F5/16 E5/16 D5/16"  # noqa: E501


def part_of(
    *texts: tuple[str, str],
    tempos: Mapping[tuple[int, Fraction], int] | None = None,
    instrument: Instrument = CLARINET,
    name: str = "Clarinet 2",
) -> Part:
    """Bars of several times, each stretch ``(time, text)``; tempos at (bar, quarters)."""
    found: list[Bar] = []
    for time, text in texts:
        found += bars(text, time, instrument)
    marked = [
        replace(bar, index=index, number=str(index + 1), tempos=_marks(index, tempos or {}))
        for index, bar in enumerate(found)
    ]
    return Part(name, instrument, tuple(marked), Credits("Harbour March"))


def _marks(index: int, tempos: Mapping[tuple[int, Fraction], int]) -> tuple[TempoMark, ...]:
    return tuple(
        TempoMark(Position(place), QUARTER, Fraction(number))
        for (bar, place), number in tempos.items()
        if bar == index
    )


def pickup(text: str, time: str, part: Part) -> Part:
    """The part with a pickup before it."""
    (bar,) = bars(text, time, part.instrument)
    lacks = TimeSignature.parse(time).bar_length.quarters - bar.length.quarters
    first = replace(bar, offset=Length(lacks), number="0")
    after = (replace(one, index=one.index + 1) for one in part.bars)
    return replace(part, bars=(first, *after))


def source_of(
    part: Part,
    at: str,
    choices: Choices | None = None,
    *,
    others: tuple[Part, ...] = (),
    harmonies: tuple[Harmony, ...] = (),
) -> Source:
    """A spot of a part that knows its tempos, with the parts that play along.

    Its ladders begin at half the performing tempo unless ``choices`` say otherwise; where
    they begin by themselves is tested in tests/effort/test_easy.py.
    """
    span, asked = find_span(part, at), choices or Choices()
    if asked.start is None:
        place = bar_starts(part)[span.first.bar] + span.first.start.quarters
        tempo = tempo_map(part, asked.asked_tempo).at(place)
        beat = part.bars[span.first.bar].time.beat
        asked = replace(asked, start=tempo.counted_in(beat).number / 2)
    sheet = make_sheet(part, span, asked)
    return Source(
        sheet,
        part,
        tempo_map(part),
        align((part, *others)) if others else None,
        tuple(range(1, len(others) + 1)),
        harmonies,
    )


def practice_of(
    part: Part, at: str, choices: PracticeChoices, sheet: Choices | None = None
) -> Practice:
    """Practice for a spot of a part alone."""
    return make_practice(source_of(part, at, sheet), choices)


def of_voice(practice: Practice, voice: str) -> list[Event]:
    """What one voice sounds, in order."""
    return [event for event in practice.events() if event.voice == voice]


def strikes(practice: Practice, voice: str = "click") -> list[Strike]:
    return [event for event in of_voice(practice, voice) if isinstance(event, Strike)]


def tones(practice: Practice, voice: str = "line") -> list[Tone]:
    return [event for event in of_voice(practice, voice) if isinstance(event, Tone)]
