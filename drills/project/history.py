"""What a log says of each passage: where it stands, when it was played, how fast it climbs.

Conventions.  Entries count by the player's day.  A day's number is the highest that was
reached with the whole spot or line; on a day on which only a few notes at a time were played,
the highest of those.  A passage stands where its last day with a number left it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from itertools import pairwise
from math import log2
from statistics import median
from typing import Final

from drills.project.entries import Entry
from drills.project.passages import Passage
from drills.project.rules import LEAST_GAIN, MOST_GAIN, USUAL_GAIN
from drills.project.scale import place

RECENT: Final = 3
"""Climbs of a passage that are looked at, its last: progress gets slower."""
DOUBT: Final = 2
"""Climbs for which what is known from elsewhere counts."""


@dataclass(frozen=True, slots=True)
class Played:
    """One day with a passage."""

    day: date
    number: Fraction | None
    """What was reached; None where nobody said."""


@dataclass(frozen=True, slots=True)
class History:
    """All days with one passage, ascending."""

    days: tuple[Played, ...] = ()

    @property
    def numbered(self) -> tuple[Played, ...]:
        """The days of which a number is known."""
        return tuple(day for day in self.days if day.number is not None)

    @property
    def reached(self) -> Fraction | None:
        """Where the passage stands."""
        return self.numbered[-1].number if self.numbered else None

    def climbs(self, top: Fraction) -> tuple[float, ...]:
        """What each day below ``top`` brought, as numbers of a second day.

        Each day's gain over the one before is held against what the logarithm of their
        counts makes of a second day's.
        """
        rows = [(n, day.number) for n, day in enumerate(self.days, 1) if day.number is not None]
        return tuple(
            (place(after) - place(before)) / log2(second / first)
            for (first, before), (second, after) in pairwise(rows)
            if before < top and after < top
        )


def histories(entries: Iterable[Entry], before: date | None = None) -> dict[str, History]:
    """The history of every passage, of the days before one if it is given."""
    days: dict[str, dict[date, list[Entry]]] = defaultdict(lambda: defaultdict(list))
    for entry in entries:
        if entry.struck is None and (before is None or entry.said.day < before):
            days[entry.said.passage][entry.said.day].append(entry)
    return {
        passage: History(tuple(Played(day, _number(own[day])) for day in sorted(own)))
        for passage, own in days.items()
    }


def _number(entries: Sequence[Entry]) -> Fraction | None:
    """What a day's entries say was reached."""
    whole = [one.said.number for one in entries if one.said.whole and one.said.number is not None]
    parts = [one.said.number for one in entries if one.said.number is not None]
    return max(whole or parts, default=None)


def with_history(passages: Sequence[Passage], known: Mapping[str, History]) -> tuple[Passage, ...]:
    """The passages with what the log knows of them and the gains that it shows to be real."""
    every = [climb for one in passages for climb in known.get(one.id, History()).climbs(one.top)]
    together = _drawn(every, USUAL_GAIN)
    found = []
    for one in passages:
        history = known.get(one.id, History())
        climbs = history.climbs(one.top)[-RECENT:]
        found.append(
            replace(
                one,
                reached=history.reached,
                played_on=tuple(day.day for day in history.days),
                gain=max(LEAST_GAIN, min(MOST_GAIN, _drawn(climbs, together))),
            )
        )
    return tuple(found)


def _drawn(climbs: Sequence[float], towards: float) -> float:
    """Numbers of a second day: the median, drawn towards what was thought before."""
    if not climbs:
        return towards
    return (len(climbs) * median(climbs) + DOUBT * towards) / (len(climbs) + DOUBT)
