"""The cost of a move on a woodwind: the fingers, and at the same time the air.

Three ways of putting the two together were tried on the statements of the trade
(tests/effort/trade.py).  Added up, or with the slower whole and the quicker half, seven
of 152 fail; with the slower alone nine do, since whatever is close on the lips then hides
behind the fingers.  The middle way was chosen for its reason: the two works are done at
the same time, so the slower sets the pace, but they must arrive together.
"""

from __future__ import annotations

from drills.effort import weights
from drills.effort.air import choice_terms, interval_term, register_terms, slow_terms
from drills.effort.hands import hand_terms, motions
from drills.effort.terms import Term, together
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
    stays = first.register == second.register
    hands = hand_terms(table, moved, "-".join(names))
    air = (
        *register_terms(table, notes, fingerings),
        *interval_term(*notes, weights.TUBE_SEMITONE if stays else weights.SEMITONE),
        *slow_terms(table, notes, names),
    )
    return (*together(hands, air), *choice_terms(notes, fingerings, names))
