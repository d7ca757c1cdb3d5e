"""What a player may write for an option, and what is said about the rest."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from drills.errors import UsageError
from drills.jobs.asked import values
from drills.music.time import NOTE_KINDS, NoteValue


@pytest.mark.parametrize(
    ("texts", "places"),
    [
        (["12"], ("12",)),
        (["12, E:3", "G"], ("12", "E:3", "G")),
        (["12,12", "12"], ("12",)),
        (["[Trio, fast]:2,14"], ("[Trio, fast]:2", "14")),
        ([" , "], ()),
        ([], ()),
    ],
)
def test_places(texts: list[str], places: tuple[str, ...]) -> None:
    assert values.read_places(texts) == places


@pytest.mark.parametrize(
    ("text", "sizes"), [("2,3,4", (2, 3, 4)), ("4, 2,2", (2, 4)), ("8", (8,)), ("None", ())]
)
def test_sizes(text: str, sizes: tuple[int, ...]) -> None:
    assert values.read_sizes(text) == sizes


def test_rhythms() -> None:
    assert values.read_rhythms(["dotted, Reversed Dotted", "3:1:1:2", "dotted"]) == (
        "dotted",
        "reversed-dotted",
        "3:1:1:2",
    )
    assert values.read_rhythms(["none"]) == ()
    assert len(values.read_rhythms(["one-long-in-four"])) == 4


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("eighth", NoteValue("eighth")),
        ("16th", NoteValue("16th")),
        ("sixteenth", NoteValue("16th")),
        ("dotted quarter", NoteValue("quarter", 1)),
        ("Dotted-Eighth", NoteValue("eighth", 1)),
        ("thirty-second", NoteValue("32nd")),
    ],
)
def test_note_values(text: str, value: NoteValue) -> None:
    assert values.read_value(text) == value


def test_the_names_of_note_values_are_those_of_the_table() -> None:
    assert set(values.VALUE_NAMES.values()) <= set(NOTE_KINDS)


@pytest.mark.parametrize(
    ("text", "tempo"),
    [
        ("132", (None, Fraction(132))),
        ("66.5", (None, Fraction(133, 2))),
        ("half=66", (NoteValue("half"), Fraction(66))),
        ("dotted quarter = 80", (NoteValue("quarter", 1), Fraction(80))),
    ],
)
def test_tempos(text: str, tempo: tuple[NoteValue | None, Fraction]) -> None:
    assert values.read_tempo(text) == tempo


def test_formats_and_limits() -> None:
    assert values.read_formats(["midi,PNG", ".ly", "midi"]) == ("midi", "png", "ly")
    assert values.read_limits(["bars=20000", " notes = 5"]) == {"bars": "20000", "notes": "5"}


@pytest.mark.parametrize(
    ("reader", "given", "said"),
    [
        (values.read_sizes, "1,2", "'1,2': a cell has 2 to 8 notes"),
        (values.read_sizes, "9", "a cell has 2 to 8 notes"),
        (values.read_sizes, "two", "'two' is not a list of sizes; write, for example, 2,3,4"),
        (values.read_sizes, "", "is not a list of sizes"),
        (values.read_sizes, "²", "is not a list of sizes"),
        (values.read_rhythms, ["doted"], "no rhythm 'doted'; did you mean dotted?"),
        (values.read_rhythms, ["3:0"], "'3:0' is not a rhythm"),
        (values.read_value, "eigth", "'eigth' is not a note value; did you mean eighth?"),
        (values.read_value, "triplet eighth", "there are whole, half, quarter, eighth"),
        (values.read_value, "dotted dotted half", "is not a note value"),
        (values.read_value, "", "is not a note value"),
        (values.read_tempo, "fast", "'fast' is not a metronome number; write one from 5 to 1000"),
        (values.read_tempo, "1/0", "is not a metronome number"),
        (values.read_tempo, "0", "is not a metronome number"),
        (values.read_tempo, "hlaf=60", "did you mean half?"),
        (values.read_formats, ["mp3"], "'mp3' is not a format; there are pdf, musicxml, midi"),
        (values.read_formats, ["music"], "did you mean musicxml?"),
        (values.read_limits, ["bars"], "'bars' is not a limit; write NAME=VALUE"),
        (values.read_limits, ["=5"], "is not a limit"),
    ],
)
def test_what_is_refused(reader: Callable[[Any], object], given: object, said: str) -> None:
    with pytest.raises(UsageError, match=re.escape(said)):
        reader(given)
