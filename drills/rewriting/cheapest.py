"""The cheapest way through a row of choices: which octave, which clef, which spelling.

Method.  Dynamic programming (Viterbi's algorithm, from memory): the cheapest way to
every choice of a place is the best of those to the place before, the change included.
Where two are as good the choice that stays wins, then the one that is named first.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from typing import Protocol, Self, TypeVar


class Cost(Protocol):
    """What can be added up and compared."""

    def __add__(self, other: Self, /) -> Self: ...
    def __lt__(self, other: Self, /) -> bool: ...


S = TypeVar("S", bound=Hashable)
C = TypeVar("C", bound=Cost)


def cheapest_way(rows: Sequence[Mapping[S, C]], change: Callable[[int, S, S], C]) -> list[S]:
    """One choice for each place.

    ``rows`` hold for each place what every choice costs by itself, the same choices in
    every row; ``change(place, old, new)`` is what it costs to come to a place with
    ``new`` from ``old`` at the one before.
    """
    if not rows:
        return []
    cost = dict(rows[0])
    came: list[dict[S, S]] = []
    for place, row in enumerate(rows[1:], 1):
        now: dict[S, C] = {}
        back: dict[S, S] = {}
        for new, own in row.items():
            ways = {old: paid + change(place, old, new) for old, paid in cost.items()}
            best = min(ways, key=lambda old: (ways[old], old != new))
            now[new], back[new] = ways[best] + own, best
        cost = now
        came.append(back)
    found = [min(cost, key=lambda one: cost[one])]
    for back in reversed(came):
        found.append(back[found[-1]])
    return found[::-1]
