"""Which bar of one part is which bar of another.

Problem.  Parts of one piece may differ: one has a pickup more, one stops before
the others, one was exported with short bars, one counts its bars otherwise.

Method.  The cheapest alignment of two rows of bars (global alignment by dynamic
programming, as for two strings; Needleman and Wunsch 1970).  What a pairing or a
bar left alone costs stands in the constants below, our own choice.  Bar numbers
count when a stretch of pairs begins, not at every pair: a whole part that
numbers from 2 is one difference, not a hundred.  Of equally cheap alignments the
one with most equal numbers is taken.  Only pairs near the diagonal are tried, so
that the time grows with the bars and not with their square.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from drills.music.score import Bar
from drills.music.time import Length, TimeSignature

ALONE: Final = 2
"""A bar that has no fellow in the other part."""
OTHER_LENGTH: Final = 3
"""Paired bars of different length: less than leaving both alone, so that a short export
stays with its fellow; more than leaving one alone, so that a pickup does not."""
OTHER_TIME: Final = 2
"""Paired bars with different time signatures."""
OTHER_NUMBERS: Final = 2
"""A stretch of pairs whose printed numbers differ begins."""
SAME_MARK: Final = -3
"""Paired bars that carry the same rehearsal mark."""
OTHER_MARK: Final = 4
"""Paired bars that carry different rehearsal marks."""
BAND: Final = 32
"""Bars off the diagonal that are tried, beyond the difference in the number of bars."""


@dataclass(frozen=True, slots=True)
class Unit:
    """What is counted as one bar: a bar of a part, with the bars that only complete it."""

    bars: tuple[int, ...]
    """Indices in the part."""
    number: str
    time: TimeSignature
    offset: Length
    """What a pickup lacks at its start."""
    length: Length
    marks: tuple[str, ...]


def units_of(bars: Sequence[Bar]) -> tuple[Unit, ...]:
    """The bars of a part, each with those that complete it.

    A bar completes the one before it where it lacks at its start what that one
    holds; a pickup after a full bar is a bar of its own.
    """
    groups: list[list[Bar]] = []
    for bar in bars:
        if groups and _completes(groups[-1][-1], bar):
            groups[-1].append(bar)
        else:
            groups.append([bar])
    return tuple(
        Unit(
            tuple(bar.index for bar in group),
            group[0].number,
            group[0].time,
            group[0].offset,
            group[-1].offset + group[-1].length - group[0].offset,
            tuple(mark.text for bar in group for mark in bar.marks),
        )
        for group in groups
    )


def _completes(before: Bar, bar: Bar) -> bool:
    full = bar.time.bar_length
    held = before.offset + before.length
    return bool(bar.offset) and held <= bar.offset and bar.offset + bar.length <= full


def paired(first: Sequence[Unit], second: Sequence[Unit]) -> list[tuple[int | None, int | None]]:
    """The two rows as one, in order: index in the first, in the second, or None where alone."""
    if len(first) == len(second) and all(map(_alike, first, second)):
        return [(index, index) for index in range(len(first))]
    return _Table(first, second).followed_back()


def _alike(one: Unit, other: Unit) -> bool:
    """All that is compared is the same."""
    return _pair_cost(one, other) <= 0 and one.number == other.number


def _pair_cost(one: Unit, other: Unit) -> int:
    cost = OTHER_LENGTH * (one.length != other.length)
    cost += OTHER_TIME * (one.time.bar_length != other.time.bar_length)
    if one.marks and other.marks:
        same = not set(one.marks).isdisjoint(other.marks)
        cost += SAME_MARK if same else OTHER_MARK
    return cost


_PAIRED, _FIRST_ALONE, _SECOND_ALONE = range(3)
_Cost = tuple[int, int]
"""What an alignment costs, and its pairs with different numbers."""
_NEVER: Final = (10**9, 0)


class _Table:
    """The cheapest way to align the first i with the first j bars, by how it ends."""

    def __init__(self, first: Sequence[Unit], second: Sequence[Unit]) -> None:
        self._first, self._second = first, second
        self._band = BAND + abs(len(first) - len(second))
        self._cheapest: dict[tuple[int, int], tuple[_Cost, _Cost, _Cost]] = {
            (0, 0): ((0, 0), _NEVER, _NEVER)
        }
        for i in range(len(first) + 1):
            low, high = max(0, i - self._band), min(len(second), i + self._band)
            for j in range(low, high + 1):
                if (i, j) != (0, 0):
                    self._cheapest[i, j] = self._ways(i, j)

    def _ways(self, i: int, j: int) -> tuple[_Cost, _Cost, _Cost]:
        return (
            min(self._to_pair(i, j), default=_NEVER),
            _more(self._best(i - 1, j), ALONE),
            _more(self._best(i, j - 1), ALONE),
        )

    def _best(self, i: int, j: int) -> _Cost:
        return min(self._cheapest.get((i, j), (_NEVER,)))

    def _to_pair(self, i: int, j: int) -> list[_Cost]:
        """The cost of ending with this pair, for each way in which the row before may end."""
        before = self._cheapest.get((i - 1, j - 1))
        if before is None:
            return []
        one, other = self._first[i - 1], self._second[j - 1]
        own = _pair_cost(one, other)
        unequal = one.number != other.number
        runs_on = i > 1 and j > 1 and self._first[i - 2].number != self._second[j - 2].number
        found = []
        for way, cost in enumerate(before):
            begins = unequal and not (way == _PAIRED and runs_on)
            found.append(_more(cost, own + OTHER_NUMBERS * begins, int(unequal)))
        return found

    def followed_back(self) -> list[tuple[int | None, int | None]]:
        i, j = len(self._first), len(self._second)
        costs = self._cheapest[i, j]
        way = costs.index(min(costs))
        found: list[tuple[int | None, int | None]] = []
        while i or j:
            if way == _PAIRED:
                costs, pairs = self._cheapest[i - 1, j - 1], self._to_pair(i, j)
                way = pairs.index(min(pairs))
                i, j = i - 1, j - 1
                found.append((i, j))
                continue
            if way == _FIRST_ALONE:
                i -= 1
                found.append((i, None))
            else:
                j -= 1
                found.append((None, j))
            costs = self._cheapest[i, j]
            way = costs.index(min(costs))
        return found[::-1]


def _more(cost: _Cost, by: int, unequal: int = 0) -> _Cost:
    return cost[0] + by, cost[1] + unequal
