"""A section in a spot: parts that differ, rest, hold, lack bars, divide, or have no key."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import drills
from drills.errors import PlaceError, UsageError
from drills.harmony.chord import Source
from drills.music.notes import Note, Voice
from drills.music.pitch import Pitch
from drills.music.score import Part
from drills.places.finding import find_span
from drills.reading.musicxml import open_score, read_all
from drills.rewriting.asked import How, rewriting_for
from drills.rewriting.rewrite import rewritten
from drills.section.making import make_section
from drills.section.players import Player, Section
from drills.section.score import ScoreKind
from drills.sheets.blocks import BlockKind
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from tests.music_made import notes
from tests.section.made import (
    B_FLAT,
    in_key,
    part,
    pickup,
    renumbered,
    symbols,
    with_bar,
)

SCORES = Path(drills.__file__).parent.parent / "scores"
CHOICES = Choices(sizes=(2,), rhythms=())

SOPRANO = ["E5 F5 G5 E5", "F5 E5 D5 F5", "E5 D5 C5 E5"]
TENOR = ["C4 C4 E4 G4", "B3 D4 G4 D4", "C4 E4 G4 C4"]
BASS = ["C3 C3 C3 C3", "G2 G2 G2 G2", "C3 C3 C3 C3"]


def trio() -> list[Part]:
    return [part("Flute", SOPRANO), part("Horn in F", TENOR), part("Tuba", BASS)]


def section(parts: list[Part], at: str = "2", **more: object) -> Section:
    return make_section(parts, range(len(parts)), at, CHOICES, **more)  # type: ignore[arg-type]


def player(made: Section, name: str) -> Player:
    return next(one for one in made.players if one.part.name == name)


def tied(one: Part, bar: int) -> Part:
    """The part with a whole note from a bar to the next, tied."""
    (note,) = notes("G4", "whole")
    assert isinstance(note, Note)
    first, second = replace(note, tie_start=True), replace(note, tie_stop=True)
    one = with_bar(one, bar, voices=(Voice("1", (first,)),))
    return with_bar(one, bar + 1, voices=(Voice("1", (second,)),))


# --- players -------------------------------------------------------------------------


def test_every_player_gets_the_sheet_that_they_would_get_alone_and_the_chords() -> None:
    parts = trio()
    made = section(parts)
    for one in made.players:
        alone = make_sheet(one.part, find_span(one.part, "2"), replace(CHOICES, voice="1"))
        assert one.sheet is not None
        assert one.silence == ""
        assert one.sheet.spot == alone.spot
        kinds = [group.kind for group in one.sheet.blocks]
        assert one.sheet.blocks[: len(alone.blocks)] == alone.blocks
        assert kinds == [*(group.kind for group in alone.blocks), BlockKind.CHORDS]
        assert len(one.sheet.functions) == len(one.sheet.spot.line)


def test_who_rests_is_told_so() -> None:
    parts = [*trio(), part("Oboe", ["C5 C5 C5 C5", "r r r r", "r r r r"])]
    oboe = player(section(parts, "2-3"), "Oboe")
    assert (oboe.sheet, oboe.silence) == (None, "rests from bar 2 to bar 3")
    assert player(section(parts, "2"), "Oboe").silence == "rests in bar 2"
    assert player(section(parts, "1"), "Oboe").sheet is not None


def test_a_note_that_began_before_and_lasts_is_told() -> None:
    parts = [*trio(), tied(part("Oboe", SOPRANO), 0)]
    oboe = player(section(parts, "2"), "Oboe")
    assert (oboe.sheet, oboe.silence) == (None, "holds written G4 from bar 1")
    goes_on = player(section(parts, "2-3"), "Oboe")
    assert goes_on.silence == ""
    assert goes_on.sheet is not None
    stops = [*trio(), with_bar(parts[3], 2, voices=())]
    assert player(section(stops, "2-3"), "Oboe").silence == (
        "holds written G4 from bar 1, then rests"
    )


def test_one_note_held_through_is_told_in_the_written_note() -> None:
    clarinet = part("Clarinet in B flat", ["A4"] * 3, kind="whole", moved=B_FLAT)
    made = section([*trio(), clarinet])
    assert player(made, "Clarinet in B flat").silence == "holds written A4 from bar 2"
    chords = next(one for one in made.scores if one.kind is ScoreKind.CHORDS)
    staff = next(staff for staff in chords.staves if staff.name == "Clarinet in B flat")
    assert isinstance(staff.bars[0].voices[0].events[0], Note), "it still stands in the score"


def test_a_part_without_bars_there() -> None:
    parts = [*trio(), part("Oboe", SOPRANO[:1])]
    oboe = player(section(parts, "2"), "Oboe")
    assert (oboe.span, oboe.sheet, oboe.silence) == (None, None, "Oboe has no bars here")
    assert [staff.name for staff in section(parts, "2").scores[0].staves] == [
        "Flute",
        "Horn in F",
        "Tuba",
    ]


def test_nobody_plays() -> None:
    with pytest.raises(PlaceError, match=r"nobody of the section plays in bar 1; choose"):
        section([part("Flute", ["r r r r"]), part("Oboe", ["r r r r"])], "1")


def test_no_part_is_chosen() -> None:
    with pytest.raises(UsageError, match=r"no part is chosen"):
        make_section(trio(), (), "1", CHOICES)


def test_a_voice_with_more_attacks_is_taken_and_the_other_named() -> None:
    """A divided horn: the second player moves twice as often."""
    both = (
        Voice("1", tuple(notes("G4 F4", "half"))),
        Voice("2", tuple(notes("B3 D4 D4 B3", "quarter"))),
    )
    parts = trio()
    parts[1] = with_bar(parts[1], 1, voices=both)
    made = section(parts)
    horn = player(made, "Horn in F")
    assert horn.sheet is not None
    assert horn.sheet.spot.voice == "2"
    assert "of Horn in F voice 2 is taken; voice 1 plays here too" in made.remarks
    assert {str(n.written) for s in made.slices for n in s.notes if n.part == 1} == {"B3", "D4"}
    heard = [s.harmony for s in made.slices if s.harmony]
    assert heard, "the other voice counts for the chords"


def test_a_named_voice_counts_where_a_part_has_it() -> None:
    both = (
        Voice("1", tuple(notes("G4 F4", "half"))),
        Voice("2", tuple(notes("B3 D4 D4 B3", "quarter"))),
    )
    parts = trio()
    parts[1] = with_bar(parts[1], 1, voices=both)
    made = make_section(parts, (0, 1, 2), "2", replace(CHOICES, voice="1"))
    assert [p.sheet.spot.voice for p in made.players if p.sheet] == ["1", "1", "1"]


# --- parts that differ ------------------------------------------------------------------


def test_one_part_with_a_pickup_more() -> None:
    """The flute has a pickup that nobody else prints: the spot and its chords stay the same."""
    plain = section(trio(), "2-3")
    parts = trio()
    parts[0] = pickup(parts[0], "G5")
    made = section(parts, "2-3")
    assert [p.span.asked for p in made.players if p.span] == ["2-3"] * 3
    assert [(s.bar, s.beat, s.notes) for s in made.slices] == [
        (s.bar, s.beat, s.notes) for s in plain.slices
    ]
    assert made.scores == plain.scores
    assert [p.sheet.functions for p in made.players if p.sheet] == [
        p.sheet.functions for p in plain.players if p.sheet
    ]
    assert "Horn in F lacks bar 0 of Flute" in made.remarks


def test_parts_that_number_otherwise_are_told_in_their_own_numbers() -> None:
    parts = trio()
    parts[2] = renumbered(parts[2], 11)
    made = section(parts, "2")
    assert [p.span.words for p in made.players if p.span] == ["bar 2", "bar 2", "bar 12"]
    assert made.words == "Bar 2"
    assert player(section([*parts, part("Oboe", ["r r r r"] * 3)], "2"), "Oboe").silence


def test_other_keys_and_no_key_at_all() -> None:
    """What is read does not depend on a key signature, given, wrong or missing."""
    plain = section(trio(), "1-3")
    mixed = [in_key(one, fifths) for one, fifths in zip(trio(), (4, 0, -5), strict=True)]
    made = section(mixed, "1-3")
    assert [(s.harmony, s.notes) for s in made.slices] == [
        (s.harmony, s.notes) for s in plain.slices
    ]


def test_functions_do_not_depend_on_who_reads_what() -> None:
    """The tenor for a clarinet in B flat: the same functions and cents, another written note."""
    parts = trio()
    written = ["D4 D4 F#4 A4", "C#4 E4 A4 E4", "D4 F#4 A4 D4"]
    mixed = [parts[0], part("Clarinet in B flat", written, moved=B_FLAT), parts[2]]
    for one, other in zip(section(parts, "1-3").slices, section(mixed, "1-3").slices, strict=True):
        assert one.harmony == other.harmony
        assert [(n.sounding, n.function, n.cents) for n in one.notes] == [
            (n.sounding, n.function, n.cents) for n in other.notes
        ]


def test_symbols_on_one_staff_reach_every_player() -> None:
    parts = trio()
    parts[2] = symbols(parts[2], {0: "C", 1: "G", 2: "C"})
    made = section(parts, "2")
    assert {s.harmony.chord.source for s in made.slices if s.harmony} == {Source.SYMBOL}
    horn = player(made, "Horn in F").sheet
    assert horn is not None
    assert [[f.label for f in tones] for tones in horn.functions][:3] == [["3"], ["5"], ["R"]]
    assert [s.root for bar in horn.excerpt.bars[:1] for s in bar.chords] == ["G"]
    assert not any("from the notes" in remark for remark in made.remarks)


def test_what_the_player_says_is_printed_as_that() -> None:
    made = section(trio(), "2", said=[("2", "G7")])
    assert [
        name.text
        for name in next(one for one in made.scores if one.kind is ScoreKind.CHORDS).chords
    ] == ["G7 (as you said)"]
    assert "as you said: G7" in made.remarks


# --- slices -------------------------------------------------------------------------------


def test_chords_are_those_of_the_score_whatever_it_is_rewritten_for() -> None:
    """The tuba's part for a flute, three octaves up: its notes are the bass all the same."""
    parts = trio()
    span = find_span(parts[2], "2")
    new = [*parts[:2], rewritten(parts[2], rewriting_for("flute"), [span])]
    made = section(new, heard=parts)
    names = [str(one.harmony.chord) for one in made.slices if one.harmony]
    assert names == [str(one.harmony.chord) for one in section(parts).slices if one.harmony]
    assert names != [str(one.harmony.chord) for one in section(new).slices if one.harmony]


