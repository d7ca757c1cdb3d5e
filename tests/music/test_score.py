"""Notes, bars and parts: what they promise at birth, and what does not count in equality."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import pytest
from lxml import etree

from drills.music.notes import LOUD, Articulation, Beam, Grace, Note, Origin, Voice
from drills.music.pitch import Pitch
from drills.music.score import UNNAMED, Bar, Part, TempoMark
from drills.music.time import NoteValue, length, position
from tests.schema import schema_file

QUARTER = NoteValue("quarter")
XSD = "{http://www.w3.org/2001/XMLSchema}"


def note(**changes: object) -> Note:
    made = Note(position(0), length(1), (Pitch.parse("C4"),), QUARTER)
    return dataclasses.replace(made, **changes)  # type: ignore[arg-type]


def test_a_note_has_a_tone() -> None:
    with pytest.raises(ValueError, match="is a rest"):
        note(tones=())


def test_where_a_note_was_read_does_not_count() -> None:
    """Equal cells merge although they come from different bars."""
    here, there = Origin(0, "1", position(0)), Origin(4, "5", position(2))
    assert note(origin=here) == note(origin=there)
    assert hash(note(origin=here)) == hash(note(origin=there))
    assert note(origin=here) != note(origin=here, tie_start=True)


@pytest.mark.parametrize(
    ("changes", "attack"),
    [
        ({}, True),
        ({"tie_start": True}, True),
        ({"tie_stop": True}, False),
        ({"cue": True}, False),
        ({"hidden": True}, False),
        ({"graces": (Grace((Pitch.parse("D4"),), QUARTER),)}, True),
    ],
)
def test_what_the_player_begins(changes: dict[str, object], attack: bool) -> None:
    assert note(**changes).is_attack is attack


def test_values_are_frozen() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        note().cue = True  # type: ignore[misc]


def names_of(type_name: str) -> set[str]:
    """Element names inside a complex type of the W3C MusicXML 4.0 schema."""
    tree = etree.parse(str(schema_file()))
    found = tree.find(f"{XSD}complexType[@name='{type_name}']")
    assert found is not None
    return {str(one.get("name")) for one in found.iter(f"{XSD}element")}


def test_signs_are_elements_of_musicxml() -> None:
    known = names_of("articulations") | names_of("ornaments") | names_of("notations")
    assert {sign.value for sign in Articulation} <= known
    assert set(Articulation) >= LOUD


def test_beams_are_values_of_musicxml() -> None:
    tree = etree.parse(str(schema_file()))
    values = tree.iterfind(f"{XSD}simpleType[@name='beam-value']//{XSD}enumeration")
    assert {beam.value for beam in Beam} <= {str(one.get("value")) for one in values}


def test_a_tempo_is_told_in_quarters() -> None:
    dotted = TempoMark(position(0), NoteValue("quarter", 1), Fraction(80))
    assert dotted.quarters_per_minute == 120
    assert TempoMark(position(0), NoteValue("half"), Fraction(66)).quarters_per_minute == 132
    assert TempoMark(position(0), text="Andante").quarters_per_minute is None


def test_bars_find_their_voices_and_places() -> None:
    first = Bar(0, "0", length(1), voices=(Voice("1", (note(),)), Voice("2", ())))
    part = Part("Oboe", UNNAMED, (first, Bar(1, "1", length(4)), Bar(2, "2", length(3))))
    assert first.voice("2") == Voice("2", ())
    assert first.voice("3") is None
    assert part.starts() == (position(0), position(1), position(5))
