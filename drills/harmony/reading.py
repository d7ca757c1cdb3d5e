"""What every chord is worth for a stretch of sound.

Method.  Every root and kind whose tones sound is weighed: the sound that belongs to
it, less the sound that does not, less what its kind costs, and what its bass says
(weights.py).  Whole numbers throughout: transposed music gives the same sums, to the
last digit (held as floats, which are exact far beyond these sums).  All chords are
weighed at once, for many stretches at once, by numpy: this is the inner loop of the
analysis.

Conventions.  Rows are stretches, columns the chords of ``CANDIDATES`` and, last, no
chord at all.  Scores are in percent of a tone that sounds for a beat, times ``FINE``:
what is below decides between equal readings (the one whose root is more in the bass,
then the one whose root sounds more), so that no order of names does.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.harmony.evidence import FloatArray, Sums
from drills.harmony.templates import ADDED, CANDIDATES, TOGETHER, Candidate
from drills.harmony.weights import Weights

WORST: Final = -(10**15)
"""Less than any score."""
FINE: Final = 4096
"""Parts of a percent."""
NONE: Final = len(CANDIDATES)
"""The column of no chord."""
_USUAL_VOLUME: Final = 350
"""Percent of a tone that sound at once in a full chord; thinner music has shorter beats."""

_SUMS: Final = 42
"""Columns of evidence: support, worth and bass of the twelve tones, and the six of ``Sums``."""
_FOREIGN, _VOLUME, _LENGTH, _TOGETHER, _DOUBLED = 36, 37, 38, 39, 41


def _chooser(semitones: Sequence[tuple[int, ...]]) -> FloatArray:
    """A matrix that adds up, for each chord, the values of some of the twelve tones."""
    chosen = np.zeros((12, NONE))
    for column, own in enumerate(semitones):
        chosen[list(own), column] = 1
    return chosen


def _needed(one: Candidate) -> tuple[int, ...]:
    """The tones that must sound; the third of a plain triad may be understood."""
    tones = {semitone for semitone in range(12) if one.needed >> semitone & 1}
    return tuple(tones - {one.third} if one.kind in _PLAIN else tones)


_PLAIN: Final = ("major", "minor")
_HAS: Final = _chooser([one.classes for one in CANDIDATES])
_ROOT: Final = _chooser([(one.root,) for one in CANDIDATES])
_THIRD: Final = _chooser([(one.third,) if one.third != one.root else () for one in CANDIDATES])
_FIFTH: Final = _chooser([(one.fifth,) for one in CANDIDATES])
_ABSENT: Final = np.hstack(
    (
        _chooser([_needed(one) for one in CANDIDATES]),
        _FIFTH,
        _chooser([(one.third,) if one.kind in _PLAIN else () for one in CANDIDATES]),
    )
)
_IS_PLAIN: Final = [one.rank for one in CANDIDATES if one.kind in _PLAIN]
_OWN_THIRD: Final = [CANDIDATES[rank].third for rank in _IS_PLAIN]
_OTHER_THIRD: Final = [
    (CANDIDATES[rank].root + 7 - CANDIDATES[rank].third + CANDIDATES[rank].root) % 12
    for rank in _IS_PLAIN
]
_IS_TOGETHER: Final = np.array([ADDED.get(one.kind) in TOGETHER for one in CANDIDATES])
_IS_PEDAL: Final = [one.rank for one in CANDIDATES if one.kind == "pedal"]
_PEDAL_TONES: Final = [CANDIDATES[rank].root for rank in _IS_PEDAL]


class Reader:
    """Weighs stretches by one set of weights."""

    def __init__(self, weights: Weights) -> None:
        self.weights = weights
        per_beat = np.array([weights.per_beat_of(one.kind) for one in CANDIDATES])
        kinds = np.array([weights.kinds.get(one.kind, 0) for one in CANDIDATES])
        ranks = np.array([one.rank // 12 for one in CANDIDATES])
        gains = np.zeros((_SUMS, NONE))
        gains[12:24] = _HAS * FINE + _ROOT
        gains[24:36] = (weights.bass_root * _ROOT + weights.bass_fifth * _FIFTH) * FINE // 100
        gains[24:36] += _ROOT * 16
        gains[_FOREIGN] = -FINE
        gains[_VOLUME] = -(per_beat * FINE // _USUAL_VOLUME)
        self._gains = gains
        self._third = np.zeros((_SUMS, NONE))
        self._third[24:36] = weights.bass_third * _THIRD * FINE // 100
        self._costs = kinds * FINE + ranks

    def tones(self, sums: Sums) -> list[int]:
        """The tones of one stretch that sound long enough to make a chord, 0 to 11."""
        least = sums.volume * self.weights.least // 100
        return [int(semitone) for semitone in np.flatnonzero(sums.support > least)]

    def scores(self, sums: FloatArray, around: FloatArray) -> FloatArray:
        """What every chord is worth for each row of sums; WORST where its tones do not sound.

        ``around`` holds the support of the twelve tones in the music around each stretch: a
        third that does not sound may be understood from it.  A ninth or a suspended chord is
        read only where tones sound together, not in a scale.
        """
        weights = self.weights
        least = sums[:, _VOLUME : _VOLUME + 1] * weights.least // 100
        absent = (sums[:, :12] <= least) @ _ABSENT
        lacking, no_fifth, no_third = np.split(absent, 3, axis=1)
        score = sums @ self._gains - self._costs
        score += (sums @ self._third) * (1 - no_fifth)
        score -= no_fifth * (weights.missing_fifth * FINE)
        score -= no_third * (weights.missing_third * FINE)
        apart = 2 * sums[:, _TOGETHER : _TOGETHER + 1] < sums[:, _LENGTH : _LENGTH + 1]
        impossible = (lacking > 0) | (_IS_TOGETHER & apart)
        unclear = (around[:, _OWN_THIRD] <= around[:, _OTHER_THIRD]) | (no_fifth[:, _IS_PLAIN] > 0)
        impossible[:, _IS_PLAIN] |= unclear & (no_third[:, _IS_PLAIN] > 0)
        impossible[:, _IS_PEDAL] |= self._no_pedal(sums)
        score[impossible] = WORST
        none = (-sums[:, _FOREIGN : _FOREIGN + 1] - weights.no_chord) * FINE
        return np.hstack((score, none))

    def _no_pedal(self, sums: FloatArray) -> NDArray[np.bool_]:
        """Where another tone sounds too, or one part alone, or for too short a time."""
        volume, length, doubled = (sums[:, at : at + 1] for at in (_VOLUME, _LENGTH, _DOUBLED))
        others = volume - sums[:, _PEDAL_TONES]
        short = (length < self.weights.shortest_pedal) | (10 * doubled < 9 * length)
        return short | (100 * others > self.weights.least * volume)
