"""The named parts of a cost, so that every number can be explained to a player."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from drills.effort.weights import TOGETHER


@dataclass(frozen=True, slots=True)
class Term:
    """One reason why a move costs something."""

    name: str
    """Which of the model's reasons it is, such as "contrary"."""
    value: float
    """In fingers (weights.py says what 1 is); 0 or more."""
    words: str
    """For a player, such as "left little finger slides from low C sharp to low B flat"."""


def total(terms: Iterable[Term]) -> float:
    """The sum, without the dust that adding decimals leaves."""
    return round(sum(term.value for term in terms), 3)


def together(hands: Sequence[Term], air: Sequence[Term]) -> tuple[Term, ...]:
    """The terms of two works that are done at the same time, such as fingers and lips.

    The slower counts whole, the other for a share (weights.TOGETHER says why).
    """
    if total(hands) >= total(air):
        return (*hands, *map(_quicker, air))
    return (*map(_quicker, hands), *air)


def _quicker(term: Term) -> Term:
    return Term(term.name, round(term.value * TOGETHER.value, 4), term.words)


def listed(words: Iterable[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    found = list(words)
    return found[0] if len(found) == 1 else f"{', '.join(found[:-1])} and {found[-1]}"
