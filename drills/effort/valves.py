"""The cost of a move on valved brass: fingers on the valves, then the lips."""

from __future__ import annotations

from drills.effort.air import choice_terms, interval_term, partial_terms
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
    return (
        *hand_terms(moved, "-".join(names)),
        *partial_terms(notes, fingerings, names),
        *interval_term(*notes),
        *choice_terms(notes, fingerings, names),
    )
