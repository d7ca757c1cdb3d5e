"""A stretch of notes as a place text that a player could have typed.

Method.  From the plainest text to the most exact (a bar, bars, a beat, from one
attack to another), the first that find_span reads back to the very same notes; so
a proposed spot can be copied into a command or a book.
"""

from __future__ import annotations

from collections.abc import Iterator

from drills.errors import PlaceError
from drills.music.lines import VoiceLine, bar_starts
from drills.music.score import Part
from drills.music.time import START
from drills.places.bar_names import completes_previous
from drills.places.finding import Place, Span, find_span, written_place
from drills.places.words import first_half, place_words, stretch_words


def span_of(part: Part, line: VoiceLine, notes: range) -> Span | None:
    """The span whose notes are these sounds of a voice.

    None where no text names them: bars without numbers, or notes that share their
    place with others.
    """
    for text in _texts(part, line, notes):
        try:
            span = find_span(part, text)
        except PlaceError:
            continue
        if notes_in(part, line, span) == notes:
            return span
    return None


def plain_words(part: Part, span: Span) -> str:
    """A span as a player says it, without the rehearsal mark: "bars 74 to 93"."""
    first, end = span.first, span.end
    whole = first.start == START and not completes_previous(part, first.bar)
    begins = (first.bar, None if whole else first.start)
    if span.includes_end:
        return stretch_words(part, begins, (end.bar, end.start), marks=False)
    bar = part.bars[end.bar]
    ends_bar = end.start >= START + bar.length
    if ends_bar and first_half(part, first.bar) == first_half(part, end.bar):
        last_beat = first.start + bar.time.beat >= end.start
        if whole or last_beat:
            return place_words(part, *begins, marks=False)
    if not ends_bar:
        return place_words(part, first.bar, first.start, marks=False)
    return stretch_words(part, begins, (end.bar, None), marks=False)


def notes_in(part: Part, line: VoiceLine, span: Span) -> range:
    """Indices of the sounds that begin in a span."""
    starts = bar_starts(part)
    low = starts[span.first.bar] + span.first.start.quarters
    high = starts[span.end.bar] + span.end.start.quarters
    return line.between(low, high, includes_high=span.includes_end)


def _texts(part: Part, line: VoiceLine, notes: range) -> Iterator[str]:
    """Ways to write it, the plainest first."""
    begin, end = (line.sounds[index].origin for index in (notes[0], notes[-1]))
    bars = [written_place(part, Place(bar, START)) for bar in (begin.bar, end.bar)]
    from_bar, to_bar = (text.partition("@")[0] for text in bars)
    beats = [
        written_place(part, Place(origin.bar, origin.start), always_beat=True)
        for origin in (begin, end)
    ]
    if from_bar == to_bar:
        yield from_bar
        yield beats[0]
    else:
        yield f"{from_bar}-{to_bar}"
        yield f"{from_bar}-{beats[1]}"
    yield f"{beats[0]}-{to_bar}"
    yield f"{beats[0]}-{beats[1]}"
