"""The cheapest way through the borders of a score: where the chord changes.

Method.  Each stretch between two borders is worth what its best chord is worth
(reading.py); a new chord costs the more, the weaker its place.  The best set of borders
is found from left to right (dynamic programming).  That harmony can be read as a
cheapest path over candidate borders with a score of templates on every stretch is
the idea of B. Pardo and W. Birmingham, "Algorithms for chordal analysis", Computer
Music Journal 26(2), 2002 (idea from memory); the scores here are our own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from drills.harmony.evidence import Evidence, FloatArray, Sums
from drills.harmony.reading import FINE, NONE, WORST, Reader
from drills.harmony.sound import Clock
from drills.harmony.stress import BEAT
from drills.harmony.templates import CANDIDATES, DOMINANTS, SUSPENDED, Candidate
from drills.harmony.weights import Weights

_MOST_BORDERS: Final = 24
_MOST_BEATS: Final = 12
"""The longest stretch that is tried at once; longer chords are put together afterwards."""
_BASS_STAYS: Final = 100
_FIFTH_STAYS: Final = 200
"""Percent of a beat that a bass stays on another tone of its chord to change its name; held,
not struck and left, and low enough to be a bass."""
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
    path = _Path(evidence, clock, weights)
    return [part for one in _joined(path, path.best()) for part in _by_bass(path, one, clock)]


class _Path:
    """The cheapest way through borders and chords, from left to right."""

    def __init__(self, evidence: Evidence, clock: Clock, weights: Weights) -> None:
        self.evidence = evidence
        self.reader = Reader(weights)
        self._change = [weights.change[clock.level(border)] * FINE for border in evidence.borders]
        self._follows = _follows(weights)
        self._length = evidence.sums[:, 38]
        self._around = weights.around

    def rows(self, starts: NDArray[np.int64], end: int) -> FloatArray:
        """The scores of all chords for stretches that end at one border."""
        sums = self.evidence.sums
        first = np.searchsorted(self._length, self._length[starts] - self._around)
        last = min(
            int(np.searchsorted(self._length, self._length[end] + self._around)), len(sums) - 1
        )
        return self.reader.scores(sums[end] - sums[starts], sums[last, :12] - sums[first, :12])

    def best(self) -> list[tuple[int, int, int]]:
        """Start, end and chord of each stretch of the best way."""
        count = len(self.evidence.borders)
        total = np.full((count, NONE + 1), float(WORST))
        entered = np.zeros((count, NONE + 1))
        back = np.zeros((count, NONE + 1, 2), np.int64)
        for end in range(1, count):
            starts = np.arange(max(0, end - _MOST_BORDERS), end)
            near = self._length[end] - self._length[starts] <= 100 * _MOST_BEATS
            near[-1] = True
            starts = starts[near]
            worth = self.rows(starts, end) + entered[starts]
            chosen = worth.argmax(axis=0)
            total[end] = worth[chosen, np.arange(NONE + 1)]
            back[end, :, 0] = starts[chosen]
            if end < count - 1:
                before = total[end][:, None] + self._follows
                entered[end] = before.max(axis=0) - self._change[end]
                back[end, :, 1] = before.argmax(axis=0)
        found = []
        end, chord = count - 1, int(total[-1].argmax())
        while end > 0:
            start = int(back[end, chord, 0])
            found.append((start, end, chord))
            end, chord = start, int(back[start, chord, 1])
        return found[::-1]


def _follows(weights: Weights) -> FloatArray:
    """What each chord gains after each other, by the way from root to root."""
    roots = np.array([one.root for one in CANDIDATES])
    gains = np.array(weights.falls)[(roots[None, :] - roots[:, None]) % 12] * FINE
    same = np.array([one.kind for one in CANDIDATES])
    free = np.isin(same, ("diminished-seventh", "augmented", "French"))
    gains[free, :] = 0
    gains[:, free] = 0
    return np.pad(gains, ((0, 1), (0, 1)))


def _joined(path: _Path, cuts: list[tuple[int, int, int]]) -> list[Segment]:
    """The stretches between cuts, joined where two are one chord."""
    found: list[Segment] = []
    starts: list[int] = []
    for start, end, chord in cuts:
        new = _segment(path, start, end, None if chord == NONE else CANDIDATES[chord])
        if found and found[-1].best is None is new.best:
            found[-1] = _segment(path, starts[-1], end, None)
        elif found and (joint := _joint(found[-1], new, path.reader)):
            found[-1] = _segment(path, starts[-1], end, joint)
        else:
            found.append(new)
            starts.append(start)
    return found


def _by_bass(path: _Path, one: Segment, clock: Clock) -> list[Segment]:
    """A chord cut where its bass moves on to another of its tones, and stays there to the end.

    The third or seventh must stay for a beat, the fifth for two: less is a bass that
    alternates, as in a march.
    """
    if one.best is None:
        return [one]
    evidence = path.evidence
    first, last = evidence.borders.index(one.start), evidence.borders.index(one.end)
    lowest = [_lowest(evidence, place) for place in range(first, last)]
    bass = next((tone for tone in reversed(lowest) if tone is not None), None)
    cut = last
    while cut > first and lowest[cut - 1 - first] in (bass, None):
        cut -= 1
    if cut in (first, last) or bass is None or clock.level(evidence.borders[cut]) > BEAT:
        return [one]
    later = evidence.between(cut, last)
    stays = later.founded if 10 * later.bass[bass] >= 9 * later.length else 0
    tones = one.best.classes
    least = _FIFTH_STAYS if bass == one.best.fifth else _BASS_STAYS
    before = evidence.between(first, cut).bass
    if bass not in tones or bass == one.best.root or stays < least or before.argmax() == bass:
        return [one]
    halves = _segment(path, first, cut, one.best), _segment(path, cut, last, one.best)
    needed = {tone for tone in tones if one.best.needed >> tone & 1}
    if any(needed - set(path.reader.tones(half.sums)) for half in halves):
        return [one]
    return [*_by_bass(path, halves[0], clock), halves[1]]


def _lowest(evidence: Evidence, place: int) -> int | None:
    """The lowest tone from one border to the next, 0 to 11; None where nothing sounds."""
    bass = evidence.between(place, place + 1).bass
    return int(bass.argmax()) if bass.any() else None


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
    sounding = set(reader.tones(sums))
    if sounding - set(whole.classes):
        return False
    upper = part.kind == "diminished" and whole.kind.startswith("dominant")
    return upper or bool(set(part.classes) - sounding)


def _segment(path: _Path, start: int, end: int, best: Candidate | None) -> Segment:
    """The stretch between two borders, as one chord."""
    borders = path.evidence.borders
    sums = path.evidence.between(start, end)
    ahead = 0
    if best is not None:
        scores = path.rows(np.array([start]), end)[0]
        others = max(scores[NONE], *(scores[one] for one in _AGAINST[best.rank]))
        ahead = int(scores[best.rank] - others) // FINE
    return Segment(borders[start], borders[end], sums, best, ahead)


_AGAINST: Final = tuple(
    tuple(other.rank for other in CANDIDATES if not set(one.classes) <= set(other.classes))
    for one in CANDIDATES
)
"""For each chord those that lack one of its tones, and so contradict it."""
