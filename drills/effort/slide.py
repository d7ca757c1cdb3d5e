"""The cost of a move on the trombone: the way of the slide, the trigger, the lips.

Places on the slide follow the semitone rule: to lower by one semitone the tube
grows by the twelfth root of two, so positions lie farther apart the lower they
are.  In units of the distance from first to second position, position p lies at
(2^((p-1)/12) - 1) / (2^(1/12) - 1); with the F attachment, which makes the whole
tube longer by five semitones, at 2^(5/12) times that.  Sixth position lies 5.6
away, seventh 7.0.
"""

from __future__ import annotations

from typing import Final

from drills.effort import weights
from drills.effort.air import with_lips
from drills.effort.hands import hand_terms, motions
from drills.effort.terms import Term
from drills.instruments.fingering import Fingering, Table

_SEMITONE: Final = 2 ** (1 / 12)


def place(fingering: Fingering, table: Table) -> float:
    """How far out the slide is, in distances from first to second position."""
    longer = sum(table.keys[key].semitones for key in fingering.keys)
    steps = (_SEMITONE ** (fingering.position - 1) - 1) / (_SEMITONE - 1)
    return round(steps * _SEMITONE**longer, 2)


def travel(table: Table, fingerings: tuple[Fingering, Fingering]) -> float:
    """How far the slide goes: out (positive) or in (negative)."""
    return round(place(fingerings[1], table) - place(fingerings[0], table), 2)


def slide_terms(
    table: Table,
    notes: tuple[int, int],
    fingerings: tuple[Fingering, Fingering],
    names: tuple[str, str],
) -> tuple[Term, ...]:
    """Every reason why the move costs something; arguments as for woodwind_terms."""
    first, second = fingerings
    if notes[0] == notes[1] and first == second:
        return ()
    moved = motions(table, first.keys, second.keys)
    hands = (*_slide(table, fingerings), *hand_terms(table, moved, "-".join(names)))
    return with_lips(hands, notes, fingerings, names)


def turn_term() -> Term:
    """What it costs to turn the slide back between two moves."""
    return Term("turn of the slide", weights.SLIDE_TURN.value, "the slide turns back")


def _slide(table: Table, fingerings: tuple[Fingering, Fingering]) -> list[Term]:
    way = travel(table, fingerings)
    if not way:
        return []
    value = round(weights.SLIDE_START.value + weights.SLIDE_STEP.value * abs(way), 2)
    words = (
        f"slide goes {'out' if way > 0 else 'in'} from {fingerings[0].label} "
        f"to {fingerings[1].label}"
    )
    return [Term("slide", value, words)]
