"""The player's own beat: when each note was due by the notes around it.

Problem.  A tempo drifts, and after a stumble time begins anew.  Method.  A line is fitted
through the notes near each note, near ones weighing more, once more with less weight for
those that lie far off it (locally weighted regression: Cleveland, Journal of the American
Statistical Association 74, 1979, from memory).  Each unbroken run has its own.

Conventions.  Seconds and quarters.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Curve = NDArray[np.float64]

REACH: Final = 7.0
"""Notes to either side that speak for the tempo at a note."""
ROUNDS: Final = 3
SURELY: Final = 1.96
"""Standard errors within which a value lies nineteen times in twenty (normal law)."""
FEWEST_BENT: Final = 8
"""Notes from which on a bend of the tempo is told."""
FIRM: Final = 0.15
"""How much the expected pace holds a fit that few notes speak for: weight of it."""


@dataclass(frozen=True, slots=True)
class Fit:
    """A beat fitted to some attacks."""

    due: Curve
    """Seconds at which each asked place is due."""
    pace: Curve
    """Seconds a quarter there."""
    spread: float
    """Of the attacks about it, seconds: 1.4826 times the median distance."""


def fit_beat(
    at: Sequence[float] | Curve,
    seconds: Sequence[float] | Curve,
    asked: Sequence[float] | Curve,
    pace: float,
    *,
    reach: float = REACH,
    leave_out: bool = False,
) -> Fit:
    """The beat of attacks at places ``at``, told at the places ``asked``.

    ``pace`` (seconds a quarter) helps where too few notes speak.  ``leave_out``: a note
    says nothing about its own place.
    """
    x, y = np.asarray(at, dtype=np.float64), np.asarray(seconds, dtype=np.float64)
    weight = np.ones(len(x))
    where = np.asarray(asked, dtype=np.float64)
    for _ in range(ROUNDS):
        due, _ = _lines((x, y, weight), x, pace, reach, leave_out=leave_out)
        off = np.abs(y - due)
        spread = max(1.4826 * float(np.median(off)), 0.004)
        weight = 1 / np.maximum(off / (2 * spread), 1) ** 2
    due, slope = _lines((x, y, weight), where, pace, reach, leave_out=leave_out)
    return Fit(due, slope, spread)


def _lines(
    cloud: tuple[Curve, Curve, Curve],
    where: Curve,
    pace: float,
    reach: float,
    *,
    leave_out: bool,
) -> tuple[Curve, Curve]:
    """Value and slope of the local line at each place, through points with weights."""
    x, y, weight = cloud
    apart = np.abs(where[:, None] - x[None, :])
    near = np.sort(apart, axis=1)[:, min(2 * int(reach), len(x) - 1)]
    width = np.maximum(near * 1.2, 1.0)[:, None]
    local = np.clip(1 - (apart / width) ** 3, 0, None) ** 3 * weight[None, :] + 1e-9
    if leave_out:
        local = np.where(apart < 1e-9, 1e-9, local)
    total = local.sum(axis=1)
    middle_x = (local * x).sum(axis=1) / total
    middle_y = (local * y).sum(axis=1) / total
    dx, dy = x[None, :] - middle_x[:, None], y[None, :] - middle_y[:, None]
    across = (local * dx * dx).sum(axis=1)
    slope = ((local * dx * dy).sum(axis=1) + FIRM * pace) / (across + FIRM)
    slope = np.clip(slope, 0.4 * pace, 2.5 * pace)
    return middle_y + slope * (where - middle_x), slope


def ends_of(
    at: Sequence[float] | Curve, seconds: Sequence[float] | Curve
) -> tuple[float, float] | None:
    """Seconds a quarter at the beginning and at the end of some attacks whose tempo bends evenly.

    Lines near each end say little of few notes, since they share most of them; a parabola
    through all of them does not.  None where the bend is not known to be one: it is no more
    than ``SURELY`` of its standard errors.  At the middle of the first and last quarter.
    """
    x, y = np.asarray(at, dtype=np.float64), np.asarray(seconds, dtype=np.float64)
    if len(x) < FEWEST_BENT:
        return None
    middle = (x[0] + x[-1]) / 2
    powers = np.stack([np.ones(len(x)), x - middle, (x - middle) ** 2], axis=1)
    weight = np.ones(len(x))
    for _ in range(ROUNDS):
        own = powers * weight[:, None] ** 0.5
        found, *_ = np.linalg.lstsq(own, y * weight**0.5, rcond=None)
        off = np.abs(y - powers @ found)
        spread = max(1.4826 * float(np.median(off)), 0.004)
        weight = 1 / np.maximum(off / (2 * spread), 1) ** 2
    error = spread * float(np.linalg.pinv(own.T @ own)[2, 2]) ** 0.5
    if abs(found[2]) < SURELY * error:
        return None
    reach = (x[-1] - x[0]) * 3 / 4  # from the middle of the first quarter to that of the last
    return float(found[1] - found[2] * reach), float(found[1] + found[2] * reach)
