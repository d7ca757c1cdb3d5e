"""The cost of a move on a woodwind: fingers, then register, distance and answer."""

from __future__ import annotations

from drills.effort import weights
from drills.effort.air import choice_terms, interval_term, register_terms, slow_terms
from drills.effort.hands import hand_terms, motions
from drills.effort.terms import Term
from drills.instruments.fingering import Fingering, Table


def woodwind_terms(
    table: Table,
    notes: tuple[int, int],
    fingerings: tuple[Fingering, Fingering],
    names: tuple[str, str],
) -> tuple[Term, ...]:
    """Every reason why the move costs something.

    ``notes`` are MIDI numbers of the table, ``names`` the notes as the player
    reads them.  A note that is repeated with one fingering costs nothing.
    """
    first, second = fingerings
    if notes[0] == notes[1] and first == second:
        return ()
    moved = motions(table, first.keys, second.keys)
    low, high = sorted(notes)
    crosses = low <= table.break_after < high
    stays = first.register == second.register
    return (
        *hand_terms(moved, "-".join(names)),
        *register_terms(table, first, second, crosses),
        *interval_term(*notes, weights.TUBE_SEMITONE if stays else weights.SEMITONE),
        *slow_terms(table, tuple(zip(notes, names, strict=True))),
        *choice_terms(notes, fingerings, names),
    )
