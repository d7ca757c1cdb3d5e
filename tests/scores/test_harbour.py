"""The book of the programme: every place exists, and every player's note says something."""

from __future__ import annotations

import datetime
import tomllib

import pytest
from lxml import etree

from drills.places.finding import find_span, marked_spans
from drills.places.spots import make_spot
from drills.project.book import BookPart, read_book
from drills.reading.musicxml import open_score, read_part
from tests.scores.heard import FOLDER

PATH = FOLDER / "harbour.toml"


def test_the_book_is_toml_with_what_a_book_needs() -> None:
    content = tomllib.loads(PATH.read_text(encoding="utf-8"))
    assert content["title"]
    assert isinstance(content["first-rehearsal"], datetime.date)
    spots = [spot for part in content["part"] for spot in part.get("spot", [])]
    assert len(spots) >= 8
    assert len(content["part"]) >= 5
    assert all(len(spot["note"]) > 20 for spot in spots)
    assert {part["file"] for part in content["part"]} == {
        "march.musicxml",
        "air.musicxml",
        "swing.musicxml",
    }


def test_every_part_of_the_book_is_in_its_score() -> None:
    for part in read_book(PATH).parts:
        root = etree.parse(str(part.path), etree.XMLParser(no_network=True)).getroot()
        assert part.part in [name.text for name in root.iterfind("part-list/score-part/part-name")]


@pytest.mark.parametrize(
    "entry", read_book(PATH).parts, ids=lambda entry: f"{entry.part}, {entry.file}"
)
def test_every_spot_is_a_place_with_moves_in_it(entry: BookPart) -> None:
    part = read_part(open_score(entry.path), entry.part)
    spans = [find_span(part, spot.at) for spot in entry.spots] or list(marked_spans(part))
    assert spans
    for span in spans:
        assert len(make_spot(part, span).line) >= 5


def test_a_score_without_a_number_has_its_tempo_from_the_book() -> None:
    tempos = {(part.file, part.tempo is None) for part in read_book(PATH).parts}
    assert ("air.musicxml", False) in tempos
    assert ("air.musicxml", True) not in tempos
    assert ("march.musicxml", True) in tempos
