"""The hard spots of a part, the hardest first.

Passages (passages.py) that are much the same are one spot (alike.py): the one that asks
most stands in the list, the others are named with it.  Each has its cores (cores.py), and
says up to which tempo it is easy (easy.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drills.effort.alike import Likeness, grouped
from drills.effort.cores import Core, cores_of
from drills.effort.demand import Demand, VoiceDemand
from drills.effort.easy import easy_tempo
from drills.effort.naming import notes_in, span_of
from drills.effort.passages import Passage, passages
from drills.effort.speed import Speeds, moves_of
from drills.music.tempo import Tempo
from drills.places.finding import Span


@dataclass(frozen=True, slots=True)
class HardSpot:
    """A passage that the program proposes."""

    span: Span
    """As find_span reads ``span.asked``."""
    notes: range
    """Indices of its sounds in the voice."""
    hardness: float
    """Cube root of its cubed efforts times their seconds (passages.py)."""
    demands: tuple[Demand, ...]
    """Of its moves: from the second note up to the landing note."""
    cores: tuple[Core, ...]
    """The moves that make it hard, the hardest first."""
    easy: Tempo | None
    """The tempo up to which it is easy; None where only range or breath make it hard."""
    heart: Span
    """Its hardest stretch of a bar or two, for a sheet; the whole of a short one."""
    heart_notes: range
    again: tuple[Span, ...] = ()
    """Where else the same notes stand, in order."""
    alike: tuple[Span, ...] = ()
    """Where much the same stands: transposed, or with other ends."""
    elsewhere: tuple[range, ...] = ()
    """The notes of both."""


def hard_spots(
    judged: VoiceDemand, top: int | None = None, marked: Sequence[Span] = ()
) -> tuple[HardSpot, ...]:
    """The hard spots of a voice, the hardest first, ``top`` of them or all.

    Spots that share a note with what the player ``marked``, wherever their music
    stands, are left out, and so is a stretch that no place text can name (bars
    without numbers).
    """
    theirs = [notes_in(judged.part, judged.line, span) for span in marked]
    speeds = Speeds(judged)
    likeness = Likeness(judged)
    found: list[HardSpot] = []
    for group in grouped(judged, passages(judged, speeds)):
        if len(found) == top:
            break
        if any(_share(one.notes, other) for one in group for other in theirs):
            continue
        spot = _spot(judged, speeds, likeness, group)
        found += [] if spot is None else [spot]
    return tuple(found)


def _spot(
    judged: VoiceDemand, speeds: Speeds, likeness: Likeness, group: Sequence[Passage]
) -> HardSpot | None:
    first = group[0]
    span = span_of(judged.part, judged.line, first.notes)
    heart = span_of(judged.part, judged.line, first.heart)
    if span is None or heart is None:
        return None
    others = sorted(group[1:], key=lambda one: one.notes.start)
    named = [(one, span_of(judged.part, judged.line, one.notes)) for one in others]
    same = [(where, likeness.same(first, one)) for one, where in named if where is not None]
    return HardSpot(
        span=span,
        notes=first.notes,
        hardness=first.hardness,
        demands=tuple(judged.demands[index] for index in moves_of(judged, first.notes)),
        cores=cores_of(judged, first.notes),
        easy=easy_tempo(judged, first.notes, speeds),
        heart=heart,
        heart_notes=first.heart,
        again=tuple(where for where, exact in same if exact),
        alike=tuple(where for where, exact in same if not exact),
        elsewhere=tuple(one.notes for one in others),
    )


def _share(one: range, other: range) -> bool:
    return max(one.start, other.start) < min(one.stop, other.stop)
