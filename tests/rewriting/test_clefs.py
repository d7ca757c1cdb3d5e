"""Clefs that players read, and octave lines.  Clefs of instruments: common practice."""

from __future__ import annotations

import music21
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.instruments.table import InstrumentFact, instrument_facts
from drills.music.score import TREBLE, Clef
from drills.music.time import position
from drills.rewriting.asked import How
from drills.rewriting.clefs import ledgers
from tests.music_made import bar_of, notes
from tests.rewriting.music import notes_of, part_for, rewrite, with_bars

BASS, TENOR, ALTO = Clef("F", 4), Clef("C", 4), Clef("C", 3)
USUAL = {
    **dict.fromkeys(("Flute", "Horn in F", "Bass clarinet", "Tenor horn", "Guitar"), TREBLE),
    **dict.fromkeys(("Bassoon", "Contrabassoon", "Trombone", "Euphonium", "Tuba"), BASS),
    **dict.fromkeys(("Cello", "Double bass", "Timpani", "Bass trombone"), BASS),
    **dict.fromkeys(("Viola", "Alto trombone"), ALTO),
    **dict.fromkeys(("Euphonium in treble clef", "Bass in E flat", "Bass in B flat"), TREBLE),
    "Tenor": Clef("G", 2, -1),
}


def test_the_usual_clefs() -> None:
    facts = {fact.name: fact for fact in instrument_facts()}
    assert {name: facts[name].clef for name in USUAL} == USUAL


@pytest.mark.parametrize("fact", instrument_facts(), ids=lambda fact: fact.name)
def test_every_range_is_read_within_reach_of_some_clef(fact: InstrumentFact) -> None:
    """At most nine ledger lines (the piano's lowest note), and two in the middle of the range."""
    if fact.low is None or fact.high is None:
        assert fact.clef.sign == "percussion"
        return
    middle = (fact.low.diatonic + fact.high.diatonic) // 2
    assert abs(ledgers(middle, fact.clef)) <= 2
    for end in (fact.low, fact.high):
        assert min(abs(ledgers(end.diatonic, clef)) for clef in fact.clefs) <= 9


@given(
    st.sampled_from((TREBLE, BASS, TENOR, ALTO, Clef("G", 2, -1), Clef("F", 3))),
    st.integers(0, 70),
)
def test_staff_places_as_music21_counts_them(clef: Clef, step: int) -> None:
    theirs = music21.clef.clefFromString(f"{clef.sign}{clef.line}", clef.octave_change)
    bottom = theirs.lowestLine - 1  # counted from 1 on C0
    lines = ledgers(step, clef)
    if bottom - 1 <= step <= bottom + 9:
        assert lines == 0
    elif step > bottom:
        assert bottom + 8 + 2 * lines <= step < bottom + 10 + 2 * lines
    else:
        assert bottom + 2 * lines - 2 < step <= bottom + 2 * lines


def clefs_of(name: str, *bars: str, places: tuple[str, ...] = ()) -> list[Clef]:
    new = rewrite(part_for(name, *bars), name, How.SOUNDING, *places).part
    return [bar.clef for bar in new.bars]


HIGH = "G4 A4 Bb4 A4"
LOW = "G2 A2 Bb2 A2"


@pytest.mark.parametrize("name", ["Trombone", "Bassoon", "Cello"])
def test_music_that_stays_high_is_read_in_tenor_clef(name: str) -> None:
    assert clefs_of(name, LOW, LOW, HIGH, HIGH, HIGH, HIGH, LOW, LOW) == [
        *(BASS, BASS, TENOR, TENOR, TENOR, TENOR, BASS, BASS),
    ]


@pytest.mark.parametrize("name", ["Trombone", "Bassoon", "Cello"])
def test_one_high_note_changes_no_clef(name: str) -> None:
    assert set(clefs_of(name, LOW, "G3 G4 D3 G2", LOW)) == {BASS}


def test_who_reads_one_clef_reads_it_everywhere() -> None:
    assert set(clefs_of("Horn in F", "C3 C3 C3 C3", "C6 C6 C6 C6")) == {TREBLE}
    assert set(clefs_of("Tuba", "D1 D1 D1 D1", "F4 F4 F4 F4")) == {BASS}


def test_the_clefs_of_the_score_are_dropped() -> None:
    bar = bar_of(notes("C4 D4 E4 F4", "quarter"), clef=TENOR, clef_changes=((position(2), TREBLE),))
    new = rewrite(with_bars("Cello", [bar]), "oboe").part.bars[0]
    assert (new.clef, new.clef_changes) == (TREBLE, ())


def test_a_clef_changes_after_a_rest_inside_a_bar() -> None:
    high = part_for("Cello", *[HIGH] * 6).bars
    half = bar_of(
        [
            *notes("G2", "half"),
            *notes("r", "quarter"),
            *notes("A4 Bb4 A4 G4", "16th", position(3).quarters),
        ]
    )
    new = rewrite(
        with_bars("Cello", [*part_for("Cello", LOW, LOW).bars, half, *high]), "cello"
    ).part
    assert {bar.clef for bar in new.bars[:3]} == {BASS}
    assert new.bars[2].clef_changes == ((position(3), TENOR),)
    assert {bar.clef for bar in new.bars[3:]} == {TENOR}


def test_bars_that_are_not_drilled_choose_no_clef() -> None:
    assert clefs_of("Trombone", HIGH, HIGH, LOW, HIGH, HIGH, places=("3",))[2] == BASS


def test_an_octave_line_only_far_from_the_staff() -> None:
    new = rewrite(part_for("Violin", "D6 E6 F6 G6", "A7 G7 F7 E7", "A5 G5 F5 E5"), "violin").part
    assert [note.octave_line for note in notes_of(new)] == [0, 0, 0, 0, 1, 1, 1, 1, 0, 0, 0, 0]
    five = rewrite(part_for("Violin", "A6 B6 C7 B6"), "violin").part
    assert [str(note.tones[0]) for note in notes_of(five)] == ["A6", "B6", "C7", "B6"]
    assert {note.octave_line for note in notes_of(five)} == {0}  # C7 has five ledger lines
