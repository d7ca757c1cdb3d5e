"""What is said of a spot."""

from __future__ import annotations

from fractions import Fraction

from drills.effort.demand import demand_of
from drills.effort.moves import cost_of_run, instrument_for
from drills.effort.reasons import move_words, reason
from drills.effort.suggest import hard_spots
from drills.music.notes import Grace
from drills.music.score import Bar
from drills.music.time import NoteValue, length
from drills.places.spots import Attack
from drills.places.tempos import AskedTempo
from tests.effort.notes import run
from tests.effort.test_demand import slurred
from tests.music_made import bar_of, notes, part_of, pitches


def said(*bars: Bar, instrument: str = "alto saxophone", tempo: int = 100) -> str:
    judged = demand_of(part_of(bars), instrument=instrument, tempo=AskedTempo(Fraction(tempo)))
    return reason(judged, hard_spots(judged, 1)[0])


REST = notes("r", "half", Fraction(2))


def test_place_count_time_and_the_hardest_move() -> None:
    """Eight sixteenths at quarter = 100 last 1.2 s; B4-E5 changes five keys (any chart)."""
    events = slurred(notes("B4 E5 B4 E5 B4 E5 B4 E5", "16th"))
    words = said(bar_of(events + REST))
    assert words.startswith("bar 1, the run of sixteenths: eight notes across the break in 1.2 s; ")
    assert "above all B4-E5 moves 5 fingers, all down (four times, first to the second" in words


def test_tonguing_alone() -> None:
    """Repeated sixteenths at quarter = 150 are ten a second."""
    words = said(bar_of(notes("G4 G4 G4 G4 G4 G4 G4 G4", "16th") + REST), tempo=150)
    assert words.endswith("; 10.0 tongued notes a second")


def test_leaps_and_the_range() -> None:
    words = said(bar_of(notes("G3 G5 G3 G5 G3 G5 G3 G5", "eighth")), instrument="violin", tempo=120)
    assert "leaps of up to two octaves" in words


def test_a_rhythm_against_the_beat() -> None:
    """By hand: repeated notes held over every beat of a slow bar, nothing else to do."""
    off = [*notes("r", "eighth"), *notes("G4 G4 G4", "quarter", Fraction(1, 2))]
    bar = bar_of([*off, *notes("G4", "eighth", Fraction(7, 2))])
    judged = demand_of(part_of([bar] * 2), instrument="piano", tempo=AskedTempo(Fraction(600)))
    assert reason(judged, hard_spots(judged, 1)[0]).endswith("; rhythm against the beat")


def test_grace_notes_are_named_on_the_way() -> None:
    """G4-A4 by way of B4: one line, its notes in the order in which they are played."""
    grace = Grace(pitches("B4"), NoteValue("eighth"))
    line = (Attack(pitches("G4"), length(1)), Attack(pitches("A4"), length(1), graces=(grace,)))
    (move,) = cost_of_run(line, instrument_for("alto saxophone"))
    assert move_words(move, 1) == "G4-A4 by way of B4, G4-B4 moves 2 fingers, all up"


def test_slur_two_tongue_two_is_not_ten_tongued_notes_a_second() -> None:
    """Sixteenths at quarter = 150: three strokes in every four notes are 7.5 a second."""
    bars = []
    for _ in range(2):
        events = notes("G4 A4 G4 A4 " * 4, "16th")
        for first in range(0, 16, 4):
            events[first : first + 2] = slurred(events[first : first + 2])
        bars.append(bar_of(events))
    words = said(*bars, tempo=150)
    assert "10.0 tongued" not in words
    rate = float(words.partition(" tongued notes")[0].split()[-1])
    assert 7.0 <= rate <= 8.1


def test_a_single_quick_pair_is_no_row() -> None:
    """Two sixteenths at quarter = 120, eight a second, among longer notes."""
    bar = bar_of(
        [
            *notes("G4 G4", "16th"),
            *notes("G4", "eighth", Fraction(1, 2)),
            *notes("G4 G4 G4", "quarter", Fraction(1)),
        ]
    )
    judged = demand_of(part_of([bar] * 2), instrument="trumpet", tempo=AskedTempo(Fraction(120)))
    assert not any(judged.shares(demand).get("tonguing") for demand in judged.demands)


def test_a_move_is_named_once() -> None:
    (octave,) = run("alto saxophone", "D4 D5")
    assert move_words(octave) == "D4-D5 moves an octave, moves one finger, the left thumb"
