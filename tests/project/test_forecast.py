"""Where a passage will stand: the fit, its uncertainty, and what the log is said to show."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from drills.project.entries import Entry, NewEntry
from drills.project.forecast import Forecast, forecasts, theil_sen
from drills.project.history import History, Played, histories, with_history
from drills.project.rules import MOST_GAIN, USUAL_GAIN
from tests.project.invented import passage

FIRST = date(2027, 2, 1)
AT = datetime(2027, 2, 1, 19, tzinfo=UTC)


def entries(*rows: tuple[int, int | None, bool]) -> list[Entry]:
    return [
        Entry(
            number,
            NewEntry(
                "p1",
                "March",
                FIRST + timedelta(day),
                AT,
                whole=whole,
                number=None if tempo is None else Fraction(tempo),
            ),
        )
        for number, (day, tempo, whole) in enumerate(rows, 1)
    ]


def history(*numbers: int) -> History:
    return History(
        tuple(Played(FIRST + timedelta(n), Fraction(tempo)) for n, tempo in enumerate(numbers))
    )


@given(
    st.lists(
        st.tuples(st.integers(1, 60), st.floats(0, 40, allow_nan=False)),
        min_size=2,
        max_size=12,
        unique_by=lambda row: row[0],
    )
)
def test_the_slope_is_that_of_scipy(rows: list[tuple[int, float]]) -> None:
    """scipy.stats.theilslopes, another implementation of Theil 1950 and Sen 1968."""
    at, values = zip(*rows, strict=True)
    theirs = theilslopes(np.array(values), np.array(at, dtype=float)).slope
    assert theil_sen(at, values) == pytest.approx(theirs, abs=1e-9)


def told(known: History, more: int) -> Forecast:
    found = forecasts({"p1": known}, {"p1": more})["p1"]
    assert found is not None
    return found


def test_too_few_entries_say_nothing() -> None:
    assert forecasts({"p1": history(60, 66)}, {"p1": 3}) == {"p1": None}
    assert forecasts({}, {}) == {}


def test_steady_progress_goes_on_and_gets_slower() -> None:
    known = history(60, 69, 76, 80)
    near, far = told(known, 1), told(known, 6)
    assert 80 <= near.middle < far.middle < 160
    assert near.low < near.middle < near.high
    assert far.high - far.low > near.high - near.low


def test_one_slip_of_the_pen_moves_little() -> None:
    clean, slip = history(60, 66, 69, 72, 76, 80, 84), history(60, 66, 69, 172, 76, 80, 84)
    assert abs(told(clean, 3).middle - told(slip, 3).middle) <= 8


def test_without_more_days_it_stays_where_it_is() -> None:
    assert abs(told(history(80, 80, 80, 80), 0).middle - 80) <= 2


def test_a_day_counts_by_its_whole_line() -> None:
    known = histories(entries((0, 60, True), (0, 96, False), (1, 72, False), (2, None, True)))
    assert [day.number for day in known["p1"].days] == [60, 72, None]
    assert known["p1"].reached == 72


def test_today_does_not_count_before_it_is_over() -> None:
    rows = entries((0, 60, True), (1, 72, True))
    assert histories(rows, FIRST + timedelta(1))["p1"].reached == 60


def test_gains_come_from_the_log_and_are_kept_within_reason() -> None:
    one = passage(1, 144)
    usual = with_history([one], {})[0]
    assert (usual.gain, usual.reached) == (USUAL_GAIN, None)
    slow = with_history([one], {"p1": history(72, 72, 76, 76)})[0]
    assert slow.gain < USUAL_GAIN
    wild = with_history([one], {"p1": history(40, 80, 120, 138)})[0]
    assert wild.gain <= MOST_GAIN
    assert wild.played_on == tuple(FIRST + timedelta(n) for n in range(4))
