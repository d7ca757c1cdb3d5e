"""The picture of a take: what is drawn of verdicts made by hand, and that LilyPond draws it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import cast

import pytest

from drills.jobs.request import Settings
from drills.jobs.take_material import Asked, materials_of
from drills.listening.paper import OnPaper
from drills.listening.thresholds import USUAL
from drills.listening.verdict import Extra, Restart, Verdict
from drills.output.engrave import engrave
from drills.output.lilypond.document import TakeText, take_text
from drills.output.lilypond.page import Page
from drills.output.lilypond.take_view import HALF, Strip, systems_of, take_view
from drills.resources import scores_folder
from drills.sheets.sheet import Sheet
from tests.listening.verdicts import note
from tests.listening.verdicts import verdict as made
from tests.output.pdf_text import page_texts

CALLS = {2: "wrong", 4: "missed", 6: "unclear"}


@pytest.fixture(scope="module", name="sheet")
def _sheet() -> Sheet:
    """The demo march, bar 33 of the first clarinet: sixteen sixteenths and a landing."""
    sheet, _ = materials_of(scores_folder() / "march.musicxml", Asked("33", "2"), Settings())
    return sheet


def played(sheet: Sheet) -> Verdict:
    """Every note on its beat but the third, 30 ms late; some not right."""
    count = len(sheet.excerpt.numbers)
    late = [30.0 if n == 2 else 0.0 for n in range(count)]
    one = made(*late, calls=[CALLS.get(n, "right") for n in range(1, count + 1)])
    notes = (*one.notes[:6], replace(note(7), cents=-40.0, tuned="low"), *one.notes[7:])
    return replace(
        one,
        notes=tuple(replace(n, late=None) if n.call != "right" else n for n in notes),
        extras=(Extra(8, 72, 1.0, "added"), Extra(9, 72, 1.0, "twice")),
        restarts=(Restart(5, 1, 2.0),),
    )


def strips(view: dict[str, object]) -> list[Strip]:
    """The strips of a view."""
    return cast("list[Strip]", view["strips"])


def test_marks_stand_at_their_notes(sheet: Sheet) -> None:
    view = take_view(sheet, played(sheet), (), OnPaper(), thresholds=USUAL, page=Page())
    heads = str(view["heads"])
    assert [heads.count(rf"\mark{word}") for word in ("Wrong", "Missed", "Unclear")] == [1, 1, 1]
    # the first note a skip, the second marked: sixteenths
    assert heads.startswith(r"s1*1/16 \markWrong s1*1/16 s1*1/16 \markMissed")
    over = str(view["over"])
    for said in ('"E', '"missed"', '"?"', '"+C', '"twice"', '"back to 1"'):
        assert said in over
    late, cents, tempo = strips(view)
    # 30 of 60 ms are half of the strip; the triangle points to the right
    assert f"(take-at {HALF / 2:.2f} (take-late))" in late.music
    assert late.lines == (-HALF, -HALF * 25 / 60, 0.0, HALF * 25 / 60, HALF)
    assert f"(take-at {-HALF * 0.8:.2f} (take-off))" in cents.music
    assert (late.top, cents.bottom, tempo.name) == ("60 late", "50 low", "tempo 120")
    others = take_view(
        sheet, made(*[0.0] * 17), (played(sheet),), OnPaper(), thresholds=USUAL, page=Page()
    )
    assert str(strips(others)[0].music).count("take-other") == 14


def test_lilypond_draws_it_without_a_warning(sheet: Sheet) -> None:
    view = take_view(sheet, played(sheet), (), OnPaper(), thresholds=USUAL, page=Page())
    words = TakeText("Quay & Co", 'Clarinet "1"', "Bar 33", "All \\there}.", ("ms: so",))
    text = take_text(words, view, Page(), "mark", as_one=systems_of(sheet, Page()) < 3)
    engraved = engrave([text], ("pdf",))
    assert not engraved.warnings
    (page,) = page_texts(engraved.pdfs[0])
    for said in ("Quay&Co", 'Clarinet"1"', "All\\there}.", "60late", "backto1", "missed"):
        assert said in page
    assert not re.search(r"#\(take-[a-z]+\)\)", page)
