"""What fits a steady tone best, at the edges between two lengths of window."""

from __future__ import annotations

import numpy as np
import pytest

from drills.listening.hearing import frequency, hear
from tests.listening.takes import RATE

PARTIALS = (56, 42, 45, 37, 27, 19)
"""Decibels of a low brass tone whose first partial is much the strongest: nothing but the
distance of its partials tells it from its neighbours."""


@pytest.mark.parametrize("key", [44, 45, 46, 51, 52])
def test_a_steady_low_tone_fits_itself_better_than_its_neighbours(key: int) -> None:
    time = np.arange(RATE) / RATE
    dice = np.random.default_rng(80_500)
    tone = 1e-3 * dice.normal(size=RATE)
    for number, decibels in enumerate(PARTIALS, 1):
        turn = 2 * np.pi * (number * frequency(key) * time + dice.random())
        tone += 10 ** ((decibels - 60) / 20) * np.sin(turn)
    costs = hear((0.3 * tone).astype(np.float32), RATE, range(36, 60), (key,)).costs
    assert 36 + int(np.median(costs[40:120], axis=0).argmin()) == key
