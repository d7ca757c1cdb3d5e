"""A section as data: as documented, exact, and valid by its schema."""

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

import drills
from drills.music.notes import Note, Voice
from drills.music.pitch import Unpitched
from drills.music.score import Part
from drills.output.data import json_text, section_data, sheets_data
from drills.reading.musicxml import open_score, read_all
from drills.section.making import make_section
from drills.sheets.choices import Choices
from tests.music_made import notes
from tests.output.json_example import DOCS, PAGE
from tests.output.test_data import IN_WORDS, REGISTRY, errors
from tests.section.made import B_FLAT, part, with_bar

SCHEMA = json.loads((DOCS / "schema" / "section.json").read_text(encoding="utf-8"))
SCORES = Path(drills.__file__).parent.parent / "scores"
CHORALE = Path(music21.__file__).parent / "corpus" / "bach" / "bwv66.6.mxl"
CHOICES = Choices(sizes=(2,), rhythms=())


def complaints(data: object) -> list[str]:
    """What the schema has against data that went through JSON text."""
    validator = jsonschema.Draft202012Validator(SCHEMA, registry=REGISTRY)
    return [error.message for error in validator.iter_errors(data)]


def data_of(parts: list[Part], at: str, **more: object) -> dict[str, Any]:
    made = make_section(parts, range(len(parts)), at, CHOICES, **more)  # type: ignore[arg-type]
    found: dict[str, Any] = json.loads(json_text(section_data(made)))
    assert complaints(found) == []
    return found


def trio() -> list[Part]:
    return [
        part("Flute", ["E5 F5 G5 E5", "D5 C5 r r"]),
        part("Clarinet in B flat", ["D5 D5 D5 D5", "E5 E5 E5 E5"], moved=B_FLAT),
        part("Tuba", ["C3", "G2"], kind="whole"),
    ]


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_every_field_is_documented() -> None:
    page = PAGE.read_text(encoding="utf-8").partition("## Example")[0]
    named = {word for code in page.split("`")[1::2] for word in code.replace(",", " ").split()}
    fields = set(_fields(SCHEMA))
    assert {"slices", "doublings", "certainty", "cents"} <= fields
    assert fields <= named | IN_WORDS


def _fields(schema: object) -> Iterator[str]:
    """Every name under "properties", however deep."""
    if isinstance(schema, dict):
        yield from schema.get("properties", {})
        for value in schema.values():
            yield from _fields(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from _fields(value)


def test_the_fields_of_a_slice() -> None:
    """Beat 2 of bar 1, worked out by hand: F over C, a note that passes."""
    found = data_of(trio(), "1", said=[("1", "C")])
    assert [one["beat"] for one in found["slices"]] == ["1", "2", "3", "4"]
    second = found["slices"][1]
    assert (second["start"], second["length"], second["bar"]) == ("1", "1", "1")
    assert second["chord"] == {
        "name": "C",
        "kind": "major",
        "root": "C",
        "bass": None,
        "source": "player",
        "certainty": "1",
        "start": "0",
        "length": "4",
    }
    flute, clarinet, tuba = second["notes"]
    assert flute == {
        "player": 0,
        "written": "F5",
        "written_midi": 77,
        "sounding": "F5",
        "midi": 77,
        "begins": True,
        "function": {"label": "p", "words": "passing note", "role": "passing"},
        "cents": None,
    }
    assert (clarinet["written"], clarinet["sounding"], clarinet["midi"]) == ("D5", "C5", 72)
    assert clarinet["function"]["words"] == "root"
    assert (tuba["begins"], tuba["cents"]) == (False, 0)


def test_cents_are_those_of_pure_intervals() -> None:
    """A major third 5:4 is 386.314 cents, 13.686 less than four semitones."""
    first = data_of(trio(), "1", said=[("1", "C")])["slices"][0]
    assert first["notes"][0]["cents"] == pytest.approx(386.314 - 400, abs=0.001)


def test_players_with_silence_and_doublings() -> None:
    parts = [*trio(), part("Oboe", ["C5 C5 C5 C5", "D5 D5 D5 D5"]), part("Bassoon", ["r r r r"])]
    found = {one["part"]: one for one in data_of(parts, "1-2")["players"]}
    assert found["Bassoon"]["silence"] == "rests in bar 1"
    assert found["Bassoon"]["asked"] == "1"
    assert found["Oboe"]["doublings"] == ["with Clarinet in B flat"]
    assert found["Clarinet in B flat"]["instrument"]["transposition"] == {
        "diatonic": -1,
        "chromatic": -2,
    }
    early = {one["part"]: one for one in data_of(parts, "2")["players"]}
    assert early["Bassoon"]["words"] is None


def test_drums_have_a_head_and_no_pitch() -> None:
    (note,) = notes("C5", "whole")
    assert isinstance(note, Note)
    drum = replace(note, tones=(Unpitched("C", 5, "snare"),))
    side = with_bar(part("Drums", ["r"], kind="whole"), 0, voices=(Voice("1", (drum,)),))
    found = data_of([*trio(), side], "1")
    (hit,) = [one for one in found["slices"][0]["notes"] if one["player"] == 3]
    assert hit["head"] == "C5"
    assert hit["drum"] == "snare"
    assert hit["function"] is hit["cents"] is None


@pytest.mark.parametrize("name", ["march", "air", "swing"])
def test_the_demo_scores_and_their_sheets(name: str) -> None:
    parts = read_all(open_score(SCORES / f"{name}.musicxml"))
    made = make_section(parts, range(len(parts)), "5-12", Choices())
    found = json.loads(json_text(section_data(made)))
    assert complaints(found) == []
    assert errors(sheets_data([p.sheet for p in made.players if p.sheet]), "sheet") == []
    for one, other in zip(found["slices"], found["slices"][1:], strict=False):
        assert Fraction(one["start"]) + Fraction(one["length"]) == Fraction(other["start"])


def test_a_chorale_with_chords_from_its_notes() -> None:
    parts = list(read_all(open_score(CHORALE)))
    found = data_of(parts, "1-4")
    sources = {one["chord"]["source"] for one in found["slices"] if one["chord"]}
    assert sources == {"notes"}
    assert all(0 <= Fraction(one["chord"]["certainty"]) <= 1 for one in found["slices"])


def test_the_chords_of_a_sheet_know_their_notes() -> None:
    """A note that is held for a chord has its number in the line, and no other."""
    made = make_section(trio(), (0, 1, 2), "1-2", CHOICES, said=[("1", "C"), ("2", "G7")])
    (sheet,) = [p.sheet for p in made.players if p.part.name == "Flute"]
    assert sheet is not None
    data = json.loads(json_text(sheets_data([sheet])))["sheets"][0]
    (drill,) = [one for one in data["drills"] if one["kind"] == "chord"]
    numbers = [e.get("number") for bar in drill["bars"] for v in bar["voices"] for e in v["events"]]
    assert numbers == [1, 5]
    assert [one["text"] for one in drill["under"]] == ["3", "5"]
    assert [(one["root"], one["remark"]) for one in drill["chords"][:1]] == [("C", "as you said")]
    assert [one["functions"][0]["label"] for one in data["spot"]["line"]][:3] == ["3", "p", "5"]
