"""The cost of a move on valved brass: fingers on the valves, at the same time the lips."""

from __future__ import annotations

from typing import Final

from drills.effort import weights
from drills.effort.air import with_lips
from drills.effort.hands import hand_terms, motions
from drills.effort.terms import Term
from drills.instruments.fingering import Fingering, Table


def valve_terms(
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
    hands = (*hand_terms(table, moved, "-".join(names)), *_beside(table, first, second))
    return with_lips(hands, notes, fingerings, names)


def _beside(table: Table, first: Fingering, second: Fingering) -> list[Term]:
    """A finger that moves while the one beside it holds its valve down."""
    held = {table.keys[key].finger for key in set(first.keys) & set(second.keys)}
    for key in (name for name in table.keys if (name in first.keys) != (name in second.keys)):
        finger = table.keys[key].finger
        hand, member = finger.split()
        if member not in _ROW:
            continue
        at = _ROW.index(member)
        stays = [
            f for f in (f"{hand} {_ROW[i]}" for i in (at - 1, at + 1) if 0 <= i < 4) if f in held
        ]
        if stays:
            words = f"{finger} finger moves beside the {stays[0]} finger, which stays down"
            return [Term("beside", weights.BESIDE.value, words)]
    return []


_ROW: Final = ("index", "middle", "ring", "little")
