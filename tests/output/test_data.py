"""Sheets and parts as data: as documented, exact, and the same as every other output."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import music21
import pytest
from hypothesis import given, settings, strategies
from referencing import Registry, Resource

from drills.errors import DrillsError
from drills.music.notes import Note
from drills.music.score import Bar, Credits, Instrument, Part
from drills.music.tempo import Tempo
from drills.music.time import length
from drills.output.data import SCHEMA, json_text, part_data, sheets_data
from drills.output.midi import midi_bytes
from drills.places.finding import find_span
from drills.reading.musicxml import open_score, read_all
from drills.sheets.cells import Order
from drills.sheets.choices import Choices
from drills.sheets.drill import Ending
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from tests.output import json_example, smf
from tests.output.fixtures_time import (
    ALTO,
    CLARINET,
    OBOE,
    TIMES,
    bars,
    drill,
    group,
    sheet,
    sheets,
    texts,
)
from tests.output.test_musicxml import everything

SCHEMAS = {
    name: json.loads((json_example.DOCS / "schema" / f"{name}.json").read_text(encoding="utf-8"))
    for name in ("music", "sheet", "part", "spots", "practice")
}
REGISTRY: Registry[Any] = Registry().with_resources(
    [(schema["$id"], Resource.from_contents(schema)) for schema in SCHEMAS.values()]
)
NO_RHYTHMS = Choices(rhythms=())
SUITE = Path(music21.__file__).parent / "musicxml" / "lilypondTestSuite"


def errors(data: object, name: str) -> list[str]:
    """What the schema has against data that went through JSON text."""
    validator = jsonschema.Draft202012Validator(SCHEMAS[name], registry=REGISTRY)
    return [error.message for error in validator.iter_errors(json.loads(json_text(data)))]


def part_of(text: str, time: str = "4/4", instrument: Instrument = CLARINET) -> Part:
    music = bars(text, time, instrument)
    return Part("Clarinet 2", music[0].instrument, music, Credits("Harbour March"))


def data_of(part: Part, at: str, choices: Choices = NO_RHYTHMS) -> dict[str, Any]:
    made = make_sheet(part, find_span(part, at), choices)
    found = json.loads(json_text(sheets_data([made])))
    assert errors(found, "sheet") == []
    only: dict[str, Any] = found["sheets"][0]
    return only


def events_of(bars_: list[dict[str, Any]]) -> Iterator[tuple[Fraction, dict[str, Any]]]:
    """Every event with its place from the start of the bars."""
    for bar in bars_:
        for voice in bar["voices"]:
            for event in voice["events"]:
                yield Fraction(bar["start"]) + Fraction(event["start"]), event


# --- the schemas -----------------------------------------------------------------


@pytest.mark.parametrize("name", SCHEMAS)
def test_the_schemas_are_schemas(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMAS[name])


@given(sheets())
@settings(max_examples=25, deadline=None)
def test_any_sheet_is_as_the_schema_says(music: Sheet) -> None:
    assert errors(sheets_data([music, music]), "sheet") == []


@given(strategies.data())
@settings(max_examples=25, deadline=None)
def test_sheets_made_from_random_parts_are_too(data: strategies.DataObject) -> None:
    time = data.draw(strategies.sampled_from(TIMES))
    instrument = data.draw(strategies.sampled_from((CLARINET, ALTO, OBOE)))
    part = part_of(data.draw(texts(int(time[0]))), time, instrument)
    choices = Choices(
        order=data.draw(strategies.sampled_from(Order)),
        ending=data.draw(strategies.sampled_from(Ending)),
        approach=data.draw(strategies.booleans()),
    )
    assert errors(part_data(part), "part") == []
    try:
        made = make_sheet(part, find_span(part, "1"), choices)
    except DrillsError:  # a bar of rests, or a rhythm that cannot be written
        return
    assert errors(sheets_data([made]), "sheet") == []


@pytest.mark.parametrize("path", sorted(SUITE.glob("*.xml")), ids=lambda path: path.stem)
def test_parts_of_the_musicxml_test_suite_are_too(path: Path) -> None:
    """The suite that music21 carries: every feature of the format in small files."""
    for part in read_all(open_score(path)):
        assert errors(part_data(part), "part") == []


def test_a_bar_with_everything_is_too() -> None:
    full = replace(everything(), starts_repeat=True, ends_repeat=2, ending="1, 2", final=True)
    part = Part("Clarinet 2", CLARINET, (full,))
    assert errors(part_data(part), "part") == []
    (bar,) = json.loads(json_text(part_data(part)))["bars"]
    assert bar["marks"] == ["E", "12"]
    assert bar["tempos"][0] == {
        "start": "0",
        "number": "181/2",
        "beat": {"value": "quarter", "dots": 1},
        "text": "Con brio",
    }
    assert bar["chords"][1]["degrees"][0] == {"number": 9, "alter": "-1", "kind": "add"}
    assert (bar["starts_repeat"], bar["ends_repeat"], bar["ending"]) == (True, 2, "1, 2")
    assert [voice["name"] for voice in bar["voices"]] == ["1", "2", "3"]
    others = [event for voice in bar["voices"][1:] for event in voice["events"]]
    assert not any(event["attack"] for event in others if event["type"] == "note")


def test_the_schema_refuses_what_is_not_documented() -> None:
    data = sheets_data([sheet(group(drill(bars("C4/4 D4/2."))))])
    text = json_text(data)
    for changed in (
        text.replace('"attack"', '"strike"'),
        text.replace('"start": "1"', '"start": 1'),
        text.replace('"written": "D4"', '"written": "Re"'),
        text.replace('"schema": 1', '"schema": 2'),
        text.replace('"cautions"', '"more": 1, "cautions"'),
    ):
        assert changed != text
        assert errors(json.loads(changed), "sheet"), changed


def test_every_field_is_documented() -> None:
    page = json_example.PAGE.read_text(encoding="utf-8").partition("## Example")[0]
    named = {word for code in page.split("`")[1::2] for word in code.replace(",", " ").split()}
    for schema in SCHEMAS.values():
        for field in _fields(schema):
            assert field in named | IN_WORDS, f"docs/json.md does not speak of {field}"


IN_WORDS = {"sheets", "numbers", "words", "source", "sign", "line", "octave_change", "mode"} | {
    *("custom", "step", "alter", "diatonic", "chromatic", "voices", "slashed", "clef", "key")
}
"""Fields whose names say what they are, or that the page tells of in words."""


def _fields(schema: object) -> Iterator[str]:
    if isinstance(schema, dict):
        properties = schema.get("properties", {})
        yield from properties
        for value in schema.values():
            yield from _fields(value)
    if isinstance(schema, list):
        for value in schema:
            yield from _fields(value)


def test_the_example_of_the_page_is_current() -> None:
    """When it is meant to change: python -m tests.output.json_example."""
    assert json_example.shown() == json_example.example_text()
    assert errors(json.loads(json_example.shown()), "sheet") == []
    assert errors(part_data(json_example.example_part()), "part") == []


# --- what is in it ---------------------------------------------------------------


def test_the_worked_example_of_cells() -> None:
    """c d e f and the landing note g: cells of size k number n - k + 1, so 4 + 3 + 2."""
    part = part_of("C4/4 D4/4 E4/4 F4/4 | G4/1")
    found = data_of(part, "1")
    assert found["spot"]["landing"] == 5
    before = [cells["before_merging"] for cells in found["cells"]]
    assert before == [
        [[1, 2], [2, 3], [3, 4], [4, 5]],
        [[1, 3], [2, 4], [3, 5]],
        [[1, 4], [2, 5]],
    ]
    assert [d["places"] for d in found["drills"]][3] == [{"notes": [4, 5], "bars": ["1", "2"]}]


def test_equal_cells_tell_where_they_were() -> None:
    found = data_of(part_of("C4/4 D4/4 C4/4 D4/4"), "1", Choices(sizes=(2,), rhythms=()))
    assert found["cells"][0]["after_merging"] == [
        {"size": 2, "times": 2, "notes": [[1, 2], [3, 4]]},
        {"size": 2, "times": 1, "notes": [[2, 3]]},
    ]


def test_the_line_tells_bar_beat_and_exact_place() -> None:
    part = part_of("{3:2 C4/8 D4/8 E4/8} F4/8 G4/8~ | G4/4 'A4/16' B4/4>", "2/4")
    found = data_of(part, "1-2")["spot"]
    places = [(a["bar"], a["beat"], a["start"], a["length"]) for a in found["line"]]
    assert places == [
        ("1", "1", "0", "1/3"),
        ("1", "1+1/3", "1/3", "1/3"),
        ("1", "1+2/3", "2/3", "1/3"),
        ("1", "2", "1", "1/2"),
        ("1", "2.5", "3/2", "3/2"),
        ("2", "2", "1", "1"),
    ]
    last = found["line"][-1]
    assert last["articulations"] == ["accent"]
    assert [tone["written"] for tone in last["graces"][0]["tones"]] == ["A4"]
    assert [tone["sounding"] for tone in last["tones"]] == ["A4"]


@given(sheets())
@settings(max_examples=25, deadline=None)
def test_bars_are_full_and_numbers_are_right(music: Sheet) -> None:
    """Lengths add up to each bar; MIDI numbers are those that music21 gives the spelled pitch."""
    for one in json.loads(json_text(sheets_data([music])))["sheets"][0]["drills"]:
        for bar in one["bars"]:
            events = bar["voices"][0]["events"]
            assert sum(Fraction(event["length"]) for event in events) == Fraction(bar["length"])
        assert sum(Fraction(bar["length"]) for bar in one["bars"]) == Fraction(one["length"])
        for _, event in events_of(one["bars"]):
            for tone in event.get("tones", ()):
                assert _midi(tone["written"]) == tone["written_midi"]
                assert _midi(tone["sounding"]) == tone["midi"]


def _midi(name: str) -> int:
    return int(music21.pitch.Pitch(name.replace("b", "-")).midi)


@given(sheets())
@settings(max_examples=25, deadline=None)
def test_the_attacks_are_those_of_the_midi_file(music: Sheet) -> None:
    """Where there are no grace notes, starts and joined lengths agree to the tick."""
    plain = [
        replace(d, bars=tuple(_without_graces(bar) for bar in d.bars), repeated=False)
        for g in music.blocks
        for d in g.drills
    ]
    music = sheet(group(*plain))
    read = smf.read(midi_bytes([music], Tempo(Fraction(60), length(1)), count=False))
    notes = smf.notes(read.tracks[1])
    heard = [(Fraction(n.on), Fraction(n.off - n.on), n.key) for n in notes]
    told: list[tuple[Fraction, Fraction, int]] = []
    at = Fraction(0)
    for one in json.loads(json_text(sheets_data([music])))["sheets"][0]["drills"]:
        at += Fraction(one["bars"][0]["length"])  # the counted bar
        for start, event in events_of(one["bars"]):
            if event.get("attack"):
                place, lasts = (at + start) * read.division, Fraction(event["sounds"])
                told += [(place, lasts * read.division, tone["midi"]) for tone in event["tones"]]
        at += Fraction(one["length"])
    assert sorted(told) == sorted(heard)


def _without_graces(bar: Bar) -> Bar:
    events = tuple(
        replace(event, graces=()) if isinstance(event, Note) else event
        for event in bar.voices[0].events
    )
    return replace(bar, voices=(replace(bar.voices[0], events=events),))


def test_ties_are_marked_and_their_sound_is_joined() -> None:
    (one,) = json.loads(
        json_text(sheets_data([sheet(group(drill(bars("C4/2 D4/2~ | D4/4 E4/2."))))]))
    )["sheets"][0]["drills"]
    events = [event for _, event in events_of(one["bars"])]
    assert [event["attack"] for event in events] == [True, True, False, True]
    assert [event.get("sounds") for event in events] == ["2", "3", None, "3"]
    assert [event.get("tied_on", False) for event in events] == [False, True, False, False]
    assert [event.get("tied_from", False) for event in events] == [False, False, True, False]
    assert [event.get("number") for event in events] == [1, 2, None, 3]


def test_a_tie_to_nothing_is_not_joined() -> None:
    (bar,) = bars("C4/2~ C4/2")
    first, second = bar.voices[0].events
    assert isinstance(second, Note)
    apart = replace(bar.voices[0], events=(first, replace(second, tie_stop=False)))
    part = Part("Oboe", OBOE, (replace(bar, voices=(apart,)),))
    found = json.loads(json_text(part_data(part)))
    assert [event["sounds"] for _, event in events_of(found["bars"])] == ["2", "2"]


def test_a_cell_that_goes_round_counts_its_notes_again() -> None:
    rounds = Choices(sizes=(2,), rhythms=(), ending=Ending.ROUND)
    found = data_of(part_of("C4/4 D4/4 E4/2"), "1", rounds)
    numbers = [
        [event["number"] for _, event in events_of(one["bars"]) if event["type"] == "note"]
        for one in found["drills"]
    ]
    assert numbers == [[1, 2, 1, 2], [2, 3, 2, 3], [1, 2, 3]], "the line as written at the end"


def test_metronome_numbers_are_exact() -> None:
    run = "C4/16 D4/16 E4/16 F4/16 G4/4 A4/2"
    found = data_of(part_of(run), "1", Choices(tempo=Fraction(208)))
    assert found["tempo"] == {"number": "208", "beat": "1", "source": "as asked"}
    assert found["ladder"]["rungs"][-1] == "208"
    clicks = {click["words"]: click["numbers"][-1] for click in found["ladder"]["clicks"]}
    # a click every three sixteenths: 4/3 of the quarters a minute
    assert clicks["every three sixteenths"] == "832/3"


def test_a_part_tells_its_pickup_marks_and_repeats() -> None:
    music = bars("C4/4 | D4/1 | E4/1", instrument=OBOE)
    pickup = replace(music[0], number="0", offset=length(3))
    part = Part("Oboe", OBOE, (pickup, *music[1:]), source="air.musicxml")
    found = json.loads(json_text(part_data(part)))
    assert [bar["start"] for bar in found["bars"]] == ["0", "1", "5"]
    assert [bar.get("lacks") for bar in found["bars"]] == ["3", None, None]
    assert [bar["index"] for bar in found["bars"]] == [0, 1, 2]
    assert found["schema"] == SCHEMA


def test_microtones_and_drums() -> None:
    found = json.loads(json_text(part_data(part_of("C+4/4 Dd4/4 snare:C5/2", instrument=OBOE))))
    tones = [event["tones"][0] for _, event in events_of(found["bars"])]
    assert [tone.get("midi") for tone in tones] == [60.5, 61.5, None]
    assert tones[2] == {"head": "C5", "drum": "snare"}


# --- the text --------------------------------------------------------------------


def test_the_text_is_json_and_says_the_same() -> None:
    data = {
        "a": [1, 2.5, None, True],
        "b": {"c": 'ß ☂ "\\\n'},
        "long": ["x" * 60, "y" * 60],
        "d": {},
    }
    assert json.loads(json_text(data)) == data


def test_what_fits_stands_on_one_line() -> None:
    assert json_text({"a": [1, 2], "b": "x" * 96}) == (
        '{\n  "a": [1, 2],\n  "b": "' + "x" * 96 + '"\n}\n'
    )
    assert json_text([]) == "[]\n"


def test_half_a_surrogate_becomes_a_question_mark() -> None:
    assert json.loads(json_text(["march\udcff.xml"])) == ["march?.xml"]


def test_the_same_sheets_give_the_same_text() -> None:
    part = json_example.example_part()
    assert json_text(part_data(part)) == json_text(part_data(part))
