"""Sheets as data: the spot, its line, cells, ladder, and every drill bar by bar."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from drills.music.notes import Note, Origin
from drills.music.pitch import CONCERT, Transposition
from drills.music.score import Bar
from drills.music.tempo import Tempo
from drills.output.data.blocks import blocks_data, ladder_data, plan_data
from drills.output.data.harmony import function_data
from drills.output.data.music import (
    Attacks,
    attacks_of,
    bars_data,
    graces_data,
    instrument_data,
    tones_data,
)
from drills.output.data.text import SCHEMA, Data, exact, without_empty
from drills.places.bar_names import spoken_beat
from drills.places.spots import Attack, Spot
from drills.sheets.blocks import Block, BlockKind
from drills.sheets.drill import Drill, DrillKind
from drills.sheets.sheet import Sheet


def sheets_data(sheets: Iterable[Sheet]) -> Data:
    """Everything on some sheets, in the form of docs/schema/sheet.json."""
    return {"schema": SCHEMA, "sheets": [sheet_data(sheet) for sheet in sheets]}


def sheet_data(sheet: Sheet) -> Data:
    """One sheet; the fields are described in docs/json.md."""
    bars = sheet.excerpt.bars
    about = {
        "title": sheet.credits.title,
        "composer": sheet.credits.composer,
        "rights": sheet.credits.rights,
        "source": sheet.source,
        "part": sheet.part,
    }
    return {
        **about,
        "instrument": instrument_data(bars[0].instrument) if bars else None,
        "spot": _spot_data(sheet),
        "excerpt": {
            "bars": bars_data(bars, _numbered(attacks_of(bars), sheet)),
            "open_ended": sheet.excerpt.open_ended,
        },
        "tempo": _tempo_data(sheet.tempo),
        "ladder": ladder_data(sheet.ladder),
        "plan": plan_data(sheet),
        "blocks": blocks_data(sheet),
        "cells": [_cells_data(g) for g in sheet.blocks if g.kind is BlockKind.CELLS],
        "drills": [_drill_data(d, block, sheet) for block in sheet.blocks for d in block.drills],
        "cautions": list(sheet.cautions),
        "remarks": list(sheet.remarks),
    }


# --- the spot -------------------------------------------------------------------


def _spot_data(sheet: Sheet) -> Data:
    spot = sheet.spot
    return {
        "asked": spot.span.asked,
        "words": sheet.words,
        "note": spot.note,
        "voice": spot.voice,
        "approach": spot.approach or None,
        "landing": spot.landing or None,
        "runs": [[run.attacks[0].number, run.attacks[-1].number] for run in spot.runs],
        "slurs": [[slur.first, slur.last] for slur in spot.slurs],
        "line": [
            {**_attack_data(attack, sheet), **_functions_data(index, sheet)}
            for index, attack in enumerate(spot.line)
        ],
        "moves": [
            {
                "notes": [number, number + 1],
                "cost": move.cost,
                "words": move.words,
                "hard": number + 1 in sheet.hard,
            }
            for number, move in enumerate(sheet.moves, 1)
            if move is not None
        ],
    }


def _attack_data(attack: Attack, sheet: Sheet) -> Data:
    moved = _transposition(attack, sheet)
    return {
        "number": attack.number,
        "tones": tones_data(attack.tones, moved),
        "length": exact(attack.length.quarters),
        **_place_data(attack, sheet),
        **without_empty(
            {
                "articulations": [sign.value for sign in attack.articulations],
                "graces": graces_data(attack.graces, moved),
                "graces_after": graces_data(attack.graces_after, moved),
            }
        ),
    }


def _functions_data(index: int, sheet: Sheet) -> Data:
    """What each tone of a note does in the chord, where chords are known."""
    found = sheet.functions[index] if index < len(sheet.functions) else ()
    later = [
        {
            "after": exact(one.after.quarters),
            "functions": [function_data(function) for function in one.tones],
        }
        for one in sheet.held
        if one.number == index + 1
    ]
    return without_empty(
        {"functions": [function_data(function) for function in found], "held": later}
    )


def _place_data(attack: Attack, sheet: Sheet) -> Data:
    """The printed bar, the beat as it is counted, and the exact place in the bar."""
    origin = attack.origin
    if origin is None:
        return {}
    bar = next((bar for bar in sheet.excerpt.bars if bar.index == origin.bar), None)
    beat = None if bar is None else spoken_beat(bar, origin.start)
    return {
        "bar": origin.number,
        "start": exact(origin.start.quarters),
        **without_empty({"beat": beat}),
    }


def _transposition(attack: Attack, sheet: Sheet) -> Transposition:
    """The one in force in the attack's bar."""
    at = -1 if attack.origin is None else attack.origin.bar
    found = [bar for bar in sheet.excerpt.bars if bar.index == at] or sheet.excerpt.bars
    return found[0].instrument.transposition if found else CONCERT


