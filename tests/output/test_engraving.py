"""What a copyist would mark on a page, looked for by machine: LilyPond is asked where it put
everything (extents_said.py).

No caption on a note, no text over the margin, no staff smaller than asked, no figure of a
tuplet inside the staff; over the demo scores, the test suite's files and fifty generated
spots.  That tuplet figures stay clear of the staff, and that text never touches music, is
common practice of engraving.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from drills.errors import DrillsError
from drills.jobs.paper import paper_for
from drills.music.notes import Note, TupletBracket
from drills.music.score import Bar, Part
from drills.music.time import NoteValue, TimeSignature, Tuplet, length
from drills.output.lilypond import Page, sheets_text
from drills.places.finding import find_span
from drills.reading.musicxml import open_score, read_all
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from tests.music_made import bar_of, notes, part_of
from tests.output.extents_said import Box, collisions, engraved_with_boxes, page_heights
from tests.output.fixtures import long_part, run_part
from tests.output.fixtures import part as part_of_bars
from tests.output.rich_music import rich_bars

HERE = Path(__file__).parent.parent
MARK = "drills-made-from:0123456789abcdef"
TEXTS = ("LyricText", "BarNumber", "RehearsalMark")
MUSIC = ("NoteHead", "Stem", "Script", "Accidental", "Flag", "Rest", "Dots", "Clef")
CHOICES = Choices(minutes=Fraction(15))
NEAR = 0.4
"""Staff spaces that boxes may share, whose corners are often empty."""
EVERY = 17
"""Bars from one spot of a part to the next."""
MOST = 24
"""Sheets of one text."""


def of_scores(paths: Sequence[Path]) -> Iterator[Sheet]:
    for path in paths:
        try:
            parts = read_all(open_score(path))
        except DrillsError:
            continue
        for part in parts:
            yield from of_part(part)


def of_suite() -> Iterator[Sheet]:
    """The music that the tests of every output share."""
    for part in (run_part(), long_part(8), part_of_bars(rich_bars())):
        for bar in part.bars:
            try:
                span = find_span(part, f"bar{bar.number}")
                yield make_sheet(part, span, CHOICES, paper=paper_for(Page()))
            except DrillsError:  # nothing to drill here
                continue


def of_part(part: Part) -> Iterator[Sheet]:
    for bar in part.bars[1::EVERY]:
        try:
            span = find_span(part, f"bar{bar.number}")
            yield make_sheet(part, span, CHOICES, paper=paper_for(Page()))
        except DrillsError:  # nothing to drill here
            continue


def generated(count: int) -> Iterator[Sheet]:
    """Spots with any values, leaps and signs, from a seed."""
    random = Random(20)
    times = ("4/4", "3/4", "2/2", "6/8", "9/8", "12/8", "5/4", "5/8", "7/8", "3/8")
    for number in range(count):
        time = times[number % len(times)]
        part = part_of([_bar(random, time), _bar(random, time)])
        yield make_sheet(part, find_span(part, "1"), CHOICES, paper=paper_for(Page()))


def _bar(random: Random, time: str) -> Bar:
    signature, at, events = TimeSignature.parse(time), Fraction(0), []
    unit = signature.beat.quarters
    while at < signature.bar_length.quarters:
        three = random.random() < 0.2 and unit == 1
        parts = random.choice((1, 2, 4, 8)) if unit in (1, 2) else random.choice((1, 3, 6))
        if unit < 1:
            parts = random.choice((1, 2, 4))
        each = Fraction(1, 3) if three else unit / parts
        value = NoteValue("eighth") if three else NoteValue.of(length(each))
        brackets = (TupletBracket(Tuplet(3, 2)),) if three else ()
        assert value is not None
        for index in range(3 if three else parts):
            name = f"{random.choice('CDEFGAB')}{random.choice(['', '', '#', 'b'])}"
            (note,) = notes(f"{name}{random.choice((4, 5, 5, 6))}", value.kind, at + index * each)
            assert isinstance(note, Note)
            events.append(Note(note.start, length(each), note.tones, value, brackets))
        at += unit
    return bar_of(events, time)


def texts_of(sheets: Sequence[Sheet], page: Page) -> Iterator[str]:
    for at in range(0, len(sheets), MOST):
        yield sheets_text(sheets[at : at + MOST], page, MARK)


SOURCES: dict[str, Callable[[], Iterator[Sheet]]] = {
    "demo": lambda: of_scores(sorted((HERE.parent / "scores").glob("*.musicxml"))),
    "suite": of_suite,
    "generated": lambda: generated(50),
}


@pytest.mark.parametrize("source", SOURCES)
def test_a_copyist_would_mark_nothing(source: str) -> None:
    """Nothing on something else, nothing over the margin, no sign without a glyph, no page
    pressed together; as many pages as wanted, and none nearly empty beside another."""
    sheets = list(SOURCES[source]())
    assert len(sheets) >= 20
    page = Page()
    for text in texts_of(sheets, page):
        engraved, systems = engraved_with_boxes(text)
        assert len(systems) > len(sheets) / MOST
        for boxes in systems:
            assert list(collisions(boxes, TEXTS, MUSIC, NEAR)) == []
            assert staff_size(boxes) >= 4.0
            assert list(figures_in_staff(boxes)) == []
        assert engraved.remarks == ()
        assert not [w for w in engraved.warnings if "compress" in w]
        assert max(engraved.pages[0]) <= 2
        for held in page_heights(engraved):
            assert len(held) == 1 or min(held) > page.spaces(page.height) / 3


def staff_size(boxes: Sequence[Box]) -> float:
    """The least height of a staff, in staff spaces of the page's size."""
    return min((b.high - b.low for b in boxes if b.name == "StaffSymbol"), default=4.1)


def figures_in_staff(boxes: Sequence[Box]) -> Iterator[tuple[Box, Box]]:
    return collisions(boxes, ("TupletNumber",), ("StaffSymbol",))


def test_the_check_can_fail() -> None:
    """A caption that is drawn on the notes is found."""
    text = next(texts_of(list(generated(1)), Page()))
    moved = text.replace(
        "(basic-distance . 3.4) (minimum-distance . 3) (padding . 0.7)",
        "(basic-distance . 0) (minimum-distance . 0) (padding . -6)",
        1,
    )
    assert moved != text
    assert any(
        list(collisions(boxes, TEXTS, MUSIC, NEAR)) for boxes in engraved_with_boxes(moved)[1]
    )