def test_a_section_with_its_written_notes_keeps_its_functions() -> None:
    """All three as clarinets in B flat, which sound what they read a tone lower."""
    parts = trio()
    span = find_span(parts[0], "2")
    written = rewriting_for("clarinet in B flat", How.WRITTEN)
    new = [rewritten(one, written, [span]) for one in parts]
    made, before = section(new, heard=parts, by=B_FLAT), section(parts)
    for after, was in zip(made.slices, before.slices, strict=True):
        assert [note.function for note in after.notes] == [note.function for note in was.notes]
        assert after.harmony is not None
        assert was.harmony is not None
        assert after.harmony.chord == was.harmony.chord.moved(B_FLAT)
    assert {str(one.harmony.chord.root) for one in made.slices if one.harmony} == {"F"}


def test_slices_are_aligned_and_complete() -> None:
    """Every sounding moment of bar 2, worked out by hand: quarters in all three parts."""
    made = section(trio(), "2", said=[("2", "G7")])
    found = [
        (
            s.bar,
            s.beat,
            [(str(n.sounding), n.function.label if n.function else "") for n in s.notes],
        )
        for s in made.slices
    ]
    assert found == [
        ("2", "1", [("F5", "b7"), ("B3", "3"), ("G2", "R")]),
        ("2", "2", [("E5", "p"), ("D4", "5"), ("G2", "R")]),
        ("2", "3", [("D5", "5"), ("G4", "R"), ("G2", "R")]),
        ("2", "4", [("F5", "b7"), ("D4", "5"), ("G2", "R")]),
    ]
    assert [n.cents for n in made.slices[0].notes][2] == 0
    assert made.slices[1].notes[0].cents is None
    assert all(n.begins for s in made.slices for n in s.notes)


def test_a_named_last_beat_belongs_to_the_section_too() -> None:
    made = section(trio(), "2@3-3@1")
    assert [(s.bar, s.beat) for s in made.slices] == [("2", "3"), ("2", "4"), ("3", "1")]


def test_what_is_held_is_no_new_attack() -> None:
    parts = [*trio(), tied(part("Oboe", SOPRANO), 0)]
    held = [n for s in section(parts, "2").slices for n in s.notes if n.part == 3]
    assert len(held) == 4
    assert not any(n.begins for n in held)


@pytest.mark.parametrize("name", ["march", "air", "swing"])
def test_the_demo_scores_as_a_section(name: str) -> None:
    parts = read_all(open_score(SCORES / f"{name}.musicxml"))
    made = make_section(parts, range(len(parts)), "9-16", Choices())
    assert len(made.players) == 4
    assert len(made.scores) == 4
    assert made.source == parts[0].source
    for one in made.players:
        assert one.sheet is not None
        assert len(one.sheet.functions) == len(one.sheet.spot.line)
        for attack, found in zip(one.sheet.spot.line, one.sheet.functions, strict=True):
            assert len(found) == sum(isinstance(tone, Pitch) for tone in attack.tones)
