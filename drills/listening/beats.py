"""The player's own beat in every run, and what the time of a take was like.

Problem.  Late is late against something.  Method.  A beat is fitted to each unbroken run by
itself (tempo.py); each attack is measured against it.  Evenness is told within groups of equal
values, each about an even line of its own, so that neither a tempo that drifts nor one late
note counts as uneven.

Conventions.  Late is positive.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.listening.known import known_to
from drills.listening.played import Played, PlayedNote
from drills.listening.states import NOTE
from drills.listening.swung import Ratio, ratio_of, swung_place, written_place
from drills.listening.tempo import SURELY, Curve, Fit, ends_of, fit_beat
from drills.listening.verdict import Group, Timing
from drills.listening.wanted import Wanted, WantedNote

Flags = NDArray[np.bool_]

REACH: Final = 14.0
"""Notes to either side that the player's own beat is fitted to."""
SHORT_RUN: Final = 3 * int(REACH)
"""Notes up to which the lines at its two ends share most of theirs."""
NEAR: Final = 1e-6
"""Quarters that make no difference."""
FEWEST: Final = 4
"""Notes of a group of equal values."""
FEWEST_OF_RUN: Final = 6
"""Notes in a row that nobody else plays by chance, ..."""
ASIDE: Final = 0.1
"""... each of them less than so many seconds off the beat that they make."""
TRIMMED: Final = 1.267
"""What a tenth left out takes from a standard deviation (normal law: 1 / sqrt(1 - 2 z f(z) / 0.9)
at z = 1.645)."""
BENT: Final = 8
"""Notes from which on a group's own line may bend: its tempo may drift."""


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

    def own(self, one: PlayedNote) -> bool:
        """It comes near where the player's own beat has it, in a run of some length: what
        somebody else plays would not."""
        run, _ = self.fits.get(one.run, ((), None))
        late = self.late(one)
        long = len(run) >= min(FEWEST_OF_RUN, len(self.wanted.mains))
        return long and late is not None and abs(late) < ASIDE

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
        notes = [self.wanted.notes[one.note] for one in own]
        seconds = np.array([one.at for one in own])
        late = 1000 * (seconds - fit.due)
        on, off = _on_and_off(notes)
        before, after = self._rests([one.note for one in own])
        written = [written_place(note, self.wanted.swing) for note in notes]
        groups = self._groups(own, written)
        known = [known_to(one, played) for one in own]
        swing = self._swing(written, seconds, known)
        tempo, tempo_uncertain = self._tempo(written, seconds, late, swing)
        first, last = _ends(np.array([note.at for note in notes]), seconds, fit)
        return Timing(
            tempo,
            tempo_uncertain,
            60 / first,
            60 / last,
            _pooled(groups) if groups else _spread(late),
            groups,
            _mean(late, on, 2),
            _mean(late, off, 2),
            _mean(late, before, 1),
            _mean(late, after, 1),
            swing.value if swing is not None and swing.known else None,
            swing.uncertain if swing is not None and swing.known else None,
            None,
            float(np.median(known)),
        )

    def _swing(
        self, written: Sequence[float], seconds: Curve, known: Sequence[float]
    ) -> Ratio | None:
        if self.wanted.beat != 1:
            return None
        return ratio_of(written, seconds.tolist(), [ms / 1000 for ms in known])

    def _tempo(
        self, written: Sequence[float], seconds: Curve, late: Curve, swing: Ratio | None
    ) -> tuple[float, float]:
        """Quarters a minute, and what they are known to; swung eighths lie on one line only
        where they are placed as they were swung."""
        ratio = self.wanted.swing if swing is None else swing.value
        at = np.array([swung_place(place, ratio) for place in written])
        slope = _robust_slope(at, seconds)
        off = np.array([place % 1.0 > NEAR for place in written])
        steady = late - np.where(off, *(_middle(late[one]) for one in (off, ~off)))
        error = SURELY * _spread(steady) / 1000 / float(((at - at.mean()) ** 2).sum()) ** 0.5
        return 60 / slope, 60 / slope * error / slope

    def _rests(self, own: Sequence[int]) -> tuple[Flags, Flags]:
        """Which of some written notes stand before a rest, and which after one."""
        mains = self.wanted.mains
        before, after = set[int](), set[int]()
        for n, following in pairwise(mains):
            one, other = self.wanted.notes[n], self.wanted.notes[following]
            if other.at - one.at - one.length > NEAR:
                before.add(n)
                after.add(following)
        return np.array([n in before for n in own]), np.array([n in after for n in own])

    def _groups(self, own: Sequence[PlayedNote], written: Sequence[float]) -> tuple[Group, ...]:
        """Neighbours that follow one another at equal distances, and how evenly they came."""
        numbers = {n: place for place, n in enumerate(self.wanted.mains, 1)}
        found: list[Group] = []
        begin = 0
        for end in range(1, len(own) + 1):
            follows = end < len(own) and (numbers[own[end].note] == numbers[own[end - 1].note] + 1)
            if follows and (
                end - begin < 2
                or abs(written[end] - written[end - 1] - written[begin + 1] + written[begin]) < NEAR
            ):
                continue
            if end - begin >= FEWEST:
                found.append(self._group(own[begin:end], numbers))
            begin = end - 1 if follows else end
        return tuple(found)

    def _group(self, own: Sequence[PlayedNote], numbers: Mapping[int, int]) -> Group:
        at = np.array([self.wanted.notes[one.note].at for one in own])
        seconds = np.array([one.at for one in own])
        bend = 2 if len(own) >= BENT else 1
        off = seconds - np.polyval(np.polyfit(at, seconds, bend), at)
        free = len(own) / (len(own) - bend - 1)
        spread = 1000 * _kept_spread(off) * free**0.5
        return Group(numbers[own[0].note], numbers[own[-1].note], spread)


