"""Times through that marks do not tell, worked out by hand."""

from __future__ import annotations

import pytest

from drills.listening.rung import Rung
from drills.listening.stage_times import times_of


def rung(tempo: float, start: float, bars: float) -> Rung:
    """A rung of bars of four quarters."""
    return Rung("", tempo, f"{tempo:g}", start, (), start + bars * 4 * 60 / tempo)


def test_what_is_usual_where_nothing_was_heard() -> None:
    """At 60 a bar lasts 4 s: one counted in, three times two bars, one of silence."""
    first, last = rung(60, 0, 8), rung(120, 32, 7)
    one, other = times_of([first, last], [(4, 8), (4, 8)], [(), ()])
    assert one.times == pytest.approx((4, 12, 20))
    assert other.times == pytest.approx((34, 38, 42))


def test_the_notes_decide() -> None:
    """Two bars counted in, and a bar of rest after each time through."""
    rungs = [rung(60, 0, 9), rung(120, 36, 8)]
    heard = [(8.0, 8.02, 20.01, 20.0), (40.0, 46.0, 46.03)]
    one, other = times_of(rungs, [(4, 8), (4, 8)], heard)
    assert one.times == pytest.approx((8, 20))
    assert other.times == pytest.approx((40, 46))


def test_a_sound_that_rings_out() -> None:
    """The last rung lasts a second longer."""
    last = rung(60, 0, 5)
    last = Rung("", 60, "60", 0, (), last.end + 1.0)
    (one,) = times_of([last], [(4, 8)], [()])
    assert one.times == pytest.approx((4, 12))
