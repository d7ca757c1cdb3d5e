"""A score in a player's words."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from drills.cli.describe import WIDTH, describe_part, described
from drills.cli.intervals import interval
from drills.music.pitch import KeySignature, Transposition
from drills.music.score import (
    Bar,
    Credits,
    Direction,
    Instrument,
    Part,
    RehearsalMark,
    TempoMark,
)
from drills.music.time import START, NoteValue, TimeSignature, length
from tests.music_made import bar_of, notes, part_of

B_FLAT = Instrument("clarinet in B flat", "woodwind", Transposition(-1, -2), True)


def lines(part: Part) -> dict[str, str]:
    """The facts of a part by their label."""
    found: dict[str, str] = {}
    label = ""
    for line in describe_part(part, 1).splitlines()[1:]:
        label = line[3:14].strip() or label
        found[label] = f"{found.get(label, '')} {line[14:].strip()}".strip()
    return found


# Transpositions: general knowledge of the trade, as in any orchestration handbook.
@pytest.mark.parametrize(
    ("diatonic", "chromatic", "words"),
    [
        (0, 0, "as written"),
        (-1, -2, "a major second lower"),  # clarinet in B flat
        (-2, -3, "a minor third lower"),  # clarinet in A
        (-5, -9, "a major sixth lower"),  # alto saxophone
        (2, 3, "a minor third higher"),  # clarinet in E flat
        (-4, -7, "a perfect fifth lower"),  # horn in F, cor anglais
        (7, 12, "an octave higher"),  # piccolo
        (-7, -12, "an octave lower"),  # double bass
        (-8, -14, "an octave and a major second lower"),  # tenor saxophone
        (-12, -21, "an octave and a major sixth lower"),  # baritone saxophone
        (-15, -26, "2 octaves and a major second lower"),  # contrabass clarinet
        (3, 6, "an augmented fourth higher"),
        (-4, -6, "a diminished fifth lower"),
        (0, 5, "5 semitones higher"),
    ],
)
def test_transpositions(diatonic: int, chromatic: int, words: str) -> None:
    assert interval(Transposition(diatonic, chromatic)) == words


# Keys: the circle of fifths, as in any primer.
@pytest.mark.parametrize(
    ("fifths", "mode", "words"),
    [
        (0, "major", "no sharps or flats (C major)"),
        (0, "minor", "no sharps or flats (A minor)"),
        (-2, "major", "2 flats (B flat major)"),
        (-1, "minor", "1 flat (D minor)"),
        (3, "minor", "3 sharps (F sharp minor)"),
        (7, "major", "7 sharps (C sharp major)"),
        (-7, "minor", "7 flats (A flat minor)"),
        (-7, "major", "7 flats (C flat major)"),
        (2, "dorian", "2 sharps (dorian)"),
        (-3, "", "3 flats"),
    ],
)
def test_keys(fifths: int, mode: str, words: str) -> None:
    bar = bar_of(notes("C4", "whole"), key=KeySignature(fifths, mode))
    assert lines(part_of([bar]))["key"] == words


def march() -> Part:
    """A part with a pickup, two marks, a repeat with endings, rests, and a change of all."""
    scale = "C4 D4 E4 F4"
    common = TimeSignature((4,), 4)
    pickup = replace(
        bar_of(notes("G4", "quarter")),
        number="0",
        offset=length(3),
        tempos=(TempoMark(START, NoteValue("quarter"), Fraction(120), "Allegro"),),
    )
    silent = Bar(0, "", length(4), common)
    compound = bar_of(notes("C4 D4 E4 F4 G4 A4", "eighth"), "6/8", key=KeySignature(-2))
    bars = [
        pickup,
        bar_of(notes(scale, "quarter"), marks=(RehearsalMark("A"),), starts_repeat=True),
        bar_of(
            notes(scale, "quarter"), directions=(Direction(START, "words", "Drill"),), ending="1"
        ),
        replace(bar_of(notes(scale, "quarter"), ending="2"), ends_repeat=2),
        silent,
        silent,
        silent,
        replace(compound, marks=(RehearsalMark("Trio"),)),
    ]
    return part_of([replace(bar, instrument=B_FLAT) for bar in bars])


def numbered_from_nought(part: Part) -> Part:
    """Printed numbers as after a pickup: 0, 1, 2 ..."""
    return replace(part, bars=tuple(replace(bar, number=str(bar.index)) for bar in part.bars))


def test_everything_about_a_part() -> None:
    found = lines(numbered_from_nought(march()))
    assert found == {
        "instrument": "clarinet in B flat",
        "sounds": "a major second lower",
        "bars": "8, numbered 0 to 7; the first is a pickup of one beat",
        "notes": "19, written C4 to A4 (C4 is middle C)",
        "key": "no sharps or flats, 2 flats from bar 7",
        "time": "4/4, 6/8 from bar 7",
        "tempo": '"Allegro" quarter = 120 at bar 0',
        "marks": "A at bar 1, Trio at bar 7",
        "repeats": "bars 1 to 3 twice; ending 1 in bar 2; ending 2 in bar 3",
        "rests": "bars 4 to 6 (3 bars)",
        "marked": "2 (bar 2, the second bar of A)",
    }


def test_repeated_numbers_are_told_with_the_way_to_write_them() -> None:
    part = march()
    twice = replace(part, bars=tuple(replace(bar, number="5") for bar in part.bars))
    assert lines(twice)["numbers"] == "5 stands more than once; write 5#2 for the second bar 5"


def test_a_part_with_nothing_in_it() -> None:
    found = lines(Part("", Instrument(""), ()))
    assert found == {"bars": "none", "notes": "none"}
    assert describe_part(Part("", Instrument(""), ()), 3).startswith(" 3 a part without a name")


def test_drums_do_not_transpose() -> None:
    drum = Instrument("snare drum", "percussion", known=True)
    part = replace(march(), instrument=drum)
    assert "sounds" not in lines(part)


def test_nothing_is_wider_than_a_terminal() -> None:
    part = replace(
        march(),
        name="Clarinet " * 20,
        remarks=("left out: " + "a long remark " * 30,),
        credits=Credits("A long title " * 20, "A. Composer", "All rights " * 20),
    )
    text = described([(1, part), (12, part)], "march.musicxml")
    assert text.startswith("march.musicxml\nA long title")
    assert "\n\n 1 Clarinet" in text
    assert "\n\n12 Clarinet" in text
    assert max(map(len, text.splitlines())) <= WIDTH
