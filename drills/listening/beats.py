"""The player's own beat in every run, and what the time of a take was like.

Problem.  Late is late against something.  Method.  A beat is fitted to each unbroken run by
itself (tempo.py); each attack is measured against it.

Conventions.  Late is positive.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from drills.listening.played import Played, PlayedNote
from drills.listening.states import NOTE
from drills.listening.tempo import Fit, fit_beat
from drills.listening.verdict import ROOM_UNCERTAIN, UNCERTAIN, Timing
from drills.listening.wanted import Wanted

REACH: Final = 14.0
"""Notes to either side that the player's own beat is fitted to."""


class Beats:
    """The player's own beat in every run."""

    def __init__(self, wanted: Wanted, played: Played) -> None:
        self.wanted = wanted
        self.fits: dict[int, tuple[list[PlayedNote], Fit]] = {}
        runs = {one.run for one in played.notes}
        for run in runs:
            own = [
                one
                for one in played.notes
                if one.run == run and one.kind == NOTE and not wanted.notes[one.note].grace
            ]
            if len(own) < 3:
                continue
            at = [wanted.notes[one.note].at for one in own]
            fit = fit_beat(at, [one.at for one in own], at, wanted.pace, reach=REACH)
            self.fits[run] = (own, fit)

    def _place(self, one: PlayedNote) -> tuple[Fit, int] | None:
        own, fit = self.fits.get(one.run, ([], None))
        if fit is None:
            return None
        for place, other in enumerate(own):
            if other is one:
                return fit, place
        return None

    def late(self, one: PlayedNote) -> float | None:
        """Seconds after its due time."""
        found = self._place(one)
        return None if found is None else float(one.at - found[0].due[found[1]])

    def pace(self, one: PlayedNote) -> float:
        """Seconds a quarter there."""
        found = self._place(one)
        return self.wanted.pace if found is None else float(found[0].pace[found[1]])

    def timing(self, played: Played) -> Timing | None:
        """Over the longest run."""
        if not self.fits:
            return None
        own, fit = max(self.fits.values(), key=lambda both: len(both[0]))
        if len(own) < 4:
            return None
        at = np.array([self.wanted.notes[one.note].at for one in own])
        seconds = np.array([one.at for one in own])
        late = 1000 * (seconds - fit.due)
        slope = _robust_slope(at, seconds)
        on = np.abs(at - np.round(at)) < 1e-6
        return Timing(
            60 / slope,
            60 / float(np.median(fit.pace[: max(len(own) // 4, 2)])),
            60 / float(np.median(fit.pace[-max(len(own) // 4, 2) :])),
            1.4826 * float(np.median(np.abs(late - np.median(late)))),
            float(late[on].mean()) if on.sum() > 1 else None,
            float(late[~on].mean()) if (~on).sum() > 1 else None,
            _swing(at, seconds),
            uncertain_of(played),
        )


def uncertain_of(played: Played) -> float:
    """Milliseconds that a single attack is known to."""
    return ROOM_UNCERTAIN if played.room else UNCERTAIN


def _robust_slope(x: np.ndarray, y: np.ndarray) -> float:
    """Seconds a quarter: a line through all attacks, those far off it weighing less."""
    weight = np.ones(len(x))
    slope = 1.0
    for _ in range(4):
        mean_x, mean_y = np.average(x, weights=weight), np.average(y, weights=weight)
        slope = float((weight * (x - mean_x) * (y - mean_y)).sum())
        slope /= float((weight * (x - mean_x) ** 2).sum())
        off = np.abs(y - mean_y - slope * (x - mean_x))
        weight = 1 / np.maximum(off / max(2 * float(np.median(off)), 0.004), 1) ** 2
    return slope


def _swing(at: np.ndarray, seconds: np.ndarray) -> float | None:
    """From all beats whose two eighths and the next beat were heard: median share."""
    when = {round(2 * float(a)): float(s) for a, s in zip(at, seconds, strict=True) if _eighth(a)}
    shares = [
        (when[place + 1] - when[place]) / (when[place + 2] - when[place])
        for place in when
        if place % 2 == 0 and place + 1 in when and place + 2 in when
    ]
    if len(shares) < 3:
        return None
    share = float(np.median(shares))
    return share / (1 - share) if 0.2 < share < 0.9 else None


def _eighth(at: float) -> bool:
    return abs(2 * at - round(2 * at)) < 1e-6
