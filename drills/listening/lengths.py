"""How long notes sounded against what is written: gaps under slurs, short notes, the others.

A description, no fault: how short a dot is, or how much air stands between tongued notes, is
the player's own choice.  Conventions: those of verdict.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from drills.listening.played import Played
from drills.listening.states import NOTE, WRONG
from drills.listening.verdict import Lengths, NoteVerdict
from drills.listening.wanted import Wanted

NEAR = 1e-6


def gap_after(wanted: Wanted, played: Played, place: int) -> float | None:
    """Milliseconds of silence from a note to the next one, where that follows as written.

    ``place``: of the note among what was heard.
    """
    if place + 1 >= len(played.notes):
        return None
    one, following = played.notes[place], played.notes[place + 1]
    written, after = wanted.notes[one.note], wanted.notes[following.note]
    if following.kind not in (NOTE, WRONG) or following.note != one.note + 1:
        return None
    if after.grace or after.at - written.at - written.length > NEAR:
        return None
    return max(1000 * (following.at - one.end), 0.0)


def lengths_of(wanted: Wanted, notes: Sequence[NoteVerdict]) -> Lengths:
    """What the lengths of a take were like.

    ``notes``: none where a room holds each tone on, so that nobody can tell when it ended.
    """
    slurred: list[tuple[float, int]] = []
    short: list[float] = []
    tongued: list[float] = []
    mains = wanted.mains
    for note, (n, following) in zip(notes[:-1], pairwise(mains), strict=bool(notes)):
        if note.call != "right":
            continue
        if wanted.notes[following].slurred:
            slurred += [] if note.gap is None else [(note.gap, note.number)]
        elif note.length_share is not None:
            (short if wanted.notes[n].short else tongued).append(note.length_share)
    widest = max(slurred, default=None)
    return Lengths(
        _middle([gap for gap, _ in slurred]),
        None if widest is None else (widest[1], widest[0]),
        _middle(short),
        _middle(tongued),
    )


def _middle(values: Sequence[float]) -> float | None:
    return float(np.median(values)) if values else None
