"""The line of a spot as the part has it: what is played at the end of a practice."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from drills.music.notes import Articulation, Event, Note, Rest, Voice
from drills.music.score import Bar
from drills.notation.beams import with_whole_beams
from drills.places.spots import Attack
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.excerpt import Excerpt
from drills.sheets.own_rhythm import AS_WRITTEN


def as_written(excerpt: Excerpt, line: Sequence[Attack]) -> Drill:
    """The whole line as the part has it, without what comes before and without its marks."""
    origins = {(a.origin.bar, a.origin.start) for a in line if a.origin is not None}
    bars = _slurs_whole([_bare(bar, index, origins) for index, bar in enumerate(excerpt.bars)])
    return Drill(
        DrillKind.LINE,
        "as written",
        AS_WRITTEN,
        len(line),
        ((line[0].number, line[-1].number),),
        bars,
        repeated=False,
    )


def _bare(bar: Bar, index: int, origins: Collection[object]) -> Bar:
    """A bar of the excerpt as a bar of a drill: its notes alone, others as rests."""
    events: list[Event] = []
    sounding = index > 0
    for event in bar.voices[0].events if bar.voices else ():
        if not isinstance(event, Note):
            events.append(event)
            continue
        sounding = (bar.index, event.start) in origins or (event.tie_stop and sounding)
        plain = tuple(a for a in event.articulations if a is not Articulation.FERMATA)
        kept = replace(event, articulations=plain)
        silence = Rest(event.start, event.length, event.value, event.tuplets)
        events.append(kept if sounding else silence)
    return replace(
        bar,
        index=index,
        number=str(index + 1),
        voices=(Voice("1", with_whole_beams(events)),),
        marks=(),
        tempos=(),
        chords=(),
        directions=(),
        starts_repeat=False,
        ends_repeat=0,
        ending="",
        final=False,
    )


def _slurs_whole(bars: Sequence[Bar]) -> tuple[Bar, ...]:
    """Without the ends of slurs that began on notes which are no longer there."""
    notes = [e for bar in bars for e in bar.voices[0].events if isinstance(e, Note)]
    begun = {slur for note in notes for slur in note.slur_starts}
    begun |= {slur for note in notes for grace in note.graces for slur in grace.slur_starts}

    def mended(event: Event) -> Event:
        if not isinstance(event, Note):
            return event
        return replace(event, slur_stops=tuple(s for s in event.slur_stops if s in begun))

    return tuple(
        replace(bar, voices=(Voice("1", tuple(map(mended, bar.voices[0].events))),)) for bar in bars
    )
