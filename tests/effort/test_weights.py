"""The constants stay what they claim to be: round, reasoned, in one table."""

from __future__ import annotations

import pytest

from drills.effort import weights
from drills.effort.air import interval_words
from drills.effort.weights import Weight

WEIGHTS = {name: value for name, value in vars(weights).items() if isinstance(value, Weight)}


@pytest.mark.parametrize("name", WEIGHTS)
def test_every_constant_is_round_and_has_a_reason(name: str) -> None:
    weight = WEIGHTS[name]
    assert weight.value > 0
    assert round(weight.value * 20) == pytest.approx(weight.value * 20), "a multiple of 0.05"
    assert len(weight.reason) > 20


def test_the_unit_is_one_finger() -> None:
    assert weights.FINGER.value == 1
    assert weights.FURTHER_FINGER.value < weights.FINGER.value / 2


WORDS = (
    (0, "a unison"),
    (1, "a semitone"),
    (-7, "a fifth"),
    (12, "an octave"),
    (16, "an octave and a third"),
    (24, "two octaves"),
    (31, "two octaves and a fifth"),
    (61, "61 semitones"),
)


@pytest.mark.parametrize(("semitones", "words"), WORDS)
def test_intervals_in_words(semitones: int, words: str) -> None:
    assert interval_words(semitones) == words