def _ends(at: Curve, seconds: Curve, fit: Fit) -> tuple[float, float]:
    """Seconds a quarter at the beginning and at the end of a run.

    A long run's own lines tell them; those of a short one share most of their notes.
    """
    bent = ends_of(at, seconds) if len(at) <= SHORT_RUN else None
    count = max(len(at) // 4, 2)
    lines = float(np.median(fit.pace[:count])), float(np.median(fit.pace[-count:]))
    return bent or lines


def _kept_spread(off: Curve) -> float:
    """The standard deviation of all but the tenth that lies farthest off, as if normal.

    Not the median distance: a hand that limps from note to note has two middles.
    """
    left_out = int(0.1 * len(off) + 0.5)
    kept = np.sort(np.abs(off))[: len(off) - left_out]
    return float(np.sqrt((kept**2).mean())) * (TRIMMED if left_out else 1.0)


def _spread(values: Curve) -> float:
    """1.4826 times the median distance from the middle: a standard deviation, if normal."""
    return 1.4826 * float(np.median(np.abs(values - np.median(values))))


def _on_and_off(notes: Sequence[WantedNote]) -> tuple[Flags, Flags]:
    """What stands on a beat, and halfway to the next; where nothing does, all that is off it."""
    shares = np.array([note.at % 1.0 if note.share is None else note.share for note in notes])
    on, half = np.abs(shares) < NEAR, np.abs(shares - 0.5) < NEAR
    return on, half if half.any() else ~on


def _mean(late: Curve, chosen: Flags, fewest: int) -> float | None:
    return float(late[chosen].mean()) if chosen.sum() >= fewest else None


def _pooled(groups: Sequence[Group]) -> float:
    sizes = np.array([group.last - group.first for group in groups], dtype=np.float64)
    spreads = np.array([group.spread for group in groups])
    return float(np.sqrt((sizes * spreads**2).sum() / sizes.sum()))


def _middle(late: Curve) -> float:
    return float(np.median(late)) if len(late) else 0.0


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
