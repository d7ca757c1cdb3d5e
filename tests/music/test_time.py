"""Exact time, note values, tuplets and time signatures."""

from __future__ import annotations

from fractions import Fraction

import music21
import pytest
from hypothesis import given, strategies

from drills.music.time import (
    COMMON_TIME,
    NOTE_KINDS,
    START,
    ZERO,
    Length,
    NoteValue,
    Position,
    TimeSignature,
    Tuplet,
    length,
    position,
)

FRACTIONS = strategies.fractions(min_value=0, max_value=64, max_denominator=64)


@given(FRACTIONS, FRACTIONS)
def test_lengths_and_positions_go_together(one: Fraction, two: Fraction) -> None:
    place, lasts = Position(one), Length(two)
    assert (place + lasts) - place == lasts
    assert Length(one) + lasts == Length(one + two)
    assert (Length(one) < lasts) == (one < two)
    assert (place < Position(two)) == (one < two)
    assert bool(lasts) == (two > 0)


def test_a_length_is_never_negative() -> None:
    with pytest.raises(ValueError, match="negative"):
        length(1) - length(2)
    with pytest.raises(ValueError, match="negative"):
        position(1) - position(2)


def test_lengths_are_counted_in_each_other() -> None:
    assert length(3) / length(1, 2) == 6
    assert length(1, 2) * 3 == length(3, 2)
    assert length(1) * Fraction(2, 3) == length(2, 3)
    assert (str(length(3, 2)), str(position(1, 3)), ZERO, START) == (
        *("3/2", "1/3"),
        length(0),
        position(0),
    )


# --- values ----------------------------------------------------------------------


@pytest.mark.parametrize("kind", NOTE_KINDS)
@pytest.mark.parametrize("dots", range(4))
def test_values_last_as_long_as_in_music21(kind: str, dots: int) -> None:
    """By the MusicXML names of the values (type ``note-type-value``)."""
    other = music21.duration.Duration(type=kind if kind != "long" else "longa", dots=dots)
    assert NoteValue(kind, dots).length.quarters == Fraction(other.quarterLength)


@pytest.mark.parametrize("kind", NOTE_KINDS)
@pytest.mark.parametrize("dots", range(3))
def test_a_value_is_found_by_its_length(kind: str, dots: int) -> None:
    assert NoteValue.of(NoteValue(kind, dots).length, max_dots=2) == NoteValue(kind, dots)


def test_a_length_without_a_value() -> None:
    assert NoteValue.of(length(5, 4)) is None
    assert NoteValue.of(length(1, 3)) is None
    assert NoteValue.of(NoteValue("quarter", 2).length) is None  # two dots were not asked for


@pytest.mark.parametrize(
    ("kind", "flags"),
    [("whole", 0), ("quarter", 0), ("eighth", 1), ("16th", 2), ("32nd", 3), ("64th", 4)],
)
def test_flags(kind: str, flags: int) -> None:
    """Common practice."""
    assert NoteValue(kind).flags == flags


def test_what_is_no_value_is_refused() -> None:
    with pytest.raises(ValueError, match="not a note value"):
        NoteValue("crotchet")
    with pytest.raises(ValueError, match="5 dots"):
        NoteValue("quarter", 5)


def test_tuplets_shorten() -> None:
    assert Tuplet(3, 2).factor == Fraction(2, 3)
    assert Tuplet(2, 3).factor == Fraction(3, 2)
    with pytest.raises(ValueError, match="0:2"):
        Tuplet(0, 2)


# --- time signatures -------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "beat", "beats", "groups"),
    [
        ("2/4", 1, 2, (2,)),
        ("3/4", 1, 3, (3,)),
        ("4/4", 1, 4, (2, 2)),
        ("2/2", 2, 2, (2,)),
        ("3/2", 2, 3, (3,)),
        ("3/8", Fraction(1, 2), 3, (3,)),
        ("6/8", Fraction(3, 2), 2, (2,)),
        ("9/8", Fraction(3, 2), 3, (3,)),
        ("12/8", Fraction(3, 2), 4, (2, 2)),
        ("6/4", 3, 2, (2,)),
        ("6/16", Fraction(3, 4), 2, (2,)),
        ("5/4", 1, 5, (3, 2)),
        ("5/8", Fraction(1, 2), 5, (3, 2)),
        ("7/8", Fraction(1, 2), 7, (2, 2, 3)),
        ("8/8", Fraction(1, 2), 8, (2, 2, 2, 2)),
        ("2+3/8", Fraction(1, 2), 5, (2, 3)),
        ("3+2+3/8", Fraction(1, 2), 8, (3, 2, 3)),
    ],
)
def test_what_a_player_counts(
    text: str, beat: Fraction | int, beats: int, groups: tuple[int, ...]
) -> None:
    """Common practice, as the module's docstring states it."""
    time = TimeSignature.parse(text)
    assert (time.beat.quarters, time.beats, time.groups) == (beat, beats, groups)
    assert str(time) == text
    assert time.beat * time.beats == time.bar_length


@pytest.mark.parametrize("text", ["2/4", "3/4", "4/4", "6/8", "9/8", "12/8", "5/4", "3/8", "2/2"])
def test_bars_are_as_long_as_in_music21(text: str) -> None:
    time, other = TimeSignature.parse(text), music21.meter.TimeSignature(text)
    assert time.bar_length.quarters == Fraction(other.barDuration.quarterLength)
    if text != "3/8":  # music21 counts 3/8 as one beat
        assert time.beats == other.beatCount
        assert time.beat.quarters == Fraction(other.beatDuration.quarterLength)


@given(
    strategies.lists(strategies.integers(1, 9), min_size=1, max_size=3), strategies.integers(0, 6)
)
def test_groups_fill_the_bar(counts: list[int], power: int) -> None:
    time = TimeSignature(tuple(counts), 2**power)
    unit = time.unit_length if len(counts) > 1 else time.beat
    assert unit * sum(time.groups) == time.bar_length


@pytest.mark.parametrize("text", ["0/4", "4/3", "4/0", "4", "x/4", "4/-4"])
def test_what_is_no_time_signature_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        TimeSignature.parse(text)


def test_common_time() -> None:
    assert TimeSignature.parse("4/4") == COMMON_TIME
