"""The metronome's scale; series after the list cited in drills/sheets/ladder.py."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.project.scale import number_at, numbers_between, place, raised
from drills.sheets.metronome import SERIES


def test_every_number_of_the_series_has_its_place() -> None:
    assert [place(Fraction(number)) for number in SERIES] == list(range(len(SERIES)))
    assert [number_at(n) for n in range(len(SERIES))] == list(SERIES)


@given(st.fractions(min_value=Fraction(10), max_value=Fraction(160)))
def test_twice_the_tempo_is_sixteen_numbers_beyond_the_series(number: Fraction) -> None:
    if number < 40 or number * 2 > 208:
        assert place(number * 2) - place(number) == pytest.approx(16, abs=1.01)


@pytest.mark.parametrize(
    ("low", "high", "numbers"),
    [(60, 63, 1), (107, 112, 2), (50, 100, 16), (96, 96, 0), (99, 80, 0)],
)
def test_numbers_between(low: int, high: int, numbers: int) -> None:
    assert numbers_between(Fraction(low), Fraction(high)) == numbers


def test_raised_and_lowered() -> None:
    assert raised(Fraction(60), 3, Fraction(200)) == 69
    assert raised(Fraction(60), 3, Fraction(66)) == 66
    assert raised(Fraction(112), -2, Fraction(112)) == 104
    assert raised(Fraction(107), -1, Fraction(112)) == 104


def test_no_tempo_is_refused() -> None:
    with pytest.raises(ValueError, match="no tempo"):
        place(Fraction(0))
