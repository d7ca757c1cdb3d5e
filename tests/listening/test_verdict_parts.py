"""Pieces of the verdict against values worked out by hand."""

from __future__ import annotations

import numpy as np
import pytest

from drills.listening.plan import shift_of
from drills.listening.room import Tail
from drills.listening.rung import Rung
from drills.listening.tempo import fit_beat
from drills.listening.thresholds import THRESHOLDS, called_late
from drills.listening.tuning import cents_of


def test_a_steady_beat_with_one_late_note() -> None:
    """Half a second a quarter; the one late note is told, the others are not moved by it."""
    at = np.arange(12.0)
    seconds = 1.0 + 0.5 * at
    seconds[6] += 0.04
    fit = fit_beat(at, seconds, at, 0.6, reach=14)
    late = seconds - fit.due
    assert late[6] == pytest.approx(0.04, abs=0.006)
    assert np.max(np.abs(np.delete(late, 6))) < 0.006
    assert np.median(fit.pace) == pytest.approx(0.5, rel=0.02)


def test_spread_of_an_uneven_hand() -> None:
    """Attacks with a normal deviation of 8.1 ms: expert scales at the piano (Jabusch 2006)."""
    rng = np.random.default_rng(2)
    at = np.arange(400) / 4
    seconds = at * 0.5 + rng.normal(0, 0.0081, 400)
    fit = fit_beat(at, seconds, at, 0.5, reach=30)
    assert np.std(seconds - fit.due) == pytest.approx(0.0081, abs=0.001)


@pytest.mark.parametrize(("hertz", "cents"), [(442.0, 7.85), (443.0, 11.76), (435.0, -19.79)])
def test_cents(hertz: float, cents: float) -> None:
    """1200 log2(f / 440)."""
    time = np.arange(22_050) / 22_050
    sound = sum(0.6**h * np.sin(2 * np.pi * h * hertz * time) for h in range(1, 7))
    found = cents_of(np.asarray(sound, dtype=np.float32), 22_050, 0.1, 0.9, 440.0)
    assert found is not None
    assert found[0] == pytest.approx(cents, abs=1.0)
    assert cents_of(np.asarray(sound, dtype=np.float32), 22_050, 0.1, 0.2, 440.0) is None


def test_what_a_room_holds_is_taken_off() -> None:
    """An exponential tail after a tone: 60 dB a second, a tenth of the energy at 60 ms."""
    step, fall = 0.006, 60.0
    tail = Tail(0.1, fall)
    energy = np.zeros(120)
    keep = 10 ** (-fall * step / 10)
    gain = 0.1 / (keep**10 * (1 - keep ** (0.2 / step)) / (1 - keep))
    held = 0.0
    for n in range(120):
        direct = 1.0 if n < 60 else 0.0
        energy[n] = direct + held
        held = keep * (held + gain * direct)
    found = tail.follow(energy[:, None], step)[:, 0]
    assert found[70] < 0.1 * energy[70]
    assert np.median(found[40:58]) == pytest.approx(1.0, abs=0.15)


def test_where_a_recording_begins_on_its_plan() -> None:
    rung = Rung("x", 60.0, "60", 0.0, (4.0, 12.0, 20.0), 28.0)
    assert shift_of([rung], [1.51, 9.49, 17.5], 0.0) == pytest.approx(-2.5, abs=0.02)


@pytest.mark.parametrize(
    ("ms", "uncertain", "call"),
    [(25.0, 0.0, ""), (27.0, 3.0, ""), (29.0, 3.0, "late"), (29.0, 6.0, ""), (-32.0, 6.0, "early")],
)
def test_what_is_called_late(ms: float, uncertain: float, call: str) -> None:
    """Over 25 ms by more than the attack is known to; unknown is in time."""
    assert called_late(ms, uncertain) == call
    assert called_late(None, uncertain) == ""


def test_every_threshold_has_a_source() -> None:
    for row in THRESHOLDS.values():
        assert row.value > 0
        assert row.source
        assert row.unit
