"""Written notes that ties make one: the only place that joins them.

A note goes on where it is tied from the note before in its voice, or from one of
another voice (``Note.tie_voice``) that ends just then.  A note that is tied from
nothing that is there is an attack.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, TypeVar

from drills.music.notes import Note

T = TypeVar("T")


@dataclass(slots=True)
class Chain(Generic[T]):
    """An attack with all that is tied to it."""

    start: Fraction
    end: Fraction
    notes: tuple[Note, ...]
    """The first is the attack."""
    of: T
    """Whatever came with the first note."""


def chains(
    voices: Mapping[str, Sequence[tuple[Fraction, Note, T]]], *, over_gaps: bool
) -> dict[str, list[Chain[T]]]:
    """The attacks of every voice in order.

    ``voices``: the notes of each voice with their place on one time line, in quarters, and
    anything that belongs to them.  ``over_gaps``: a tie in one voice joins notes that do not
    meet, too.
    """
    found: dict[str, list[Chain[T]]] = {name: [] for name in voices}
    waiting: list[tuple[str, str, Chain[T]]] = []
    for name, notes in voices.items():
        source = ""
        for at, note, of in notes:
            own = found[name]
            new = Chain(at, at + note.length.quarters, (note,), of)
            if note.tie_voice or (note.tie_stop and source):
                source = note.tie_voice or source
                waiting.append((name, source, new))
            elif note.tie_stop and own and _leads_into(own[-1], at, over_gaps):
                own[-1].end = new.end
                own[-1].notes += new.notes
            else:
                own.append(new)
            if not (note.tie_start and note.tie_stop):
                source = ""
    _join_voices(found, waiting)
    return found


def _leads_into(chain: Chain[T], at: Fraction, over_gaps: bool) -> bool:
    return chain.notes[-1].tie_start and (over_gaps or chain.end == at)


def _join_voices(
    found: dict[str, list[Chain[T]]], waiting: Sequence[tuple[str, str, Chain[T]]]
) -> None:
    """Join what is tied from another voice.

    The attack is made longer unless its voice goes on meanwhile; the note that it is tied
    to is none in either case.
    """
    held: set[tuple[str, Fraction]] = set()
    for name, source, new in sorted(waiting, key=lambda item: item[2].start):
        theirs = found.get(source, [])
        place = bisect_left(theirs, new.start, key=lambda chain: chain.start)
        before = theirs[place - 1] if place else None
        if before is not None and before.end == new.start and before.notes[-1].tie_start:
            held.add((source, new.end))
            if place == len(theirs) or theirs[place].start >= new.end:
                before.end = new.end
                before.notes += new.notes
        elif (source, new.start) in held:
            held.add((source, new.end))
        else:
            insort(found[name], new, key=lambda chain: chain.start)
