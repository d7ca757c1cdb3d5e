"""The cheapest way through the borders of a score: where the chord changes.

Method.  Each stretch between two borders is worth what its best chord is worth
(reading.py); a new chord costs the more, the weaker its place.  The best set of borders
is found from left to right (dynamic programming).  That harmony can be read as a
cheapest path over candidate borders with a score of templates on every stretch is
the idea of B. Pardo and W. Birmingham, "Algorithms for chordal analysis", Computer
Music Journal 26(2), 2002 (idea from memory); the scores here are our own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Final

from drills.harmony.evidence import Evidence, Sums
from drills.harmony.reading import WORST, Reader
from drills.harmony.sound import Clock
from drills.harmony.templates import DOMINANTS, SUSPENDED, Candidate
from drills.harmony.weights import Weights

_MOST_BORDERS: Final = 24
_MOST_BEATS: Final = 12
"""The longest stretch that is tried at once; longer chords are put together afterwards."""
_LONGEST_SUSPENSION: Final = 200
"""In percent of a beat; a longer fourth is a chord of its own."""


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
    reader = Reader(weights)
    total, back = [0], [0]
    for end in range(1, len(borders)):
        best_total, best_start = WORST, end - 1
        for start in range(end - 1, max(-1, end - 1 - _MOST_BORDERS), -1):
            stretch = sums[end].since(sums[start])
            if start < end - 1 and stretch.length > 100 * _MOST_BEATS:
                break
            worth = total[start] + reader.read(stretch).score
            worth -= weights.change[clock.level(borders[start])]
            if worth > best_total:
                best_total, best_start = worth, start
        total.append(best_total)
        back.append(best_start)
    cuts = [len(borders) - 1]
    while cuts[-1] > 0:
        cuts.append(back[cuts[-1]])
    return _joined(evidence, cuts[::-1], reader)


def _joined(evidence: Evidence, cuts: list[int], reader: Reader) -> list[Segment]:
    """The stretches between cuts, joined where two are one chord."""
    found: list[Segment] = []
    starts: list[int] = []
    for start, end in pairwise(cuts):
        new = _segment(evidence, start, end, reader)
        if found and found[-1].best is None is new.best:
            found[-1] = replace(found[-1], end=new.end, sums=_between(evidence, starts[-1], end))
        elif found and (joint := _joint(found[-1], new, reader)):
            found[-1] = _segment(evidence, starts[-1], end, reader, joint)
        else:
            found.append(new)
            starts.append(start)
    return found


def _joint(first: Segment, second: Segment, reader: Reader) -> Candidate | None:
    """The chord of two neighbours that are one; None where they are not.

    A chord that goes on is one; so are a fifth and the same fifth with its third, a
    fourth or second and the third to which it moves on the same root, a chord and a
    part of it that brings no tone of its own, and a major triad and the diminished
    one on its third, which make a dominant seventh.
    """
    one, two = first.best, second.best
    if one is None or two is None:
        return None
    if one.root == two.root and (one.kind == "power" or _resolves(first, two)):
        return two
    goes_on = one.root == two.root and two.kind in (one.kind, "power")
    if goes_on or _is_part_of(one, second.sums, two, reader):
        return one
    if _is_part_of(two, first.sums, one, reader):
        return two
    return _dominant(one, two) or _dominant(two, one)


def _dominant(lower: Candidate, upper: Candidate) -> Candidate | None:
    """The dominant seventh whose lower and upper three tones two chords are."""
    if lower.kind not in ("major", "dominant") or upper.kind != "diminished":
        return None
    return DOMINANTS[lower.root] if upper.root == lower.third else None


def _resolves(first: Segment, two: Candidate) -> bool:
    """Whether a short fourth or second is heard as a suspension of the third that follows."""
    suspended = first.best is not None and first.best.kind in SUSPENDED
    return suspended and two.kind not in SUSPENDED and first.sums.length <= _LONGEST_SUSPENSION


def _is_part_of(whole: Candidate, sums: Sums, part: Candidate, reader: Reader) -> bool:
    """Whether ``part`` is read only because tones of ``whole`` are silent for a while."""
    sounding = reader.sounding(sums)
    if sounding & ~_bits(whole):
        return False
    upper = part.kind == "diminished" and whole.kind.startswith("dominant")
    return upper or bool(_bits(part) & ~sounding)


def _bits(one: Candidate) -> int:
    return sum(1 << semitone for semitone in one.classes)


def _segment(
    evidence: Evidence, start: int, end: int, reader: Reader, best: Candidate | None = None
) -> Segment:
    """The stretch between two borders, as its best chord or as one that is given."""
    sums = _between(evidence, start, end)
    best = best or reader.read(sums).best
    ahead = 0
    if best is not None:
        second = reader.read(sums, against=frozenset(best.classes))
        ahead = reader.score(best, sums) - second.score
    return Segment(evidence.borders[start], evidence.borders[end], sums, best, ahead)


def _between(evidence: Evidence, start: int, end: int) -> Sums:
    return evidence.sums[end].since(evidence.sums[start])
