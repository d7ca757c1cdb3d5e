"""Invented players who learn, forget, have bad days and miss some: to try plans on.

A simulation and nothing more: it says how a plan fares with players who are made like this,
not how it fares with people.

Model.  The time that a player needs for a passage, as a share of that at its tempo, follows
the general power law of practice T(n) = A + B (n + 1)^-a (Newell and Rosenbloom 1981,
"Mechanisms of skill acquisition and the law of practice"; the form with an asymptote and its
exponents from memory: those that they collect lie between about 0.1 and 0.9).  n counts the
blocks of three minutes that were played.  What was not played for more than a night fades:
n is multiplied by (days)^-f, with f smaller the more days there were (forgetting as a power
function of time: Wixted and Ebbesen 1991, Psychological Science 2:409, from memory).  Where
single learners follow an exponential instead (Heathcote, Brown and Mewhort 2000), a player
may be of that kind: T(n) = A + B exp(-c n).

Conventions.  A player's passage knows its ``goal`` in beats a minute; ``share`` is ability
over goal.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import exp
from random import Random

from drills.project.scale import number_at, place

EXPONENTS = (0.3, 0.8)
FORGETTING = (0.1, 0.4)
BAD_DAY = 0.03
"""Standard deviation of a day's speed, as a share."""
MISSED = 0.1
"""Share of days on which nothing is played after all."""


@dataclass(slots=True)
class Learned:
    """One passage in one player's fingers."""

    goal: Fraction
    first: float
    """Time needed at first, over that at the goal; more than 1."""
    best: float
    """The same after endless practice."""
    rate: float
    fading: float
    exponential: bool
    blocks: float = 0.0
    days: int = 0
    last: int | None = None

    @property
    def share(self) -> float:
        """Ability as a share of the goal."""
        kept = (
            exp(-self.rate * self.blocks) if self.exponential else (self.blocks + 1) ** -self.rate
        )
        return 1 / (self.best + (self.first - self.best) * kept)

    def wait_until(self, day: int) -> None:
        """Let time pass without the passage."""
        if self.last is not None and day - self.last > 1:
            self.blocks *= (day - self.last) ** (-self.fading / self.days**0.5)
            self.last = day - 1

    def play(self, day: int, blocks: float) -> None:
        """Play some blocks on a day."""
        self.wait_until(day)
        self.days += self.last != day
        self.blocks, self.last = self.blocks + blocks, day


def player(seed: int, goals: list[Fraction]) -> list[Learned]:
    """A player before the first day."""
    random = Random(seed)
    exponential = random.random() < 0.3
    found = []
    for goal in goals:
        first, best = 1 / random.uniform(0.45, 0.8), random.uniform(0.7, 0.97)
        rate = random.uniform(*EXPONENTS)
        found.append(
            Learned(
                goal,
                first,
                best,
                rate / 8 if exponential else rate,
                random.uniform(*FORGETTING),
                exponential,
            )
        )
    return found


def observed(learned: Learned, random: Random, most: Fraction) -> Fraction:
    """The number that a player would write down on a day: on the scale, not past ``most``."""
    speed = learned.share * random.gauss(1, BAD_DAY) * float(learned.goal)
    return min(most, number_at(place(Fraction(speed).limit_denominator(1000)) - 0.49))
