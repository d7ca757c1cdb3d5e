"""The drum grid: how it is read, and what is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drills.music.time import TimeSignature
from drills.sound.groove import Grid, Groove, Pattern

GOOD = """
    ride  x. Xo | x. ..
    snare .. ,. | .. ..
"""

THREE_FOUR, TWO_FOUR = TimeSignature((3,), 4), TimeSignature((2,), 4)
ONE_BAR = Grid.parse("eighth", "ride x. x.")
TWO_BARS = Grid.parse("eighth", GOOD)


def test_a_grid_is_read_row_by_row() -> None:
    assert list(TWO_BARS.strokes(0)) == [
        (Fraction(0), "ride", 0.75),
        (Fraction(1), "ride", 1.0),
        (Fraction(3, 2), "ride", 0.5),
        (Fraction(1), "snare", 0.25),
    ]
    assert list(TWO_BARS.strokes(1)) == [(Fraction(0), "ride", 0.75)]
    assert TWO_BARS.bar_length == 2


def test_halves_follow_one_another() -> None:
    halves = TWO_BARS.halved()
    assert halves.bar_length == 1
    laid = [(bar + at, sound) for bar in range(4) for at, sound, _ in halves.strokes(bar)]
    assert laid == [(0, "ride"), (1, "ride"), (Fraction(3, 2), "ride"), (1, "snare"), (2, "ride")]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("ride x. x.\nsnare x. x", "under each other"),
        ("ride x. x.\nsnare x.x .", "under each other"),
        ("ride x. x. | x.\n", "different lengths"),
        ("ride x. y.", "'y' is no level"),
        ("ride", "a sound and its steps"),
        ("", "under each other"),
        ("ride .. ..", "silent"),
        ("ride x.\nride .x", "two rows"),
    ],
)
def test_a_wrong_grid_is_refused(text: str, problem: str) -> None:
    with pytest.raises(ValueError, match=problem):
        Grid.parse("eighth", text)


def test_bars_of_an_odd_number_of_steps_have_no_halves() -> None:
    with pytest.raises(ValueError, match="no halves"):
        Grid.parse("eighth", "ride x..").halved()


def test_a_pattern_fills_its_time_signatures() -> None:
    Pattern((TWO_FOUR,), TWO_BARS, ONE_BAR)
    with pytest.raises(ValueError, match="2 quarters do not fill a bar of 3/4"):
        Pattern((TWO_FOUR, THREE_FOUR), TWO_BARS, ONE_BAR)
    with pytest.raises(ValueError, match="a turn is one bar"):
        Pattern((TWO_FOUR,), TWO_BARS, TWO_BARS)
    with pytest.raises(ValueError, match="fits no bar"):
        Pattern((), TWO_BARS, ONE_BAR)


def test_a_phrase_holds_whole_patterns() -> None:
    pattern = Pattern((TWO_FOUR,), TWO_BARS, ONE_BAR)
    Groove("k", "w", (pattern,), phrase=6)
    for phrase in (1, 5):
        with pytest.raises(ValueError, match="breaks its pattern"):
            Groove("k", "w", (pattern,), phrase=phrase)
    with pytest.raises(ValueError, match="two patterns"):
        Groove("k", "w", (pattern, pattern))


def test_the_printed_sign_does_not_matter() -> None:
    groove = Groove("k", "w", (Pattern((TWO_FOUR,), TWO_BARS, ONE_BAR),))
    assert groove.pattern(TimeSignature((2,), 4, "cut")) is groove.patterns[0]
    assert groove.pattern(TimeSignature((1, 1), 4)) is None
