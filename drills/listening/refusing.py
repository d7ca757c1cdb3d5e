"""Whether a recording can be what was asked for at all.

Problem.  A take of other music, or of none, must not be judged as a bad one.  Method.  The share
of right notes, how well their pitches fit, how much of what sounds they explain and how many
follow one another as written are multiplied; the bound was set on takes that are and takes that
are not of the spot (docs/listening.md).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Final

import numpy as np

from drills.listening.played import Played, PlayedNote
from drills.listening.states import ADDED, NOTE, WRONG
from drills.listening.verdict import NoteVerdict

LIKELY: Final = 0.62
"""Mean cost of a note's pitch over which it is not judged."""


def refused_as(played: Played, notes: Sequence[NoteVerdict], share: float) -> tuple[str, float]:
    """Why this cannot be the spot, and how sure that is."""
    heard = [one for one in played.notes if one.kind == NOTE]
    found = len({one.note for one in heard}) / max(len(notes), 1)
    if not heard or played.sounding < 0.02:
        return "nothing of this spot was heard", 0.95
    good = float(np.mean([one.fit < LIKELY for one in heard]))
    extra = sum(one.kind in (ADDED, WRONG) for one in played.notes) / max(len(played.notes), 1)
    order = _in_order(heard)
    evidence = min(share, found + 0.1) * good * min(played.sounding / 0.6, 1.0) * order
    evidence *= 1 - max(extra - 0.2, 0.0)
    if evidence >= 0.5:
        return "", min(0.5 + evidence / 2, 0.99)
    return "this is not the spot that was asked for", min(0.99, 1 - evidence)


def _in_order(heard: Sequence[PlayedNote]) -> float:
    """Share of neighbours that follow one another as written."""
    pairs = list(itertools.pairwise(heard))
    if not pairs:
        return 1.0
    return sum(0 < b.note - a.note <= 2 for a, b in pairs) / len(pairs)
