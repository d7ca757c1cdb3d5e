"""The tempo in force, and the seconds between two places."""

from __future__ import annotations

from fractions import Fraction

from drills.music.score import TempoMark
from drills.music.time import NoteValue, position
from drills.places.tempos import AskedTempo, tempo_map
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


def test_a_tempo_asked_for_counts_the_beat_of_each_time_signature() -> None:
    """100 beats are quarters in 4/4 and dotted quarters in 6/8; half = 50 is the same in both."""
    part = part_of([bar_of(FOUR), bar_of(notes("G4 A4 B4 C5 D5 E5", "eighth"), "6/8")])
    asked = tempo_map(part, AskedTempo(Fraction(100)))
    assert asked.at(Fraction(0)).quarters_per_minute == 100
    assert asked.at(Fraction(4)).quarters_per_minute == 150
    halves = tempo_map(part, AskedTempo(Fraction(50), NoteValue("half")))
    assert halves.at(Fraction(4)).quarters_per_minute == 100
    assert halves.at(Fraction(4)).number == 50, "as it was said"
