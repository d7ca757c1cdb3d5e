"""A part as data: what is in the file, as a player sees it."""

from __future__ import annotations

from drills.music.score import Bar, ChordSymbol, Direction, Part
from drills.output.data.music import (
    attacks_of,
    bars_data,
    clef_data,
    instrument_data,
    key_data,
    tempo_mark_data,
)
from drills.output.data.text import SCHEMA, Data, exact, without_empty


def part_data(part: Part) -> Data:
    """One part with all its bars, in the form of docs/schema/part.json."""
    bars = bars_data(part.bars, attacks_of(part.bars))
    return {
        "schema": SCHEMA,
        "name": part.name,
        "id": part.part_id,
        "staff": part.staff,
        "source": part.source,
        "title": part.credits.title,
        "composer": part.credits.composer,
        "rights": part.credits.rights,
        "instrument": instrument_data(part.instrument),
        "bars": [{**data, **_in_part(bar)} for bar, data in zip(part.bars, bars, strict=True)],
        "remarks": list(part.remarks),
    }


def _in_part(bar: Bar) -> Data:
    """What a bar of a score has beside its notes; what is absent is not there."""
    return {
        "index": bar.index,
        "instrument": instrument_data(bar.instrument),
        **without_empty(
            {
                "lacks": exact(bar.offset.quarters) if bar.offset else "",
                "marks": [mark.text for mark in bar.marks],
                "tempos": [tempo_mark_data(mark) for mark in bar.tempos],
                "chords": [_chord_data(chord) for chord in bar.chords],
                "directions": [_direction_data(direction) for direction in bar.directions],
                "clef_changes": [
                    {"start": exact(at.quarters), "clef": clef_data(clef)}
                    for at, clef in bar.clef_changes
                ],
                "key_changes": [
                    {"start": exact(at.quarters), "key": key_data(key)}
                    for at, key in bar.key_changes
                ],
                "starts_repeat": bar.starts_repeat,
                "ends_repeat": bar.ends_repeat or None,
                "ending": bar.ending,
                "final": bar.final,
            }
        ),
    }


def _chord_data(chord: ChordSymbol) -> Data:
    degrees = [
        {"number": degree.number, "alter": exact(degree.alter), "kind": degree.kind}
        for degree in chord.degrees
    ]
    return {
        "start": exact(chord.start.quarters),
        "root": chord.root,
        "kind": chord.kind,
        **without_empty({"text": chord.text, "bass": chord.bass, "degrees": degrees}),
    }


def _direction_data(direction: Direction) -> Data:
    return {
        "start": exact(direction.start.quarters),
        "kind": direction.kind,
        "text": direction.text,
    }
