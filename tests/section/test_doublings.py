"""Who plays with whom: unison, octaves, for all of a spot or a part of it."""

from __future__ import annotations

from pathlib import Path

import pytest

import drills
from drills.music.score import Part
from drills.reading.musicxml import open_score, read_all
from drills.section.making import make_section
from drills.section.players import Section
from drills.sheets.choices import Choices
from tests.section.made import B_FLAT, E_FLAT, IN_F, OCTAVE_DOWN, part

SCORES = Path(drills.__file__).parent.parent / "scores"
NO_DRILLS = Choices(sizes=(2,), rhythms=())

LINE = ["C5 D5 E5 F5", "G5 F5 E5 D5"]
"""At concert pitch."""
FOR_B_FLAT = ["D5 E5 F#5 G5", "A5 G5 F#5 E5"]
"""The same sound, written for an instrument in B flat."""
FOR_E_FLAT = ["A5 B5 C#6 D6", "E6 D6 C#6 B5"]
"""The same, for one in E flat that sounds a major sixth lower."""
IN_THIRDS = ["E5 F5 G5 A5", "B5 A5 G5 F5"]


def section(*parts: Part, at: str = "1-2") -> Section:
    return make_section(parts, range(len(parts)), at, NO_DRILLS)


def doublings(*parts: Part, at: str = "1-2") -> list[tuple[str, ...]]:
    return [player.doublings for player in section(*parts, at=at).players]


def test_the_same_sound_from_different_written_notes() -> None:
    found = doublings(
        part("Flute", LINE),
        part("Clarinet 1 in B flat", FOR_B_FLAT, moved=B_FLAT),
        part("Alto Saxophone", FOR_E_FLAT, moved=E_FLAT),
    )
    assert found == [
        ("with Clarinet 1 in B flat", "with Alto Saxophone"),
        ("with Flute", "with Alto Saxophone"),
        ("with Flute", "with Clarinet 1 in B flat"),
    ]


def test_players_of_one_name_are_told_apart_by_their_number_in_the_score() -> None:
    found = doublings(part("Violin", LINE), part("Flute", LINE), part("Violin", LINE))
    assert found == [
        ("with Flute", "with Violin (part 3)"),
        ("with Violin (part 1)", "with Violin (part 3)"),
        ("with Violin (part 1)", "with Flute"),
    ]


def test_one_note_in_common_is_no_doubling() -> None:
    """Half of the tuba's two notes, and by chance."""
    high = part("Flute", ["C5 E5 G5 E5", "G5 r r r"])
    assert doublings(high, part("Tuba", ["C3 r r r", "G2 r r r"])) == [(), ()]
    assert doublings(high, part("Horn", ["G4 r r r", "G4 r r r"])) == [(), ()]


@pytest.mark.parametrize(
    ("lower", "words"),
    [
        (["C4 D4 E4 F4", "G4 F4 E4 D4"], ("an octave lower", "an octave higher")),
        (["C3 D3 E3 F3", "G3 F3 E3 D3"], ("two octaves lower", "two octaves higher")),
    ],
)
def test_octaves_are_told_as_each_player_hears_them(
    lower: list[str], words: tuple[str, str]
) -> None:
    high, low = doublings(part("Flute", LINE), part("Bassoon", lower))
    assert low == (f"with Flute, {words[0]}",)
    assert high == (f"with Bassoon, {words[1]}",)


def test_the_same_written_notes_an_octave_apart() -> None:
    """A bass clarinet reads what the clarinet reads and sounds an octave below it."""
    low = part("Bass Clarinet", LINE, moved=OCTAVE_DOWN)
    assert doublings(part("Oboe", LINE), low)[1] == ("with Oboe, an octave lower",)


def test_the_same_written_notes_that_sound_no_octave_apart() -> None:
    horn, oboe = doublings(part("Horn in F", LINE, moved=IN_F), part("Oboe", LINE))
    assert horn == ("reads the same notes as Oboe and sounds a fifth lower",)
    assert oboe == ("reads the same notes as Horn in F and sounds a fifth higher",)


def test_no_doubling_in_thirds_or_in_another_rhythm() -> None:
    assert doublings(part("Flute", LINE), part("Oboe", IN_THIRDS)) == [(), ()]
    other = part("Oboe", ["C5 r D5 E5", "G5 F5 r D5"])
    assert doublings(part("Flute", LINE), other) == [(), ()]


def test_the_bars_are_told_where_it_is_not_all_of_the_spot() -> None:
    flute = part("Flute", [LINE[0], LINE[1], LINE[0], LINE[0]])
    oboe = part("Oboe", [LINE[0], IN_THIRDS[1], LINE[0], LINE[0]])
    found = doublings(flute, oboe, at="1-4")
    assert found == [("with Oboe, in bars 1 and 3 to 4",), ("with Flute, in bars 1 and 3 to 4",)]


def test_a_bar_in_four_is_too_little_to_tell() -> None:
    flute = part("Flute", [LINE[0]] * 4)
    oboe = part("Oboe", [LINE[0], *[IN_THIRDS[0]] * 3])
    assert doublings(flute, oboe, at="1-4") == [(), ()]


def test_who_rests_doubles_nobody_and_is_in_nobodys_way() -> None:
    """The oboe joins for the second bar: all that it plays is with the flute."""
    flute, oboe = doublings(part("Flute", LINE), part("Oboe", ["r r r r", LINE[1]]))
    assert oboe == ("with Flute",)
    assert flute == ("with Oboe, in bar 2",)


def test_the_demo_march() -> None:
    """Bars 22 to 24: second clarinet and saxophone in unison; bar 25 not.

    Read off the score: clarinet 2 (in B flat) D E F A | B flat, saxophone (in E flat)
    A B C E | F.
    """
    parts = read_all(open_score(SCORES / "march.musicxml"))
    found = make_section(parts, range(4), "22-25", NO_DRILLS).players
    assert found[0].doublings == found[1].doublings == ()
    assert found[2].doublings == ("with Alto Saxophone in E flat, in bars 22 to 24",)
    assert found[3].doublings == ("with Clarinet 2 in B flat, in bars 22 to 24",)
