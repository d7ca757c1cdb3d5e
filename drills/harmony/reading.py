"""The best chord of one stretch of sound.

Method.  Every root and kind whose tones sound is weighed: the sound that belongs to
it, less the sound that does not, less what its kind costs, and what its bass says
(weights.py).  Whole numbers throughout: transposed music gives the same sums, to the
last digit.  This is the inner loop of the analysis: what a stretch has in common for all
chords is worked out before it, and a candidate is taken apart once.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from drills.harmony.evidence import Sums
from drills.harmony.templates import CANDIDATES, Candidate, candidates
from drills.harmony.weights import Weights

WORST: Final = -(10**12)
"""Less than any score."""
_USUAL_VOLUME: Final = 350
"""Percent of a tone that sound at once in a full chord; thinner music has shorter beats."""


@dataclass(frozen=True, slots=True)
class Reading:
    """The best chord of a stretch, and what it is worth."""

    best: Candidate | None
    """None where nothing is a chord."""
    score: int
    """In percent of a tone that sounds for a beat."""


class Reader:
    """Reads stretches by one set of weights."""

    def __init__(self, weights: Weights) -> None:
        self.weights = weights
        self._costs = [
            (weights.kinds.get(one.kind, 0), weights.per_beat_of(one.kind)) for one in CANDIDATES
        ]

    def read(self, sums: Sums, against: frozenset[int] = frozenset()) -> Reading:
        """The best chord of what sounded; among those that lack a tone of ``against``, if any.

        Of equal readings the one whose root is more in the bass, then the one whose root
        sounds more, then the plainer kind.  A ninth or a suspended chord is read only
        where tones sound together, not in a scale.
        """
        possible = candidates(self.sounding(sums), together=2 * sums.together >= sums.length)
        if against:
            possible = tuple(one for one in possible if not against.issubset(one.classes))
        if not possible:
            return Reading(None, -sums.foreign - self.weights.no_chord)
        scores = self._scores(possible, sums)
        score = max(scores)
        if scores.count(score) == 1:
            return Reading(possible[scores.index(score)], score)
        equal = [one for one, own in zip(possible, scores, strict=True) if own == score]
        best = min(equal, key=lambda one: (-sums.bass[one.root], -sums.worth[one.root], one.rank))
        return Reading(best, score)

    def score(self, one: Candidate, sums: Sums) -> int:
        """What one chord is worth for a stretch."""
        return self._scores((one,), sums)[0]

    def sounding(self, sums: Sums) -> int:
        """Bits of the tones that sound long enough to make a chord."""
        least = sums.volume * self.weights.least // 100
        bits = 0
        for semitone, support in enumerate(sums.support):
            if support > least:
                bits |= 1 << semitone
        return bits

    def _scores(self, possible: tuple[Candidate, ...], sums: Sums) -> list[int]:
        weights, worth, costs, volume = self.weights, sums.worth, self._costs, sums.volume
        roots = [weight * weights.bass_root for weight in sums.bass]
        thirds = [weight * weights.bass_third for weight in sums.bass]
        fifths = [weight * weights.bass_fifth for weight in sums.bass]
        sounding, missing = self.sounding(sums), weights.missing_fifth
        found = []
        for rank, _, root, classes, third, fifth, _ in possible:
            cost, per_beat = costs[rank]
            score = -cost - volume * per_beat // _USUAL_VOLUME
            for semitone in classes:
                score += worth[semitone]
            in_bass = roots[root] + fifths[fifth]
            if not sounding >> fifth & 1:
                score -= missing
            elif third != root:
                in_bass += thirds[third]
            found.append(score + in_bass // 100 - sums.foreign)
        return found
