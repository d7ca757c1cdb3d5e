"""What is put together of several engraved texts: a book and its contents page."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO
from time import sleep

import pikepdf
import pytest

from drills.errors import EngraveError
from drills.jobs.sheet_files import (
    SheetSet,
    Style,
    _empty_before,
    _starts,
    pdf_library_meanwhile,
    render,
)
from drills.output.pdf import join_pdf
from tests.output.fixtures import run_sheet
from tests.output.pdf_text import page_texts

MARK = "drills-made-from:0123456789abcdef"


def test_the_contents_page_names_the_page_where_each_sheet_begins() -> None:
    """So many sheets that the contents take more than one page; found by the sheets' own feet."""
    sheet = run_sheet()
    sheets = (replace(sheet, blocks=sheet.blocks[-1:]),) * 24
    made = SheetSet(sheets, "spring", MARK, book_title="Spring concert")
    (pdf,) = render(made, ["pdf"], Style(), lambda _: None).contents["pdf"]
    pages = page_texts(pdf)
    begins = [number for number, words in enumerate(pages, 1) if "page1of" in words]
    assert len(begins) == 24
    assert begins[0] > 2
    contents = "|".join([*pages[: begins[0] - 1], ""])  # blanks between words are lost
    for number, begin in enumerate(begins, 1):
        assert len(re.findall(rf"page{begin}(?:{number + 1}Breakwater|\|)", contents)) == 1
    with pikepdf.open(BytesIO(pdf)) as opened:
        assert len(opened.pages) == len(pages)


def test_the_import_meanwhile_is_awaited_where_engraving_fails(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    imported = []

    def slowly(name: str) -> None:
        sleep(0.05)
        imported.append(name)

    monkeypatch.setattr("drills.jobs.sheet_files.import_module", slowly)
    with pytest.raises(EngraveError), pdf_library_meanwhile():
        raise EngraveError("there is no LilyPond")
    assert imported == ["drills.output.pdf"]


@pytest.mark.parametrize(
    ("pages", "before", "starts", "empty"),
    [
        ((1, 1, 2), 1, [1, 2, 3], []),  # page 4 is a left-hand one
        ((1, 2, 2, 1), 1, [1, 3, 5, 7], [2]),
        ((2, 1, 2), 2, [3, 5, 7], [2, 5]),
        ((3, 1), 1, [1, 4], []),  # three pages are turned anyway
    ],
)
def test_two_pages_of_a_sheet_face_each_other(
    pages: tuple[int, ...], before: int, starts: list[int], empty: list[int]
) -> None:
    """Pages from 0: an odd one is on the left.  Worked by hand."""
    assert _starts(pages, before) == starts
    assert all(start % 2 for start, count in zip(starts, pages, strict=True) if count == 2)
    assert _empty_before(pages, before) == empty


def test_an_empty_page_goes_where_it_is_wanted() -> None:
    one = join_pdf([_two_pages()], "t", "s", MARK, empty_before=[1])
    with pikepdf.open(BytesIO(one)) as opened:
        assert len(opened.pages) == 3
        assert "/Contents" not in opened.pages[1] or not opened.pages[1].Contents.read_bytes()


def _two_pages() -> bytes:
    pages = pikepdf.new()
    for _ in range(2):
        page = pages.add_blank_page()
        page.Contents = pages.make_stream(b"0 0 m 10 10 l S")
    held = BytesIO()
    pages.save(held)
    return held.getvalue()
