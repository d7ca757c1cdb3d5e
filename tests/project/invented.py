"""Invented passages and projects for the tests of planning."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from drills.project.days import Hours
from drills.project.passages import Block, Passage, Role, State

TODAY = date(2027, 2, 21)
BLOCKS = (
    Block(1, "as it stands", Role.SPOT),
    Block(2, "two notes at a time", Role.MOVES),
    Block(3, "three notes at a time", Role.MOVES),
    Block(4, "even", Role.LINE),
    Block(5, "dotted", Role.LINE),
)


def passage(
    number: int,
    goal: int = 112,
    reached: int | None = None,
    played: tuple[int, ...] = (),
    state: State = State.OPEN,
    weight: int = 1,
) -> Passage:
    """One passage; ``played`` are days before today."""
    return Passage(
        f"p{number}",
        f"March, bar {number}",
        Fraction(goal),
        Fraction(goal, 2),
        BLOCKS,
        weight=Fraction(weight),
        hard=(number * 7 % 10) / 10,
        state=state,
        reached=None if reached is None else Fraction(reached),
        played_on=tuple(TODAY - timedelta(ago) for ago in sorted(played, reverse=True)),
    )


def many(count: int) -> tuple[Passage, ...]:
    """So many passages with goals of their own, none of them played."""
    return tuple(passage(number, 92 + 4 * (number % 12)) for number in range(count))


PROJECTS = {
    "one day": (many(3), Hours(60), 1),
    "no day": (many(3), Hours(60), 0),
    "a year": (many(5), Hours(30), 365),
    "one spot": (many(1), Hours(60), 8),
    "sixty spots": (many(60), Hours(60), 8),
    "eight days": (many(14), Hours(60), 8),
    "all ready": (tuple(passage(n, state=State.READY) for n in range(6)), Hours(60), 9),
    "left ones": ((*many(3), passage(9, state=State.LEFT)), Hours(45), 6),
    "log with gaps": (
        (passage(1, 112, 80, (9, 2)), passage(2, 120, 116, (20,)), passage(3, 96, 60, (1, 2, 5))),
        Hours(40),
        7,
    ),
    "days off": (
        many(4),
        Hours(45, {5: 90, 6: 0}, {TODAY + timedelta(2): 0, TODAY + timedelta(3): 15}),
        10,
    ),
    "ten minutes": (many(3), Hours(10), 6),
    "two minutes": (many(2), Hours(2), 5),
    "two days": (many(4), Hours(60), 2),
    "three weeks": (many(8), Hours(40), 21),
}
"""Twelve and more projects: passages, minutes, days until the rehearsal."""
