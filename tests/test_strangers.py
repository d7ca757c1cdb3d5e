"""Files from strangers: every one gives a sheet, or one error that is right about it.

The files are those that music21 carries: the MusicXML test suite of the
LilyPond project (``music21/musicxml/lilypondTestSuite``) and the MusicXML files
of its corpus.  Each is read whole, every staff of it, and the first bar with
something to play is made into a sheet with every rhythm of the table; the
suite and a sample of the corpus are engraved as well, with a few rhythms each.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import music21
import pytest

from drills.errors import DrillsError
from drills.music.notes import Note
from drills.music.score import Part
from drills.music.time import START
from drills.output.engrave import engrave
from drills.output.lilypond.document import sheets_text
from drills.output.lilypond.page import Page
from drills.places.finding import Place, Span
from drills.reading.musicxml import open_score, read_all
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.rhythms import RHYTHMS
from drills.sheets.sheet import Sheet

PACKAGE = Path(music21.__file__).parent
SUITE = sorted(
    path
    for path in (PACKAGE / "musicxml" / "lilypondTestSuite").iterdir()
    if path.suffix in (".xml", ".mxl")
)
CORPUS = sorted(
    path
    for path in (PACKAGE / "corpus").rglob("*")
    if path.suffix in (".xml", ".mxl", ".musicxml") and path.is_file()
)
ALL_RHYTHMS = Choices(rhythms=("all", "3:1:1:2"))

NO_NOTES = {
    "02a-Rests-Durations.xml": "rests only",
    "02b-Rests-PitchedRests.xml": "rests only, some at a pitch's height",
    "02c-Rests-MultiMeasureRests.xml": "rests only",
    "41b-MultiParts-MoreThan10.xml": "twenty parts that all rest",
    "41f-StaffGroups-Overlapping.xml": "five parts that all rest",
    "41g-PartNoId.xml": "a part that rests",
    "41h-TooManyParts.xml": "parts that rest",
    "45a-SimpleRepeat.xml": "bars of rest between repeat signs",
    "45c-RepeatMultipleTimes.xml": "bars of rest between repeat signs",
    "45d-Repeats-Nested-Alternatives.xml": "bars of rest between repeat signs",
    "45e-Repeats-Nested-Alternatives.xml": "bars of rest between repeat signs",
    "45f-Repeats-InvalidEndings.xml": "bars of rest between repeat signs",
    "46a-Barlines.xml": "bars of rest between bar lines of all kinds",
    "51b-Header-Quotes.xml": "a title, and a bar of rest",
    "51c-MultipleRights.xml": "two rights lines, and a bar of rest",
    "51d-EmptyTitle.xml": "an empty title, and a bar of rest",
    "52a-PageLayout.xml": "page sizes, and a bar of rest",
}
"""Files of the suite that give no sheet, and why: there is nothing to play in them."""


def bar_span(part: Part, index: int) -> Span:
    bar = part.bars[index]
    words = f"bar {bar.number}"
    return Span(Place(index, START), Place(index, START + bar.length), False, bar.number, words)


def bars_with_attacks(part: Part) -> Iterator[int]:
    for bar in part.bars:
        events = [event for voice in bar.voices for event in voice.events]
        if any(isinstance(event, Note) and event.is_attack for event in events):
            yield bar.index


def first_sheet(parts: tuple[Part, ...], choices: Choices = ALL_RHYTHMS) -> Sheet:
    """A sheet for the first bar with attacks; that of the very first bar where there is none."""
    for part in parts:
        for index in bars_with_attacks(part):
            return make_sheet(part, bar_span(part, index), choices)
    return make_sheet(parts[0], bar_span(parts[0], 0), choices)


def engraved_sheets(paths: Sequence[Path]) -> list[Sheet]:
    """Sheets to engrave: three rhythms each, in turn, so that some files have each of them."""
    every = [*RHYTHMS, "3:1:1:2"]
    return [
        first_sheet(
            read_all(open_score(path)),
            Choices(rhythms=tuple(every[(3 * n + k) % len(every)] for k in range(3))),
        )
        for n, path in enumerate(paths)
    ]


@pytest.mark.parametrize("path", SUITE, ids=lambda path: path.name)
def test_every_file_of_the_suite(path: Path) -> None:
    parts = read_all(open_score(path))
    if path.name in NO_NOTES:
        with pytest.raises(DrillsError, match=r"has no notes to play in bar"):
            first_sheet(parts)
        written = path.read_text(encoding="utf-8")
        assert not re.search(r"<pitch>|<unpitched", written), "the file has notes after all"
        return
    sheet = first_sheet(parts)
    assert sheet.spot.line
    for group in (block for block in sheet.blocks if block.printed):
        for drill in group.drills:
            for bar in drill.bars:
                total = sum(event.length.quarters for event in bar.voices[0].events)
                assert total == bar.length.quarters == bar.time.bar_length.quarters


@pytest.mark.parametrize("chunk", range(24))
def test_every_file_of_the_corpus(chunk: int) -> None:
    """As data: read whole, first bar with attacks made into a sheet."""
    failed = {}
    for path in CORPUS[chunk::24]:
        try:
            assert first_sheet(read_all(open_score(path))).spot.line
        except DrillsError as error:
            failed[path.name] = str(error)
    assert failed == {}


def test_the_corpus_is_there() -> None:
    assert len(SUITE) > 140
    assert len(CORPUS) > 600


def engraved_without_warning(sheets: list[Sheet]) -> None:
    text = sheets_text(sheets, Page(), "drills-made-from:0000000000000000")
    made = engrave([text])
    assert len(made.pages[0]) == len(sheets)
    assert made.warnings == ()


@pytest.mark.parametrize("chunk", range(4))
def test_the_suite_is_engraved_without_a_warning(chunk: int) -> None:
    files = [path for path in SUITE if path.name not in NO_NOTES][chunk::4]
    engraved_without_warning(engraved_sheets(files))


@pytest.mark.parametrize("chunk", range(2))
def test_a_sample_of_the_corpus_is_engraved_without_a_warning(chunk: int) -> None:
    engraved_without_warning(engraved_sheets(CORPUS[chunk * 12 :: 24]))
