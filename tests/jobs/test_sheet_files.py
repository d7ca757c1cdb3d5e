"""What is put together of several engraved texts: a book and its contents page."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO
from time import sleep

import pikepdf
import pytest

from drills.errors import EngraveError
from drills.jobs.sheet_files import SheetSet, Style, pdf_library_meanwhile, render
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
