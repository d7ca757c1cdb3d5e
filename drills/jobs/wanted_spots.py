"""The spots of a part that a sheet is wanted for, each with the entry that asks for it.

Spots come from the player (on the command line, or in a book) or, where the
player names none, from the marks in the score.  A stretch that is named twice
with the same note is wanted once.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from drills.errors import DrillsError
from drills.music.score import Part
from drills.music.time import START
from drills.places.finding import (
    Place,
    Span,
    find_span,
    marked_spans,
    split_places,
    written_place,
)
from drills.project.book import BookSpot
from drills.reading.source import ScoreSource, Typed


@dataclass(frozen=True, slots=True)
class Wanted:
    """A spot to make a sheet of."""

    span: Span
    note: str = ""
    """The player's own words."""
    where: str = field(default="", compare=False)
    """The entry, for messages; empty where the spot comes from no book."""


def wanted_spots(part: Part, spots: Sequence[BookSpot], where: str = "") -> tuple[Wanted, ...]:
    """The player's spots, or those that the score marks.

    ``where`` is the entry of the part.  Raises PlaceError, beginning with the spot's entry.
    """
    found: list[Wanted] = []
    for spot in spots:
        with about(spot.where or where):
            spans = [find_span(part, place) for place in split_places(spot.at)]
        found += [Wanted(span, spot.note, spot.where or where) for span in spans]
    found = found or [Wanted(span, "", where) for span in marked_spans(part)]
    once: dict[object, Wanted] = {}
    for one in found:
        span = one.span
        once.setdefault((span.first, span.end, span.includes_end, one.note), one)
    return tuple(once.values())


def places_in(source: ScoreSource, part: Part, places: Sequence[str]) -> Sequence[str]:
    """The places that are named; of typed notes all that was typed, where none is."""
    if places or not isinstance(source, Typed):
        return places
    first, last = (written_place(part, Place(index, START)) for index in (0, len(part.bars) - 1))
    return (first if first == last else f"{first}-{last}",)


@contextlib.contextmanager
def about(where: str) -> Iterator[None]:
    """Begin the message of any error with the entry that it is about, if there is one."""
    try:
        yield
    except DrillsError as error:
        if not where:
            raise
        raise type(error)(f"{where}: {error}") from error
