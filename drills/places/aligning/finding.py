"""A place that a player says, in several parts at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from drills.errors import PlaceError
from drills.places.aligning.aligned import Aligned
from drills.places.finding import Span, find_span


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of common time, and what it is in each part."""

    low: Fraction
    high: Fraction
    includes_end: bool
    """True: what is attacked at ``high`` belongs to it."""
    said_by: int
    """Index of the part whose numbers and marks count."""
    span: Span
    """The stretch as that part reads it."""
    spans: tuple[Span | None, ...]
    """In the chosen parts, in their order; None where a part has no bar there."""
    remarks: tuple[str, ...] = ()
    """That parts read the place differently."""


_Reading = tuple[Fraction, Fraction, bool]


def find_stretch(aligned: Aligned, text: str, chosen: Sequence[int]) -> Stretch:
    """Where ``text`` lies, as most of the chosen parts that know it read it.

    Of readings with equally many parts that of the first part counts; where no
    chosen part knows the place, all parts are asked.  Raises PlaceError, with
    the words of the first chosen part, where none knows it.
    """
    known = _readings(aligned, text, chosen)
    if not known:
        known = _readings(aligned, text, range(len(aligned.parts)))
    if not known:
        first = aligned.parts[chosen[0] if chosen else 0]
        find_span(first, text)  # raises, with the reason
    votes = Counter(reading for reading, _ in known.values())
    low, high, includes = max(votes, key=lambda reading: votes[reading])
    said_by = next(p for p, (reading, _) in known.items() if reading == (low, high, includes))
    span = known[said_by][1]
    return Stretch(
        low,
        high,
        includes,
        said_by,
        span,
        tuple(
            known[part][1]
            if part in known and known[part][0] == (low, high, includes)
            else aligned.span_between(part, low, high, includes_end=includes)
            for part in chosen
        ),
        _disagreements(aligned, known, said_by, (low, high, includes)),
    )


def find_everywhere(aligned: Aligned, text: str, chosen: Sequence[int]) -> tuple[Span | None, ...]:
    """The stretch in each chosen part; see find_stretch, which also tells who disagrees."""
    return find_stretch(aligned, text, chosen).spans


def _readings(
    aligned: Aligned, text: str, parts: Sequence[int]
) -> dict[int, tuple[_Reading, Span]]:
    """What each part that knows the place reads it as."""
    found = {}
    for part in parts:
        try:
            span = find_span(aligned.parts[part], text)
        except PlaceError:
            continue
        found[part] = ((*aligned.times_of(part, span), span.includes_end), span)
    return found


def _disagreements(
    aligned: Aligned, known: dict[int, tuple[_Reading, Span]], said_by: int, counts: _Reading
) -> tuple[str, ...]:
    """For each part that reads the place elsewhere, what it is there."""
    found = []
    for part, (reading, span) in known.items():
        if reading == counts:
            continue
        own = aligned.span_between(part, counts[0], counts[1], includes_end=counts[2])
        name, other = aligned.parts[said_by].name, aligned.parts[part].name
        where = "nothing" if own is None else own.words
        found.append(
            f"{span.asked} is read as in {name}, where it is {known[said_by][1].words}; "
            f"that is {where} in {other}"
        )
    return tuple(found)
