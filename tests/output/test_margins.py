"""Nothing is wider than a line: every part of the demo music, in every order of cells.

LilyPond itself measures what it has set: the text makes it warn of each system and each
text that stands over a margin, and a test shows that it does.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import cycle
from pathlib import Path

import pytest

from drills.errors import NotationError, PlaceError
from drills.music.score import Part
from drills.output.engrave import engrave
from drills.output.lilypond import PAPERS, Page, sheets_text
from drills.places.finding import find_span
from drills.reading.musicxml import open_score, read_all
from drills.rewriting.asked import rewriting_for
from drills.rewriting.rewrite import rewritten
from drills.sheets.cells import Order
from drills.sheets.choices import Choices
from drills.sheets.drill import Ending
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet

SCORES = Path(__file__).parent.parent.parent / "scores"
MARK = "drills-made-from:0123456789abcdef"
EVERY = 7
"""Bars from one spot of a part to the next."""


@pytest.fixture(name="parts", scope="module")
def _parts() -> tuple[Part, ...]:
    scores = sorted(SCORES.glob("*.musicxml"))
    return tuple(part for score in scores for part in read_all(open_score(score)))


def demo_sheets(parts: tuple[Part, ...]) -> Iterator[Sheet]:
    """Spots all over the demo music, each in the next order and with the next ending."""
    ways = cycle((order, ending) for order in Order for ending in Ending)
    for part in parts:
        for bar in part.bars[:-1:EVERY]:
            order, ending = next(ways)
            try:
                span = find_span(part, f"bar{bar.number}")
                yield make_sheet(part, span, Choices(order=order, ending=ending))
            except (NotationError, PlaceError):  # nothing to drill, or nothing that moves
                continue


def for_double_bass(parts: tuple[Part, ...]) -> Sheet:
    """Growing cells of a bar in a key of three signs: eleven time signatures on six rows."""
    clarinet = next(part for part in parts if part.name == "Clarinet 1 in B flat")
    span = find_span(clarinet, "C:8")
    bass = rewritten(clarinet, rewriting_for("double bass"), [span])
    return make_sheet(bass, span, Choices(order=Order.GROW))


@pytest.mark.parametrize("paper", PAPERS)
def test_no_system_is_wider_than_the_line(parts: tuple[Part, ...], paper: str) -> None:
    """Every other sheet on each paper."""
    sheets = tuple(demo_sheets(parts))[list(PAPERS).index(paper) :: len(PAPERS)]
    assert len(sheets) > 20
    made = engrave([sheets_text(sheets, Page(paper), MARK)])
    assert made.warnings == ()
    assert made.remarks == ()


@pytest.mark.parametrize("staff", [20.0, 21.0])
def test_growing_cells_with_a_time_signature_each_have_room(
    parts: tuple[Part, ...], staff: float
) -> None:
    made = engrave([sheets_text([for_double_bass(parts)], Page("a4", staff), MARK)])
    assert made.warnings == ()
    assert made.remarks == ()


@pytest.mark.parametrize(
    ("name", "bar", "staff"), [("Oboe", "20", 26), ("Oboe", "25", 26), ("Oboe", "5", 30)]
)
def test_large_staves_turn_a_page_rather_than_being_squeezed(
    parts: tuple[Part, ...], name: str, bar: str, staff: float
) -> None:
    """Bars of few notes, whose many short systems nearly fill a page."""
    part = next(part for part in parts if part.name == name)
    sheet = make_sheet(part, find_span(part, f"bar{bar}"), Choices())
    made = engrave([sheets_text([sheet], Page("letter", staff), MARK)])
    assert made.warnings == ()
    assert made.pages == ((2,),)


def test_what_is_wider_than_the_line_is_told(parts: tuple[Part, ...]) -> None:
    """The same text on a line of half the width, where no row of cells has room."""
    text = sheets_text([for_double_bass(parts)], Page(), MARK)
    narrow = text.replace(r"right-margin = 13\mm", r"right-margin = 105\mm")
    assert narrow != text
    made = engrave([narrow])
    assert any("over the margin" in warning for warning in made.warnings)
    assert "something is wider than the page; choose a smaller --staff-size" in made.remarks
