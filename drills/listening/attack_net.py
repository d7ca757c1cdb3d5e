"""When an attack is, read from its views by a small network that has learnt it.

Problem.  In a room the views of an attack (attack_views.py) hold its moment, but no rule of
thumb reads it from all of them at once.  Method.  One small network looks at the views about
every candidate moment, the same everywhere, and gives it a score; the scores of all candidates
make a distribution (softmax).  Its middle is the moment, its width says how sure that is.  It
was taught by bench/attack_training.py on attacks whose moment is known, of computed tones and of
recorded ones (npm packages tonejs-instrument-*-mp3, samples CC-BY 3.0); the weights stand
beside this module.  Networks that look for onsets so are common in music computing (from
memory: Schlueter and Boeck, ICASSP 2014); this one knows which pitches to expect.

Conventions.  Candidates lie ``GRID_STEP`` apart, up to ``FARTHEST`` of them to either side of
the place that the model has.  Moments are seconds after the place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.attack_views import GRID_STEP, REACH, Views
from drills.listening.spectra import Floats

WEIGHTS: Final = Path(__file__).with_name("attack_net.npz")
FARTHEST: Final = 17
"""Steps from the place to the last candidate."""
LOOKED_AT: Final = REACH - FARTHEST
"""Steps of the views to either side of a candidate that it is judged by."""
SCALE: Final = np.float32(3.0)
"""What turns the network's last value into a score."""
ODDS: Final = 0.16
"""The share on either side of the middle that a standard deviation leaves out."""


@dataclass(frozen=True, slots=True)
class Moment:
    """When an attack is."""

    after: float
    """Seconds after the place."""
    spread: float
    """Seconds: half the width that holds 68 in 100 of what is likely; a standard deviation, if
    normal."""


@dataclass(frozen=True, slots=True)
class Net:
    """The weights; of hidden values there are H, then H2."""

    looks: Floats
    """(channels x steps) x H."""
    facts: Floats
    """Facts x H."""
    first: Floats
    """H."""
    mixes: Floats
    """H x H2."""
    second: Floats
    """H2."""
    score: Floats
    """H2."""
    lean: Floats
    """(facts + 1) x 2: what each fact says of early and late, and of near and far."""
    prior: Floats
    """A score of each candidate by itself."""

    def scores(self, curves: Floats, facts: Floats) -> Floats:
        """Scores (attacks x candidates), of which only differences count."""
        hidden = np.tanh(
            patches(curves) @ self.looks + (facts @ self.facts + self.first)[:, None, :]
        )
        hidden = np.tanh(hidden @ self.mixes + self.second)
        lean = np.concatenate([facts, np.ones_like(facts[:, :1])], axis=1) @ self.lean
        away = candidates()
        leaning = lean[:, :1] * away + lean[:, 1:] * away**2
        return np.asarray(SCALE * (hidden @ self.score) + leaning + self.prior)


def candidates() -> Floats:
    """The candidates, -1.7 to 1.7."""
    return (np.arange(-FARTHEST, FARTHEST + 1) / 10).astype(np.float32)


def patches(curves: Floats) -> Floats:
    """What each candidate is judged by: attacks x candidates x (channels x steps)."""
    view = np.lib.stride_tricks.sliding_window_view(curves, 2 * LOOKED_AT + 1, axis=1)
    return view.reshape(*view.shape[:2], -1)


@cache
def taught() -> Net:
    """The network as it was taught."""
    with np.load(WEIGHTS, allow_pickle=False) as stored:
        return Net(**{name: stored[name].astype(np.float32) for name in stored.files})


def moments(views: Sequence[Views]) -> list[Moment]:
    """When each attack is."""
    if not views:
        return []
    curves = np.stack([view.curves for view in views])
    facts = np.stack([view.facts for view in views])
    return [moment_of(row) for row in likely(taught().scores(curves, facts))]


def likely(scores: Floats) -> NDArray[np.float64]:
    """How likely each candidate is."""
    found = np.exp(scores - scores.max(axis=1, keepdims=True)).astype(np.float64)
    return np.asarray(found / found.sum(axis=1, keepdims=True))


def moment_of(shares: NDArray[np.float64]) -> Moment:
    """The middle and the width of what is likely, candidate by candidate."""
    edges = GRID_STEP * (np.arange(len(shares) + 1) - 0.5 - FARTHEST)
    sums = np.concatenate([[0.0], np.cumsum(shares)])
    early, middle, late = np.interp((ODDS, 0.5, 1 - ODDS), sums, edges)
    return Moment(float(middle), float(late - early) / 2)
