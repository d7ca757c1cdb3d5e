"""Whether only a part of a spot was played: from which note on, and up to which.

Problem.  Who stops halfway, or begins in the middle, has not missed the rest.  Method.  Notes
at an end of the spot that were never tried, ``FEWEST`` in a row or more, were not played, if
most of the others were.
"""

from __future__ import annotations

from typing import Final

from drills.listening.verdict import Verdict

FEWEST: Final = 3
"""Notes in a row, at an end, that were left out and not missed."""
LEAST: Final = 4
"""Notes that must be right between them."""


def stretch_of(verdict: Verdict) -> tuple[int, int] | None:
    """First and last number of what was played; None where that is the whole, or not told."""
    right = [note.number for note in verdict.notes if note.call == "right"]
    tried = [note.number for note in verdict.notes if note.tries]
    if verdict.refused or verdict.bars is not None or len(right) < LEAST:
        return None
    first, last, count = tried[0], tried[-1], len(verdict.notes)
    first = first if first > FEWEST else 1
    last = last if count - last >= FEWEST else count
    inside = sum(first <= number <= last for number in right)
    whole = (first, last) == (1, count)
    return None if whole or 2 * inside <= last - first + 1 else (first, last)
