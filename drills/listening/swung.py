"""Swung eighths: where a place in a beat is due, and which ratio somebody played.

Conventions.  A ratio is how many times as long an eighth on the beat is as the one off it; 1
is even.  Halves stay even within, so that sixteenths are drawn along.  Places within a beat
are shares of it, 0 to 1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from drills.listening.wanted import WantedNote

FEWEST: Final = 3
"""Beats with both eighths that tell a ratio."""
NEAR: Final = 1e-6
FAR: Final = 3.0
"""Standard deviations from the others from which on a beat weighs less."""
TINY: Final = 0.005
"""Shares of a beat that make no difference."""
ROUNDS: Final = 4
SHARED: Final = (0.5, 1.0, 0.5)
"""How much of each attack of a beat is its own: the outer two are their neighbours' too."""
ALWAYS: Final = 0.45
"""How much of what an attack is known to all those on the beat have in common against those off
it: they are longer, and begin otherwise."""
LOOSEST: Final = 0.4
"""What a ratio is known to, from which on nothing is said."""


def swung_share(inside: float, swing: float) -> float:
    """Where a written place comes with a ratio: 0.5 at 2:1 is two thirds."""
    long = swing / (1 + swing)
    if inside <= 0.5:
        return inside * 2 * long
    return long + (inside - 0.5) * 2 * (1 - long)


def written_share(inside: float, swing: float) -> float:
    """The way back."""
    long = swing / (1 + swing)
    if inside <= long:
        return inside / (2 * long)
    return 0.5 + (inside - long) / (2 * (1 - long))


def written_place(note: WantedNote, swing: float) -> float:
    """Quarters from the start as written; ``note.at`` is moved for the ratio."""
    if swing == 1.0:
        return note.at
    whole = math.floor(note.at + NEAR)
    return whole + written_share(max(note.at - whole, 0.0), swing)


@dataclass(frozen=True, slots=True)
class Ratio:
    """What eighths were played."""

    value: float
    """How many times as long those on the beat were as those off it, all together."""
    uncertain: float
    """What that is known to, nineteen times in twenty: how far the ear may be off."""

    @property
    def known(self) -> bool:
        """Well enough to be told."""
        return self.uncertain < LOOSEST


def swung_place(place: float, swing: float) -> float:
    """Where a place that is written, in quarters, comes with a ratio."""
    whole = math.floor(place + NEAR)
    return whole + swung_share(max(place - whole, 0.0), swing)


def ratio_of(
    places: Sequence[float], seconds: Sequence[float], known: Sequence[float]
) -> Ratio | None:
    """The ratio of all beats whose two eighths and the next beat were heard.

    ``places``: quarters from the start as written; ``known``: seconds that each attack is
    known to.  None for fewer than FEWEST such beats.  The sums of the long and of the short
    eighths are compared: each attack between two of them counts once, not twice as in a middle
    of shares.  Beats that are FAR from the rest, or told badly, weigh less.
    """
    when = {
        round(2 * place): (second, ear)
        for place, second, ear in zip(places, seconds, known, strict=True)
        if abs(2 * place - round(2 * place)) < NEAR
    }
    beats = [at for at in when if at % 2 == 0 and at + 1 in when and at + 2 in when]
    if len(beats) < FEWEST:
        return None
    at = np.array([[when[n + k] for k in range(3)] for n in beats])
    length = at[:, 2, 0] - at[:, 0, 0]
    share = (at[:, 1, 0] - at[:, 0, 0]) / length
    ear = np.sqrt(((at[:, :, 1] * SHARED) ** 2).sum(axis=1)) / length
    weight, middle = length, float(np.median(share))
    for _ in range(ROUNDS):
        spread = max(1.4826 * float(np.median(np.abs(share - middle))), TINY)
        far = np.maximum(np.abs(share - middle) / (FAR * spread), 1)
        weight = length / (ear**2 + spread**2) / far**2
        middle = float(np.average(share, weights=weight))
    if not 0.2 < middle < 0.9:
        return None
    weight = weight / weight.sum()
    by_chance = float(np.sqrt((weight**2 * ear**2).sum()))
    always = ALWAYS * float((weight * ear).sum())
    uncertain = math.hypot(by_chance, always) / (1 - middle) ** 2
    return Ratio(middle / (1 - middle), uncertain)
