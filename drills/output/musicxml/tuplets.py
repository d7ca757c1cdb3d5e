"""What a tuplet's bracket needs to know about the whole tuplet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drills.music.notes import Beam, Event, Note
from drills.music.time import START, Length, NoteValue


@dataclass(frozen=True, slots=True)
class TupletSpan:
    """One tuplet: its notes are ``first`` to ``last`` of a voice, at one depth."""

    depth: int
    """0 for the outermost."""
    first: int
    last: int
    unit: NoteValue | None
    """The value that its figure counts: the eighth of an eighth triplet."""
    bracket: bool
    """False where one beam covers exactly its notes: the figure is enough."""


def tuplet_spans(events: Sequence[Event]) -> dict[tuple[int, int], TupletSpan]:
    """(Index of an event, depth) -> the tuplet that it belongs to at that depth."""
    found: dict[tuple[int, int], TupletSpan] = {}
    first: dict[int, int] = {}
    for index, event in enumerate(events):
        for depth, bracket in enumerate(event.tuplets):
            if bracket.starts:
                first[depth] = index
            if bracket.stops and depth in first:
                begin = first.pop(depth)
                span = _span(events[begin : index + 1], depth, begin)
                found.update({(member, depth): span for member in range(begin, index + 1)})
    return found


def _span(members: Sequence[Event], depth: int, first: int) -> TupletSpan:
    opened = members[0].tuplets
    lasts = Length((members[-1].start + members[-1].length - START).quarters) - (
        members[0].start - START
    )
    for outer in opened[:depth]:
        lasts = Length(lasts.quarters / outer.ratio.factor)
    unit = NoteValue.of(Length(lasts.quarters / opened[depth].ratio.normal), max_dots=2)
    return TupletSpan(depth, first, first + len(members) - 1, unit, not _beamed_alone(members))


def _beamed_alone(members: Sequence[Event]) -> bool:
    """True where the members are all the notes of one primary beam, and of one tuplet."""
    beams = [event.beam for event in members if isinstance(event, Note)]
    plain = all(len(event.tuplets) == 1 for event in members)
    whole = [Beam.START, *[Beam.CONTINUE] * (len(members) - 2), Beam.STOP]
    return plain and len(members) > 1 and beams == whole
