"""The tempo in force, and the seconds between two places."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drills.music.score import Part, TempoMark
from drills.music.time import NoteValue, position
from drills.places.tempos import AskedTempo, asked_at, tempo_map
from tests.music_made import bar_of, notes, part_of

QUARTER = NoteValue("quarter")
FOUR = notes("G4 A4 B4 C5", "quarter")


def test_marks_with_numbers_win_over_words() -> None:
    part = part_of(
        [
            bar_of(FOUR, tempos=(TempoMark(position(0), text="Adagio"),)),
            bar_of(FOUR, tempos=(TempoMark(position(1), QUARTER, Fraction(120)),)),
            bar_of(FOUR, tempos=(TempoMark(position(0), text="calmer"),)),
        ]
    )
    found = tempo_map(part)
    assert [found.at(Fraction(at)).number for at in (0, 4, 5, 8)] == [66, 66, 120, 120]
    assert "only “Adagio”" in found.at(Fraction(0)).source
    assert found.at(Fraction(8)).source == "from the score"


def test_seconds_over_a_change() -> None:
    """Two quarters at 60 and two at 120 last three seconds."""
    slow = TempoMark(position(0), QUARTER, Fraction(60))
    fast = TempoMark(position(2), QUARTER, Fraction(120))
    marks = (slow, fast)
    found = tempo_map(part_of([bar_of(FOUR, tempos=marks)]))
    assert found.seconds(Fraction(0), Fraction(4)) == 3
    assert found.seconds(Fraction(1), Fraction(1)) == 0


def test_a_tempo_with_its_note_value_is_the_same_in_every_metre() -> None:
    part = part_of([bar_of(FOUR), bar_of(notes("G4 A4 B4 C5 D5 E5", "eighth"), "6/8")])
    halves = tempo_map(part, AskedTempo(Fraction(50), NoteValue("half")))
    assert halves.at(Fraction(4)).quarters_per_minute == 100
    assert halves.at(Fraction(4)).number == 50, "as it was said"


SIX = notes("G4 A4 B4 C5 D5 E5", "eighth")
METRES = {
    "7/8": notes("G4 A4 B4 C5 D5 E5 F5", "eighth"),
    "2/2": notes("G4 C5", "half"),
    "6/8": SIX,
    "3/8": SIX[:3],
}


def changing(metre: str, *marks: TempoMark, first: tuple[TempoMark, ...] = ()) -> Part:
    """A bar of 4/4, then one of another metre with some marks."""
    return part_of([bar_of(FOUR, tempos=first), bar_of(METRES[metre], metre, tempos=marks)])


@pytest.mark.parametrize("metre", METRES)
def test_a_plain_number_keeps_notes_as_long_when_the_metre_changes(metre: str) -> None:
    """Asked for in the bar of 4/4 it counts quarters, and a quarter is a quarter after it."""
    found = tempo_map(changing(metre), AskedTempo(Fraction(120)))
    assert found.at(Fraction(4)).quarters_per_minute == 120


@pytest.mark.parametrize(
    ("metre", "quarters"),
    [
        ("7/8", Fraction(60)),  # 120 eighths
        ("2/2", Fraction(240)),  # 120 halves
        ("6/8", Fraction(180)),  # 120 dotted quarters
        ("3/8", Fraction(60)),  # 120 eighths
    ],
)
def test_a_plain_number_counts_the_beat_of_the_place_where_it_is_asked_for(
    metre: str, quarters: Fraction
) -> None:
    asked = asked_at(AskedTempo(Fraction(120)), Fraction(4))
    found = tempo_map(changing(metre), asked)
    assert found.at(Fraction(4)).quarters_per_minute == quarters
    assert found.at(Fraction(0)).quarters_per_minute == quarters, "and back from there"


@pytest.mark.parametrize("metre", METRES)
def test_an_assumed_tempo_keeps_notes_as_long_when_the_metre_changes(metre: str) -> None:
    found = tempo_map(changing(metre))
    assert found.at(Fraction(4)).quarters_per_minute == found.at(Fraction(0)).quarters_per_minute


@pytest.mark.parametrize(
    ("metre", "text", "quarters"),
    [
        ("7/8", "eighth = eighth", Fraction(120)),
        ("2/2", "quarter = half", Fraction(240)),
        ("6/8", "quarter = dotted quarter", Fraction(180)),
        ("3/8", "quarter = dotted quarter", Fraction(180)),
        ("2/2", "L'istesso tempo", Fraction(240)),
        ("6/8", "Lo stesso tempo", Fraction(180)),
    ],
)
def test_a_relation_of_the_score_is_followed(metre: str, text: str, quarters: Fraction) -> None:
    """Worked by hand: the new note lasts as long as the old one, which stands first."""
    relation = TempoMark(position(0), text=text)
    asked = tempo_map(changing(metre, relation), AskedTempo(Fraction(120)))
    assert asked.at(Fraction(4)).quarters_per_minute == quarters
    sixty = TempoMark(position(0), QUARTER, Fraction(60))
    written = tempo_map(changing(metre, relation, first=(sixty,)))
    assert written.at(Fraction(4)).quarters_per_minute == quarters / 2


@pytest.mark.parametrize("metre", METRES)
def test_marks_of_the_score_keep_their_proportion(metre: str) -> None:
    """120, then 90: asked for at 60 the second is 45; asked for there, the first is 80."""
    marks = (TempoMark(position(0), QUARTER, Fraction(90)),)
    part = changing(metre, *marks, first=(TempoMark(position(0), QUARTER, Fraction(120)),))
    found = tempo_map(part, AskedTempo(Fraction(60)))
    assert [found.at(Fraction(at)).quarters_per_minute for at in (0, 4)] == [60, 45]
    there = AskedTempo(Fraction(60), QUARTER, place=Fraction(4))
    assert tempo_map(part, there).at(Fraction(0)).quarters_per_minute == 80
    assert "proportion" in found.at(Fraction(4)).source


def test_a_number_of_the_score_is_no_proportion_of_an_assumed_one() -> None:
    marks = (TempoMark(position(0), QUARTER, Fraction(90)),)
    found = tempo_map(changing("2/2", *marks), AskedTempo(Fraction(60)))
    assert [found.at(Fraction(at)).quarters_per_minute for at in (0, 4)] == [60, 90]


@pytest.mark.parametrize(
    ("words", "quarters"),
    [("Adagio", Fraction(60)), ("a tempo", Fraction(120))],
)
def test_words_change_a_tempo_asked_for_as_far_as_they_name_one(
    words: str, quarters: Fraction
) -> None:
    """Allegro is assumed at 132 and Adagio at 66, half of it; "a tempo" names none."""
    first = (TempoMark(position(0), text="Allegro"),)
    part = part_of(
        [bar_of(FOUR, tempos=first), bar_of(FOUR, tempos=(TempoMark(position(0), text=words),))]
    )
    found = tempo_map(part, AskedTempo(Fraction(120)))
    assert found.at(Fraction(4)).quarters_per_minute == quarters
