"""Passages that are much the same: again, transposed, or with other ends.

Problem.  Music repeats itself, and a player who has worked at a passage once has most of
it everywhere.  Method.  A move is told by its contour (repeated, a step, a skip, a leap, up
or down) and its rhythm.  Two passages are alike where the same row of such moves makes up
``SHARED`` of the longer one; it is looked for from the middle of the shorter outwards.

Conventions.  Exactly the same notes in the same rhythm are "again", the rest "alike".
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from drills.effort.demand import Demand, VoiceDemand
from drills.effort.passages import Passage
from drills.music.pitch import Tone

SHARED: Final = 0.75
"""Our own choice: up to a fourth may be changed at the ends."""
_LEAP: Final = 3
"""Steps of the scale from which a move is a leap: a fourth."""
_BASE: Final = 0x4E00
"""Where the characters begin that stand for moves; the text is only searched."""


class Likeness:
    """Compares passages of a voice."""

    def __init__(self, judged: VoiceDemand) -> None:
        self._judged = judged
        self._numbers: dict[tuple[int, int], str] = {}
        self._contours: dict[tuple[int, int], int] = {}
        self._texts: dict[range, str] = {}

    def alike(self, one: Passage, other: Passage) -> bool:
        """True where the two share most of their contour and rhythm."""
        few, many = sorted((one.notes, other.notes), key=len)
        if len(few) - 1 < max(SHARED * (len(many) - 1), 1):
            return False
        longer, shorter = self._text(many), self._text(few)
        third = len(shorter) // 3
        middle = shorter[third : len(shorter) - third]
        at = longer.find(middle)
        while at >= 0:
            if _common(longer, shorter, at, third, len(middle)) >= SHARED * len(longer):
                return True
            at = longer.find(middle, at + 1)
        return False

    def same(self, one: Passage, other: Passage) -> bool:
        """True where they have the same notes in the same rhythm."""
        if len(one.notes) != len(other.notes):
            return False
        first, second = (self._judged.demands[p.notes.start].tick for p in (one, other))
        for index, twin in zip(one.notes, other.notes, strict=True):
            a, b = self._judged.demands[index], self._judged.demands[twin]
            if a.tick - first != b.tick - second:
                return False
            x, y = a.sound.notes[0], b.sound.notes[0]
            if (x.tones, x.graces) != (y.tones, y.graces):
                return False
        return True

    def _text(self, notes: range) -> str:
        if notes not in self._texts:
            demands = self._judged.demands[notes.start : notes.stop]
            self._texts[notes] = "".join(self._sign(a, b) for a, b in pairwise(demands))
        return self._texts[notes]

    def _sign(self, first: Demand, second: Demand) -> str:
        """One character for a move; tones of a part are known by their identity."""
        a, b = first.sound.notes[0].tones, second.sound.notes[0].tones
        contour = self._contours.get((id(a), id(b)))
        if contour is None:
            contour = self._contours[id(a), id(b)] = _contour(a, b)
        move = (contour, second.tick - first.tick)
        if move not in self._numbers:
            self._numbers[move] = chr(_BASE + len(self._numbers))
        return self._numbers[move]


def grouped(judged: VoiceDemand, found: Sequence[Passage]) -> list[list[Passage]]:
    """Passages that are alike together, in order; the first of each group is the hardest."""
    likeness = Likeness(judged)
    groups: list[list[Passage]] = []
    for passage in found:
        for group in groups:
            if likeness.alike(group[0], passage):
                group.append(passage)
                break
        else:
            groups.append([passage])
    return groups


def _contour(first: tuple[Tone, ...], second: tuple[Tone, ...]) -> int:
    """Steps of the scale from highest tone to highest, a leap being a leap; 0 for the same."""
    steps = max(t.diatonic for t in second) - max(t.diatonic for t in first)
    return max(-_LEAP, min(_LEAP, steps))


def _common(longer: str, shorter: str, at: int, third: int, size: int) -> int:
    """How many signs in a row are shared around a place where the middles agree."""
    before = 0
    while before < min(at, third) and longer[at - before - 1] == shorter[third - before - 1]:
        before += 1
    after = 0
    while (
        at + size + after < len(longer)
        and third + size + after < len(shorter)
        and longer[at + size + after] == shorter[third + size + after]
    ):
        after += 1
    return before + size + after
