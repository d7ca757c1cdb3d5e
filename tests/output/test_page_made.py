"""What a page is made of beside its notes: headings that are repeated, fingering lines, rows,
air between blocks, how many pages."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import accumulate

import pytest

from drills.jobs.paper import PagesWanted, paper_for
from drills.output.engrave import engrave
from drills.output.lilypond import Page, sheets_text
from drills.output.lilypond.extents import number_level
from drills.output.lilypond.fitting import MOST_AIR, fit, pages_filled, pages_of
from drills.output.lilypond.spacing import cell_rows
from drills.places.finding import find_span
from drills.sheets.blocks import BlockKind
from drills.sheets.cells import Order
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from tests.music_made import bar_of, notes, part_of
from tests.output.fixtures import long_part
from tests.output.pdf_text import page_texts

MARK = "drills-made-from:0123456789abcdef"
OVER_THE_BREAK = "C5 Bb4 C5 E5 C5 Bb4 A4 G4 A4 C5 D5 E5 F5 D5 B4 C5"


def sheet_of(text: str, kind: str = "16th", **more: object) -> Sheet:
    part = part_of([bar_of(notes(text, kind)), bar_of(notes("A4", "quarter"))])
    choices = Choices(tempo=Fraction(112), **more)  # type: ignore[arg-type]
    return make_sheet(part, find_span(part, "1"), choices, paper=paper_for(Page()))


def test_a_block_that_goes_on_overleaf_is_named_there() -> None:
    part = long_part(2)
    sheet = make_sheet(part, find_span(part, "41-42"), Choices(tempo=Fraction(120)))
    pdf = engrave([sheets_text([sheet], Page(), MARK)]).pdfs[0]
    pages = page_texts(pdf)
    titles = ["".join(block.title.split()) for block in sheet.blocks]
    begun: list[str] = []
    assert len(pages) > 2
    for page in pages:
        going_on = [title for title in titles if f"{title},continued" in page]
        assert len(going_on) <= 1
        assert all(title == begun[-1] for title in going_on), "what was begun last before it"
        begun += [title for title in titles if title in page and title not in going_on]
    assert any("continued" in page for page in pages)
    assert "continued" not in pages[0]


def test_fingerings_stand_with_the_hardest_moves() -> None:
    sheet = sheet_of(OVER_THE_BREAK, minutes=Fraction(15), instrument="clarinet")
    begin = sheet.blocks[0]
    assert begin.kind is BlockKind.BEGIN
    assert len(begin.fingerings) == len(begin.drills)
    assert any("throat A key" in line for line in begin.fingerings)
    assert begin.diagrams == (), "drawn where that is asked for"
    text = sheets_text([sheet], Page(), MARK)
    assert all(line in text for line in begin.fingerings)
    drawn = sheet_of(OVER_THE_BREAK, minutes=Fraction(15), instrument="clarinet", fingerings=True)
    assert [len(pair) for pair in drawn.blocks[0].diagrams] == [2] * len(drawn.blocks[0].drills)


def test_of_an_instrument_without_a_table_nothing_is_told_of_fingers() -> None:
    sheet = sheet_of(OVER_THE_BREAK, minutes=Fraction(15), instrument="violin", fingerings=True)
    assert not any(line for block in sheet.blocks for line in block.fingerings)
    assert not any(pair for block in sheet.blocks for pair in block.diagrams)


@pytest.mark.parametrize("staff", [20.0, 24.0])
def test_what_grows_around_another_move_begins_a_row(staff: float) -> None:
    sheet = sheet_of(OVER_THE_BREAK, order=Order.GROW, instrument="clarinet")
    drills = sheet.blocks[0].drills
    starts = {0, *accumulate(cell_rows(drills, Page(staff_size=staff).line_width))}
    moves = [number for number, drill in enumerate(drills) if drill.size == 2]
    assert len(moves) > 1
    assert set(moves) <= starts


def test_a_sheet_of_little_is_not_torn_over_its_page() -> None:
    """Few blocks stand together, and the foot of the page stays white."""
    little = sheet_of("C5 D5 E5 F5", "quarter", minutes=Fraction(5), rhythms=())
    found = fit(little, Page())
    assert found.loose
    room = Page(staff_size=found.staff_size).height
    assert room * (1 - pages_filled(little, Page())) > MOST_AIR * len(little.blocks)
    assert "ragged-bottom = ##t" in sheets_text([little], Page(), MARK)
    full = sheet_of(OVER_THE_BREAK, minutes=Fraction(15), instrument="clarinet")
    assert not fit(full, Page()).loose


def test_bar_numbers_stand_over_the_notes_on_a_grown_staff() -> None:
    """LilyPond counts heights in staff spaces of the page's size, whatever the staff."""
    sheet = sheet_of("C7 D7 E7 F7", "quarter", minutes=Fraction(5), rhythms=())
    grown = fit(sheet, Page()).staff_size
    assert grown > Page().staff_size
    (level,) = re.findall(r"BarNumber.Y-offset = #([\d.]+)", sheets_text([sheet], Page(), MARK))
    wanted = number_level(sheet.excerpt.bars) * grown / Page().staff_size
    assert float(level) == pytest.approx(wanted, abs=0.01)


def test_a_long_spot_takes_one_page_where_that_holds_its_minutes() -> None:
    part = long_part(2)
    choices = Choices(tempo=Fraction(120), minutes=Fraction(15))
    span = find_span(part, "41-42")
    made = make_sheet(part, span, choices, paper=paper_for(Page()))
    assert made.plan is not None
    assert pages_of(made, Page()) == 1 or pages_filled(made, Page()) >= 1.5 or made.plan.why
    wanted = PagesWanted(Page(), 2)
    assert wanted.smaller(make_sheet(part, span, choices, paper=wanted)) is None, "two are asked"


def test_a_line_of_two_notes_that_no_rhythm_fits_is_still_a_sheet() -> None:
    part = part_of(
        [bar_of(notes("C#5 D5", "quarter"), "5/8"), bar_of(notes("C5", "quarter"), "5/8")]
    )
    choices = Choices(minutes=Fraction(15))
    sheet = make_sheet(part, find_span(part, "2"), choices, paper=paper_for(Page()))
    assert len(sheet.spot.line) == 1
    assert [block.kind for block in sheet.blocks] == [BlockKind.LINE]
