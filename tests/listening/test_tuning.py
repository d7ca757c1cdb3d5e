"""The player's own A of takes whose tuning is known."""

from __future__ import annotations

import numpy as np
import pytest

from drills.listening.tuning import tunings_of
from tests.listening.takes import RATE, Computed, Manner, Place, Written, make_take

KEYS = (70, 69, 70, 74, 77, 76, 77, 68, 70)
"""Seconds to sevenths: several periods of one are several of another, at another tuning."""


@pytest.mark.parametrize("cents", [-10.0, 22.0])
def test_the_players_own_a_is_told_from_what_has_periods_in_common(cents: float) -> None:
    melody = tuple(Written(n / 4, 1 / 4, key) for n, key in enumerate(KEYS))
    manner = Manner(bpm=72, detune=cents, manner="staccato")
    take = make_take(80_300, Computed(), manner, Place(noise=40.0), written=melody)
    found = tunings_of(take.samples.astype(np.float32), RATE, range(59, 90))
    assert len(found) == 1
    assert found[0] == pytest.approx(cents, abs=2.0)
