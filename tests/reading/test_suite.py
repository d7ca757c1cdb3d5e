"""Every file of the MusicXML test suite: what it holds, and that it is read.

The suite is that of the LilyPond project, as music21 carries it.  Each file
isolates one feature of the format; the comments quote what its own description
(``miscellaneous-field name="description"``) says it is about.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import music21
import pytest

from drills.music.notes import Note
from drills.music.score import Part
from drills.reading.musicxml import open_score, read_all
from tests.reading.made import pitches, starts_and_lengths

FOLDER = Path(music21.__file__).parent / "musicxml" / "lilypondTestSuite"
SUITE = sorted(path.name for path in FOLDER.iterdir() if path.suffix in (".xml", ".mxl"))

RESTS_ONLY = {
    "02a-Rests-Durations.xml": "rests of every value",
    "02b-Rests-PitchedRests.xml": "rests at the height of pitches",
    "02c-Rests-MultiMeasureRests.xml": "rests of several bars",
    "41b-MultiParts-MoreThan10.xml": "twenty parts with a rest each",
    "41f-StaffGroups-Overlapping.xml": "brackets around five parts that rest",
    "41g-PartNoId.xml": "a part without identifier that rests",
    "41h-TooManyParts.xml": "more parts than the list has, all resting",
    "45a-SimpleRepeat.xml": "rests between repeat signs",
    "45c-RepeatMultipleTimes.xml": "rests between repeat signs",
    "45d-Repeats-Nested-Alternatives.xml": "rests between repeat signs",
    "45e-Repeats-Nested-Alternatives.xml": "rests between repeat signs",
    "45f-Repeats-InvalidEndings.xml": "rests between repeat signs",
    "46a-Barlines.xml": "rests between bar lines of all kinds",
    "51b-Header-Quotes.xml": "a title",
    "51c-MultipleRights.xml": "two rights lines",
    "51d-EmptyTitle.xml": "an empty title",
    "52a-PageLayout.xml": "page sizes",
}
"""Files without a note, and what they hold instead; all others have attacks."""


def read_file(name: str) -> tuple[Part, ...]:
    return read_all(open_score(FOLDER / name))


def attacks(parts: Iterable[Part]) -> int:
    return sum(
        isinstance(event, Note) and event.is_attack
        for part in parts
        for bar in part.bars
        for voice in bar.voices
        for event in voice.events
    )


def test_the_suite_is_there() -> None:
    assert len(SUITE) > 140
    assert set(SUITE) >= set(RESTS_ONLY)


@pytest.mark.parametrize("name", SUITE)
def test_every_file_is_read(name: str) -> None:
    parts = read_file(name)
    assert (attacks(parts) == 0) is (name in RESTS_ONLY)
    assert all(part.bars for part in parts)


@pytest.mark.parametrize("name", SUITE)
def test_every_value_makes_its_length(name: str) -> None:
    for part in read_file(name):
        for event in (e for bar in part.bars for voice in bar.voices for e in voice.events):
            if event.value is not None:
                length = event.value.length
                for mark in event.tuplets:
                    length = length * mark.ratio.factor
                assert length == event.length


def first(name: str) -> Part:
    return read_file(name)[0]


class TestWhatTheFilesAreAbout:
    def test_23d_nested_tuplets(self) -> None:
        ratios = [
            [(mark.ratio.actual, mark.ratio.normal) for mark in event.tuplets]
            for event in first("23d-Tuplets-Nested.xml").bars[0].voices[0].events
        ]
        assert ratios == [[(3, 2)]] * 2 + [[(3, 2), (5, 2)]] * 5 + [[(3, 2)]] * 2

    def test_33i_a_tie_without_an_end(self) -> None:
        events = [bar.voices[0].events[0] for bar in first("33i-Ties-NotEnded.xml").bars]
        flags = [(e.tie_start, e.tie_stop) for e in events if isinstance(e, Note)]
        # "Several ties that have their end tag missing."  Bar 1 only begins one: no tie.
        # Bar 3 ends one and begins one: held over from bar 2, and not on to bar 4.
        assert flags == [
            (False, False),
            (True, False),
            (False, True),
            (True, False),
            (False, True),
        ]

    def test_46d_a_pickup_and_a_split_bar(self) -> None:
        bars = first("46d-PickupMeasure-ImplicitMeasures.xml").bars
        assert [(b.number, str(b.length), str(b.offset)) for b in bars[:3]] == [
            ("0", "3/2", "5/2"),
            ("1", "2", "0"),
            ("X1", "2", "2"),
        ]

    def test_72a_transposing_instruments(self) -> None:
        # "Trumpet in Bb, Horn in Eb, Piano; All of them show the C major scale
        # (the trumpet with 2 sharp, the horn with 3 flats)."
        parts = read_file("72a-TransposingInstruments.xml")
        assert [part.instrument.name for part in parts] == [
            "Trumpet in B flat",
            "Horn in E flat",
            "Piano",
        ]
        sounding = [
            str(part.instrument.transposition.sounding(tone))
            for part in parts
            for event in part.bars[0].voices[0].events[:1]
            if isinstance(event, Note)
            for tone in event.tones
            if not hasattr(tone, "instrument")
        ]
        assert {text[0] for text in sounding} == {"C"}
        assert len(sounding) == 3

    def test_21f_other_elements_inside_a_chord(self) -> None:
        assert pitches(first("21f-Chord-ElementInBetween.xml").bars[0])[0].count("+") == 2

    def test_03c_divisions_that_change(self) -> None:
        bars = first("03c-Rhythm-DivisionChange.xml").bars
        assert [starts_and_lengths(bar) for bar in bars] == [
            [("0", "1"), ("1", "1"), ("2", "1"), ("3", "1")],
            [("0", "2"), ("2", "2")],
        ]

    def test_31c_metronome_marks(self) -> None:
        tempos = [t for bar in first("31c-MetronomeMarks.xml").bars for t in bar.tempos]
        assert [(t.beat and t.beat.kind, t.number and int(t.number)) for t in tempos] == [
            ("quarter", 100),
            ("long", 100),
            (None, None),
            (None, None),
            (None, None),
            ("quarter", 77),
        ]

    def test_45b_endings(self) -> None:
        bars = first("45b-RepeatWithAlternatives.xml").bars
        assert [(b.ends_repeat, b.ending) for b in bars[:4]] == [
            (0, ""),
            (2, "1"),
            (0, "2"),
            (0, ""),
        ]

    def test_90a_a_compressed_file(self) -> None:
        assert attacks(read_file("90a-Compressed-MusicXML.mxl")) > 0
