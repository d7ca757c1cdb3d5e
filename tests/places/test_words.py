"""Places in words: beats, and notes counted in a beat as they are printed."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import PlaceError
from drills.music.notes import Note, Rest
from drills.music.score import Bar, RehearsalMark
from drills.music.time import Length, TimeSignature, position
from drills.places.finding import Place, find_span, written_place
from drills.places.words import beat_words, file_words, place_words, stretch_words
from tests.music_made import bar_of, notes, part_of


def sixteenths(number: str, *, tied: int | None = None) -> Bar:
    """A bar of sixteen sixteenths, one of them tied to from the note before."""
    events = written("C5 D5 E5 F5 " * 4)
    if tied is not None:
        events[tied - 1] = replace(events[tied - 1], tie_start=True)
        events[tied] = replace(events[tied], tie_stop=True, tones=events[tied - 1].tones)
    return replace(bar_of(events), number=number)


def written(text: str, kind: str = "16th") -> list[Note]:
    """Notes alone."""
    return [event for event in notes(text, kind) if isinstance(event, Note)]


PART = part_of(
    [
        replace(sixteenths("33"), marks=(RehearsalMark("E"),)),
        sixteenths("34", tied=8),
        sixteenths("35"),
    ]
)


@pytest.mark.parametrize(
    ("bar", "start", "words", "typed"),
    [
        (1, "0", "beat 1", "34@1"),
        (1, "2", "beat 3", "34@3"),
        (1, "1/2", "the third note of beat 1", "34@1#3"),
        (1, "9/4", "the second note of beat 3", "34@3#2"),
        (1, "11/4", "the fourth note of beat 3", "34@3#4"),
        (1, "9/8", "just after the first note of beat 2", "34@2.125"),
    ],
)
def test_a_place_in_its_bar(bar: int, start: str, words: str, typed: str) -> None:
    at = position(Fraction(start))
    assert beat_words(PART, bar, at) == words
    assert written_place(PART, Place(bar, at), always_beat=True) == typed
    assert find_span(PART, typed).first == Place(bar, at)


def test_a_printed_note_counts_though_a_tie_leads_into_it() -> None:
    """The player sees four note heads in beat 3 of bar 34, the first of them tied."""
    assert beat_words(PART, 1, position(9, 4)) == "the second note of beat 3"


@pytest.mark.parametrize(
    ("asked", "words", "name"),
    [
        ("33", "bar 33, the first bar of E", "33"),
        ("33@3#3-34@1", "from the third note of beat 3 of bar 33, the first bar of E, to beat 1 "
         "of bar 34", "33-beat-3-note-3-to-34-beat-1"),
        ("33@1#2-33@2#3", "from the second note of beat 1 of bar 33, the first bar of E, to the "
         "third note of beat 2", "33-beat-1-note-2-to-beat-2-note-3"),
    ],
)  # fmt: skip
def test_a_stretch(asked: str, words: str, name: str) -> None:
    span = find_span(PART, asked)
    assert span.words == words
    first = (span.first.bar, None if "@" not in asked else span.first.start)
    last = (span.end.bar, span.end.start) if span.includes_end else None
    assert file_words(PART, first, last) == name


def test_whole_bars_without_a_mark() -> None:
    assert stretch_words(PART, (0, None), (2, None), marks=False) == "bars 33 to 35"
    assert file_words(PART, (0, None), (2, None)) == "33-to-35"
    third = (0, position(5, 2))
    assert stretch_words(PART, third, (0, None), marks=False) == (
        "from the third note of beat 3 of bar 33 to the end of the bar"
    )


def test_rests_hidden_notes_and_cues_are_not_counted() -> None:
    one, two, three, four = written("C5 D5 E5 F5")
    rest = Rest(one.start, one.length, one.value)
    bar = bar_of([rest, replace(two, cue=True), three, replace(four, hidden=True)])
    part = part_of([replace(bar, time=TimeSignature.parse("1/4"))])
    assert beat_words(part, 0, position(1, 2)) == "the first note of beat 1"
    assert beat_words(part, 0, position(1, 4)) == "within beat 1"


def test_the_halves_of_a_split_bar_are_counted_together() -> None:
    """A repeat sign in the middle of beat 2: its second note stands in the second half."""
    halves = [bar_of(notes(text, "eighth")) for text in ("C5 D5 E5", "F5 G5 A5 B5 C6")]
    second = replace(halves[1], offset=Length(Fraction(3, 2)), number="X1")
    part = part_of([replace(halves[0], number="7"), second])
    assert beat_words(part, 1, position(0)) == "the second note of beat 2"
    assert written_place(part, Place(1, position(0))) == "7@2#2"
    assert find_span(part, "7@2#2").first == Place(1, position(0))


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("33@3#5", "33@3#5: beat 3 of bar 33 has 4 printed notes"),
        ("33@3#0", "33@3#0: beat 3 of bar 33 has 4 printed notes"),
        ("33@2.5#1", "33@2.5#1: notes are counted within a whole beat"),
    ],
)
def test_what_is_not_there(typed: str, message: str) -> None:
    with pytest.raises(PlaceError) as error:
        find_span(PART, typed)
    assert str(error.value).startswith(message)


@given(bar=st.integers(0, 2), note=st.integers(0, 15))
def test_every_note_reads_back_and_no_name_has_a_fraction(bar: int, note: int) -> None:
    place = Place(bar, position(note, 4))
    typed = written_place(PART, place, always_beat=True)
    assert find_span(PART, typed).first == place
    for text in (typed, beat_words(PART, bar, place.start)):
        assert "." not in text
        assert "/" not in text


def test_a_number_that_comes_twice_is_told_with_which() -> None:
    """Two movements in one part, each counted from 1."""
    part = part_of(
        [replace(bar_of(notes("C5 D5 E5 F5", "quarter")), number=n) for n in ("1", "2", "1", "2")]
    )
    assert place_words(part, 2, None) == "the second bar 1"
    assert place_words(part, 2, position(2)) == "beat 3 of the second bar 1"
    assert stretch_words(part, (0, None), (1, None)) == "the first bar 1 to the first bar 2"
    assert stretch_words(part, (1, None), (3, None)) == "the first bar 2 to the second bar 2"
    assert stretch_words(part, (1, position(0)), (3, position(1))) == (
        "beat 1 of the first bar 2 to beat 2 of the second bar 2"
    )
