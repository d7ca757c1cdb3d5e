"""The cheapest way through the borders of a score: where the chord changes.

Method.  Each stretch between two borders is worth what its best chord is worth:
the sound that belongs to it, less the sound that does not, less what its kind
costs; a new chord costs the more, the weaker its place.  The best set of borders
is found from left to right (dynamic programming).  That harmony can be read as a
cheapest path over candidate borders with a score of templates on every stretch is
the idea of B. Pardo and W. Birmingham, "Algorithms for chordal analysis", Computer
Music Journal 26(2), 2002 (idea from memory); the scores here are our own.

Whole numbers throughout: transposed music gives the same sums, to the last digit.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from drills.harmony.evidence import Evidence, Sums
from drills.harmony.sound import Clock
from drills.harmony.templates import SUSPENDED, TEMPLATES, Candidate, candidates
from drills.harmony.weights import Weights

_MOST_BORDERS: Final = 24
_MOST_BEATS: Final = 12
"""The longest stretch that is tried at once; longer chords are put together afterwards."""
_LONGEST_SUSPENSION: Final = 200
"""In percent of a beat; a longer fourth is a chord of its own."""
_USUAL_VOLUME: Final = 350
"""Percent of a tone that sound at once in a full chord: a beat's worth, however thin the music."""
_WORST: Final = -(10**12)
_RANK: Final = {kind: index for index, kind in enumerate(TEMPLATES)}


@dataclass(frozen=True, slots=True)
class Reading:
    """The best chord of a stretch, and what it is worth."""

    best: Candidate | None
    """None where nothing is a chord."""
    score: int
    """In percent of a tone that sounds for a beat."""


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch that is read as one chord."""

    start: int
    end: int
    """Ticks."""
    sums: Sums
    best: Candidate | None
    ahead: int
    """By how much the reading is better than the next best one that contradicts it."""


def segments_of(evidence: Evidence, clock: Clock, weights: Weights) -> list[Segment]:
    """The best way to cut the music into chords."""
    borders, sums = evidence.borders, evidence.sums
    total, back = [0], [0]
    for end in range(1, len(borders)):
        best_total, best_start = _WORST, end - 1
        for start in range(end - 1, max(-1, end - 1 - _MOST_BORDERS), -1):
            stretch = sums[end].since(sums[start])
            if start < end - 1 and stretch.length > 100 * _MOST_BEATS:
                break
            worth = total[start] + read(stretch, weights).score
            worth -= weights.change[clock.level(borders[start])]
            if worth > best_total:
                best_total, best_start = worth, start
        total.append(best_total)
        back.append(best_start)
    cuts = [len(borders) - 1]
    while cuts[-1] > 0:
        cuts.append(back[cuts[-1]])
    return _joined(evidence, cuts[::-1], weights)


def _joined(evidence: Evidence, cuts: list[int], weights: Weights) -> list[Segment]:
    """The stretches between cuts, joined where two are one chord."""
    found: list[Segment] = []
    starts: list[int] = []
    for start, end in pairwise(cuts):
        new = _segment(evidence, start, end, weights)
        starts.append(start)
        if found and (joint := _joint(found[-1], new, weights)):
            starts.pop()
            best = (found[-1] if joint == "first" else new).best
            found[-1] = _segment(evidence, starts[-1], end, weights, best)
        else:
            found.append(new)
    return found


def _joint(first: Segment, second: Segment, weights: Weights) -> str:
    """Which of two neighbours is the chord of both, "first" or "second"; empty for neither.

    A chord that goes on is one; so are a fifth and the same fifth with its third, a
    fourth or second and the third to which it moves on the same root, and a chord
    and a part of it that brings no tone of its own.
    """
    one, two = first.best, second.best
    if one is None or two is None:
        return "first" if one is two else ""
    if one == two:
        return "first"
    if one.root == two.root:
        if one.kind == "power" or _resolves(first, two):
            return "second"
        if two.kind == "power":
            return "first"
    if _is_part_of(one, second.sums, two, weights):
        return "first"
    return "second" if _is_part_of(two, first.sums, one, weights) else ""


def _resolves(first: Segment, two: Candidate) -> bool:
    """Whether a short fourth or second is heard as a suspension of the third that follows."""
    suspended = first.best is not None and first.best.kind in SUSPENDED
    return suspended and two.kind not in SUSPENDED and first.sums.length <= _LONGEST_SUSPENSION


def _is_part_of(whole: Candidate, sums: Sums, part: Candidate, weights: Weights) -> bool:
    """Whether ``part`` is read only because tones of ``whole`` are silent for a while."""
    sounding = _sounding(sums, weights)
    if sounding & ~_bits(whole):
        return False
    upper = part.kind == "diminished" and whole.kind.startswith("dominant")
    return upper or bool(_bits(part) & ~sounding)


def _bits(one: Candidate) -> int:
    return sum(1 << semitone for semitone in one.classes)


def _segment(
    evidence: Evidence, start: int, end: int, weights: Weights, best: Candidate | None = None
) -> Segment:
    sums = evidence.sums[end].since(evidence.sums[start])
    best = best or read(sums, weights).best
    ahead = 0
    if best is not None:
        second = read(sums, weights, against=frozenset(best.classes))
        ahead = _score(best, sums, _sounding(sums, weights), weights) - second.score
    return Segment(evidence.borders[start], evidence.borders[end], sums, best, ahead)


def read(sums: Sums, weights: Weights, against: frozenset[int] = frozenset()) -> Reading:
    """The best chord of what sounded; among those that lack a tone of ``against``, if any.

    Readings of equal worth: the one whose root is more in the bass, then the one whose
    root sounds more, then the plainer kind, so that transposed music is read alike.
    A ninth chord is read only where tones sound together, not in a scale.
    """
    sounding = _sounding(sums, weights)
    best, best_score = None, _WORST
    for one in candidates(sounding, ninths=2 * sums.together >= sums.length):
        if against and against.issubset(one.classes):
            continue
        score = _score(one, sums, sounding, weights)
        if score > best_score or (
            score == best_score and best and _order(one, sums) < _order(best, sums)
        ):
            best, best_score = one, score
    if best is None:
        return Reading(None, -sums.foreign - weights.no_chord)
    return Reading(best, best_score)


def _sounding(sums: Sums, weights: Weights) -> int:
    """Bits of the tones that sound long enough to make a chord."""
    least = sum(sums.support) * weights.least // 100
    bits = 0
    for semitone, support in enumerate(sums.support):
        if support > least:
            bits |= 1 << semitone
    return bits


def _score(one: Candidate, sums: Sums, sounding: int, weights: Weights) -> int:
    score = -sums.foreign - weights.kinds.get(one.kind, 0)
    score -= sums.volume * weights.per_beat_of(one.kind) // (_USUAL_VOLUME)
    for semitone in one.classes:
        score += sums.worth[semitone]
    bass = sums.bass
    in_bass = bass[one.root] * weights.bass_root + bass[one.fifth] * weights.bass_fifth
    if not sounding >> one.fifth & 1:
        score -= weights.missing_fifth
    elif one.third != one.root:
        in_bass += bass[one.third] * weights.bass_third
    score += in_bass // 100
    return score


def _order(one: Candidate, sums: Sums) -> tuple[int, int, int]:
    return -sums.bass[one.root], -sums.worth[one.root], _RANK[one.kind]
