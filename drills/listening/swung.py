"""Swung eighths: where a place in a beat is due, and which ratio somebody played.

Conventions.  A ratio is how many times as long an eighth on the beat is as the one off it; 1
is even.  Halves stay even within, so that sixteenths are drawn along.  Places within a beat
are shares of it, 0 to 1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from drills.listening.wanted import WantedNote

FEWEST: Final = 3
"""Beats with both eighths that tell a ratio."""
NEAR: Final = 1e-6


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


def ratio_of(places: Sequence[float], seconds: Sequence[float]) -> float | None:
    """The ratio of all beats whose two eighths and the next beat were heard: the median.

    ``places``: quarters from the start as written.  None for fewer than FEWEST such beats.
    """
    when = {
        round(2 * place): second
        for place, second in zip(places, seconds, strict=True)
        if abs(2 * place - round(2 * place)) < NEAR
    }
    shares = [
        (when[at + 1] - when[at]) / (when[at + 2] - when[at])
        for at in when
        if at % 2 == 0 and at + 1 in when and at + 2 in when
    ]
    if len(shares) < FEWEST:
        return None
    share = float(np.median(shares))
    return share / (1 - share) if 0.2 < share < 0.9 else None
