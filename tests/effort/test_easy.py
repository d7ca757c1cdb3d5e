"""Up to which tempo a passage is easy: the number a ladder starts from."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drills.effort.demand import demand_of
from drills.effort.easy import SLOWEST_START, easy_start, easy_tempo
from drills.effort.settings import USUAL
from drills.effort.suggest import hard_spots
from drills.music.score import Part
from drills.music.tempo import Tempo
from drills.music.time import NoteValue, TimeSignature, length
from drills.places.finding import find_span
from drills.places.tempos import AskedTempo
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from tests.effort.test_demand import SAX, music, slurred
from tests.music_made import bar_of, notes, part_of

FOUR = TimeSignature.parse("4/4")
TRILL = bar_of(slurred(notes("A4 B4 " * 8, "16th")))
"""One finger on one key: each move costs 1.05 fingers (tests/effort/test_moves.py)."""


def easy(part: Part, quarters: int, *, instrument: str = SAX) -> Tempo | None:
    judged = demand_of(part, instrument=instrument, tempo=AskedTempo(Fraction(quarters)))
    return easy_tempo(judged, range(len(judged.demands)))


@pytest.mark.parametrize("quarters", [100, 120, 200])
def test_a_trill_of_one_finger(quarters: int) -> None:
    """By hand: 1.05 fingers for each sixteenth are 6 a second at 6 / (4 * 1.05) * 60 = 85.7."""
    assert easy(part_of([TRILL]), quarters) == Tempo(Fraction(85), length(1))


def test_what_is_easy_already_has_none() -> None:
    assert easy(part_of([TRILL]), 80) is None
    assert easy(part_of([bar_of(notes("G4 A4 B4 C5", "quarter"))]), 100) is None


def test_four_moves_in_a_row_decide() -> None:
    """One octave of D among repeated notes has the time of its neighbours: by hand a quarter
    of (2.7 + 7/12) fingers, with the leap beyond a fourth, for each sixteenth."""
    bar = bar_of(slurred(notes("D4 D4 D4 D4 D5 D5 D5 D5 D5 D5 D5 D5", "16th")))
    found = easy(part_of([bar]), 300, instrument="alto saxophone")
    assert found is not None
    by_hand = 6 / (4 * (2.7 + 7 / 12) / 4) * 60
    assert found.quarters_per_minute <= by_hand


def test_tonguing_counts_from_half_its_limit_on() -> None:
    """Repeated tongued sixteenths: 8 * (rate / 4 - 1) reaches 6 at 7 strokes a second,
    which is quarter = 105 (by hand from the usual limits)."""
    bars = [bar_of(notes("G4 " * 16, "16th"))] * 2
    assert easy(part_of(bars), 200) == Tempo(Fraction(105), length(1))


def test_slow_tempos_count_a_part_of_the_beat() -> None:
    """Metronomes begin at 40: where the quarter would be slower the eighth is named."""
    bar = bar_of(slurred(notes("Bb3 C#4 " * 8, "16th")))
    found = easy(part_of([bar]), 120)
    assert found is not None
    assert found.beat < length(1)
    assert found.number >= 40


@given(music(), st.integers(60, 200))
@settings(max_examples=40, deadline=None)
def test_at_the_easy_tempo_nothing_is_hard(part: Part, quarters: int) -> None:
    """The number is taken from the same cost: at it the passage is in no list."""
    judged = demand_of(part, instrument=SAX, tempo=AskedTempo(Fraction(quarters)))
    for spot in hard_spots(judged):
        assert spot.easy is not None
        beat = NoteValue.of(spot.easy.beat)
        again = AskedTempo(spot.easy.number, beat)
        slower = hard_spots(demand_of(part, instrument=SAX, tempo=again))
        assert not any(set(other.notes) <= set(spot.notes) for other in slower)


def test_a_ladder_starts_there_unless_another_start_is_asked_for() -> None:
    part = part_of([TRILL, TRILL])
    choices = Choices(instrument=SAX, tempo=Fraction(132))
    sheet = make_sheet(part, find_span(part, "1"), choices)
    assert sheet.start == 85
    assert sheet.ladder.rungs[0] == 88, "the next number of the metronome"
    asked = Choices(instrument=SAX, tempo=Fraction(132), start=Fraction(50))
    assert make_sheet(part, find_span(part, "1"), asked).ladder.rungs[0] == 50


def test_an_easy_spot_leaves_the_start_to_the_ladder() -> None:
    part = part_of([bar_of(notes("G4 A4 B4 C5", "quarter"))])
    assert easy_start(part, find_span(part, "1"), FOUR, instrument=SAX) is None


def test_no_ladder_starts_slower_than_a_fourth_of_its_goal() -> None:
    part = part_of([bar_of(slurred(notes("Bb3 C#4 " * 8, "16th")))])
    asked = AskedTempo(Fraction(200))
    found = easy_start(part, find_span(part, "1"), FOUR, instrument=SAX, tempo=asked)
    assert found == Fraction(SLOWEST_START) * 200
    assert USUAL.limits.easy == 6
