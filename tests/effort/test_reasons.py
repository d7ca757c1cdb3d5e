"""What is said of a spot."""

from __future__ import annotations

from fractions import Fraction

from drills.effort.demand import demand_of
from drills.effort.reasons import move_words, reason
from drills.effort.suggest import hard_spots
from drills.music.score import Bar
from drills.places.tempos import AskedTempo
from tests.effort.notes import run
from tests.effort.test_demand import slurred
from tests.music_made import bar_of, notes, part_of


def said(*bars: Bar, instrument: str = "alto saxophone", tempo: int = 100) -> str:
    judged = demand_of(part_of(bars), instrument=instrument, tempo=AskedTempo(Fraction(tempo)))
    return reason(judged, hard_spots(judged, 1)[0])


REST = notes("r", "half", Fraction(2))


def test_place_count_time_and_the_hardest_move() -> None:
    """Eight sixteenths at quarter = 100 last 1.2 s; B4-E5 changes five keys (any chart)."""
    events = slurred(notes("B4 E5 B4 E5 B4 E5 B4 E5", "16th"))
    words = said(bar_of(events + REST))
    assert words.startswith("bar 1 beat 1, eight notes across the break in 1.2 s: ")
    assert "B4-E5 moves 5 fingers" in words


def test_tonguing_alone() -> None:
    """Repeated sixteenths at quarter = 150 are ten a second."""
    words = said(bar_of(notes("G4 G4 G4 G4 G4 G4 G4 G4", "16th") + REST), tempo=150)
    assert words.endswith(": 10.0 tongued notes a second")


def test_leaps_and_the_range() -> None:
    words = said(bar_of(notes("G3 G5 G3 G5 G3 G5 G3 G5", "eighth")), instrument="violin", tempo=120)
    assert "leaps of up to two octaves" in words


def test_a_rhythm_against_the_beat() -> None:
    """By hand: repeated notes held over every beat of a slow bar, nothing else to do."""
    off = [*notes("r", "eighth"), *notes("G4 G4 G4", "quarter", Fraction(1, 2))]
    bar = bar_of([*off, *notes("G4", "eighth", Fraction(7, 2))])
    judged = demand_of(part_of([bar] * 2), instrument="piano", tempo=AskedTempo(Fraction(600)))
    assert reason(judged, hard_spots(judged, 1)[0]).endswith(": rhythm against the beat")


def test_a_move_is_named_once() -> None:
    (octave,) = run("alto saxophone", "D4 D5")
    assert move_words(octave) == "D4-D5 moves an octave, moves one finger, the left thumb"
