"""Where the network puts attacks, on computed tones in computed rooms.

The truth comes from tests/listening/takes.py; the tones (twelve partials, a logistic rise) are
none that it was taught with.  Widths of a distribution: the normal law, in which 68.27 in 100
lie within a standard deviation (handbook table).
"""

from __future__ import annotations

from dataclasses import fields
from functools import cache

import numpy as np
import pytest

from drills.listening.attack_net import (
    FARTHEST,
    LOOKED_AT,
    Net,
    candidates,
    likely,
    moment_of,
    moments,
    patches,
    taught,
)
from drills.listening.attack_views import CHANNELS, FACTS, GRID_STEP, REACH, Around, Viewer
from drills.listening.hearing import frequency
from drills.listening.survey import survey_of
from tests.listening.takes import RATE, Computed, Manner, Place, Played, make_take


@cache
def _viewed(place: Place) -> tuple[Viewer, tuple[Played, ...]]:
    """A take of computed tones, and what was played in it."""
    take = make_take(7, Computed(), Manner(bpm=90), place, beats=8)
    samples = take.samples.astype(np.float32)
    lowest = frequency(min(one.key for one in take.written) - 9) * 0.6
    return Viewer(samples, RATE, 0.0, survey_of(samples, RATE, lowest)), take.played


def _errors(place: Place, off: float) -> tuple[np.ndarray, np.ndarray]:
    """Milliseconds that attacks are put late, and what they are said to be known to, where the
    model has each of them so many seconds late."""
    viewer, played = _viewed(place)
    views = []
    for before, one in zip((None, *played), played, strict=False):
        old = None if before is None or one.at - before.end > 0.1 else int(before.key)
        begun = 0.0 if before is None else before.at
        views.append(viewer.views(Around(one.at + off, one.end, int(one.key), old, begun)))
    found = moments(views)
    errors = np.array([1000 * (moment.after + off) for moment in found])
    return errors, np.array([1000 * moment.spread for moment in found])


@pytest.mark.parametrize(
    ("place", "median", "most"),
    [
        pytest.param(Place(noise=40.0), 3.0, 10.0, id="open"),
        pytest.param(Place(reverb=0.45, noise=40.0), 3.0, 18.0, id="room"),
        pytest.param(Place(reverb=0.45, noise=30.0, phone=True), 4.0, 20.0, id="everyday"),
    ],
)
@pytest.mark.parametrize("off", [-0.02, 0.0, 0.03])
def test_attacks_are_found_wherever_the_model_has_them(
    place: Place, median: float, most: float, off: float
) -> None:
    """Nineteen of twenty within the bound."""
    errors, _ = _errors(place, off)
    assert np.median(np.abs(errors)) < median
    assert np.percentile(np.abs(errors), 95) < most


def test_it_says_so_where_an_attack_is_blurred() -> None:
    """A room widens what is likely."""
    open_air, room = (_errors(Place(reverb=reverb, noise=40.0), 0.0)[1] for reverb in (0.0, 0.45))
    assert np.median(open_air) < np.median(room)


def test_weights_are_those_of_the_views() -> None:
    """Every array has the shape that the module says."""
    net = taught()
    wide, narrow = net.mixes.shape
    shapes = {
        "looks": (CHANNELS * (2 * LOOKED_AT + 1), wide),
        "facts": (FACTS, wide),
        "first": (wide,),
        "mixes": (wide, narrow),
        "second": (narrow,),
        "score": (narrow,),
        "lean": (FACTS + 1, 2),
        "prior": (2 * FARTHEST + 1,),
    }
    assert {one.name: getattr(net, one.name).shape for one in fields(Net)} == shapes
    curves = np.zeros((3, 2 * REACH + 1, CHANNELS), np.float32)
    assert patches(curves).shape == (3, len(candidates()), shapes["looks"][0])


def test_middle_and_width_of_what_is_likely() -> None:
    """A normal distribution about 6 ms with a standard deviation of 10."""
    at = 1000 * GRID_STEP * (np.arange(2 * FARTHEST + 1) - FARTHEST)
    scores = -(((at - 6.0) / 10.0) ** 2) / 2
    moment = moment_of(likely(scores[None, :].astype(np.float32))[0])
    assert 1000 * moment.after == pytest.approx(6.0, abs=0.2)
    assert 1000 * moment.spread == pytest.approx(10.0, abs=0.3)