def _numbered(attacks: Attacks, sheet: Sheet) -> Attacks:
    """The attacks of the excerpt with the numbers that are printed under them."""
    places = {(number.bar, number.start): number.number for number in sheet.excerpt.numbers}
    numbers = {}
    for bar, voice, index in attacks.lengths:
        found = sheet.excerpt.bars[bar].voice(voice)
        place = (bar, found.events[index].start) if found else None
        if place in places:
            numbers[bar, voice, index] = places[place]
    return replace(attacks, numbers=numbers)


# --- tempo ----------------------------------------------------------------------


def _tempo_data(tempo: Tempo) -> Data:
    return {
        "number": exact(tempo.number),
        "beat": exact(tempo.beat.quarters),
        "source": tempo.source,
    }


# --- cells and drills -----------------------------------------------------------


def _cells_data(block: Block) -> Data:
    """The cells of one heading before and after equal ones were merged."""
    return {
        "title": block.title,
        "before_merging": [list(found) for found in block.before_merging],
        "after_merging": [
            {
                "size": drill.size,
                "times": len(drill.ranges),
                "notes": [list(found) for found in drill.ranges],
            }
            for drill in block.drills
        ],
    }


def _drill_data(drill: Drill, block: Block, sheet: Sheet) -> Data:
    attacks = attacks_of(drill.bars)
    numbers = dict(zip(attacks.lengths, _numbers(drill, attacks, sheet.spot), strict=True))
    known = {key: number for key, number in numbers.items() if number is not None}
    lasts = sum((bar.length.quarters for bar in drill.bars), Fraction(0))
    return {
        "block": block.key,
        "group": block.title,
        "kind": drill.kind.value,
        "label": drill.label,
        "rhythm": drill.rhythm,
        "size": drill.size,
        "places": [_range_data(first, last, sheet.spot) for first, last in drill.ranges],
        "repeated": drill.repeated,
        "length": exact(lasts),
        "bars": bars_data(drill.bars, replace(attacks, numbers=known)),
        **without_empty({"chords": _chords_data(drill.bars), "under": _under_data(drill)}),
    }


def _chords_data(bars: Sequence[Bar]) -> list[Data]:
    """The chord symbols over a drill, as written for the part."""
    return [
        {
            "bar": bar.number,
            "start": exact(symbol.start.quarters),
            "root": symbol.root,
            "kind": symbol.kind,
            **without_empty({"bass": symbol.bass, "remark": symbol.remark}),
        }
        for bar in bars
        for symbol in bar.chords
    ]


def _under_data(drill: Drill) -> list[Data]:
    """Functions and tunings, with the drill's own bar and the place in it."""
    return [
        {
            "bar": drill.bars[one.bar].number,
            "start": exact(one.start.quarters),
            **without_empty({"text": one.text, "cents": one.cents}),
        }
        for one in drill.under
    ]


def _range_data(first: int, last: int, spot: Spot) -> Data:
    """Note numbers and the printed bars in which they begin."""
    inside = [a for a in spot.line if first <= a.number <= last and a.origin is not None]
    bars = dict.fromkeys((a.origin.bar, a.origin.number) for a in inside if a.origin)
    return {"notes": [first, last], "bars": [number for _, number in bars]}


def _numbers(drill: Drill, attacks: Attacks, spot: Spot) -> Iterator[int | None]:
    """Each attack's number in the line at the drill's first place, once its tones agree.

    A cell that goes round begins again with its first note; a note that is held for a
    chord is known by the place it was taken from.
    """
    line = {attack.number: attack for attack in spot.line}
    places = {attack.origin: attack.number for attack in spot.line}
    first = drill.ranges[0][0]
    for place, (bar, voice, index) in enumerate(attacks.lengths):
        if drill.kind is DrillKind.CHORD:
            yield places.get(_origin(drill.bars[bar], voice, index))
            continue
        number = first + place % drill.size
        found = drill.bars[bar].voice(voice)
        event = found.events[index] if found else None
        same = isinstance(event, Note) and number in line and line[number].tones == event.tones
        yield number if same else None


def _origin(bar: Bar, voice: str, index: int) -> Origin | None:
    """Where a note of a drill was read."""
    found = bar.voice(voice)
    event = found.events[index] if found else None
    return event.origin if isinstance(event, Note) else None
