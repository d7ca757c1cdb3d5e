"""The pipeline from a score to the content of files, without the command line."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import mido
import pypdf
import pytest

from drills.errors import BookError, LimitError, PlaceError, ReadError, UsageError
from drills.jobs.book import build_book, build_new_book
from drills.jobs.parts import read_parts
from drills.jobs.request import Outputs, Settings
from drills.jobs.sheet_files import SheetSet, Style
from drills.jobs.sheets import build_sheets
from drills.jobs.writing import files_of, write_outputs
from drills.music.time import NoteValue
from drills.output.files import made_from
from drills.project.book import parse_book
from drills.reading.limits import Limits
from drills.sheets.choices import Choices
from tests.cli.music import pages_of, score

SHORT = Choices(sizes=(2,), rhythms=("even",))
"""Few enough drills for one page."""


@pytest.fixture(name="march")
def _march(tmp_path: Path) -> Path:
    path = tmp_path / "march.musicxml"
    path.write_text(score(), encoding="utf-8")
    return path


def built(path: Path, *places: str, choices: Choices = SHORT, part: str | None = None) -> SheetSet:
    """Sheets for places in a score."""
    return build_sheets(path, places, part, Settings(choices))


# --- sheets -------------------------------------------------------------------


def test_one_sheet_for_each_place(march: Path) -> None:
    made = built(march, "1", "A:2@3")
    assert [sheet.words for sheet in made.sheets] == [
        "Bar 1 to beat 1 of bar 2",
        "Beat 3 of bar 3, the second bar of A, to beat 4",
    ]
    assert made.name == "Clarinet-2-1+3-beat-3-to-beat-4"
    places, chosen = ["1", "A:2@3"], Settings(SHORT).chosen
    assert made.mark == made_from("march.musicxml", "Clarinet 2", places, "Harbour March", chosen)
    assert made.book_title == ""


def test_the_same_stretch_said_twice_is_one_sheet(march: Path) -> None:
    made = built(march, "2", "A", "A:1")
    assert [sheet.spot.span.asked for sheet in made.sheets] == ["2"]


def test_many_places_make_a_short_name(march: Path) -> None:
    made = built(march, "1", "2", "3", "1@2", "1@3")
    assert made.name == "Clarinet-2-1+2+3-and-2-more"


def test_what_the_score_marks_is_taken_only_where_nothing_is_asked(tmp_path: Path) -> None:
    path = tmp_path / "march.musicxml"
    path.write_text(score(drill_in=3), encoding="utf-8")
    assert [sheet.words for sheet in built(path).sheets] == ["Bar 3, the second bar of A"]
    assert [sheet.words for sheet in built(path, "1").sheets] == ["Bar 1 to beat 1 of bar 2"]


def test_no_place_and_no_mark(march: Path) -> None:
    with pytest.raises(PlaceError, match=r"no place is named and the score marks none.*--at 12"):
        built(march)


def test_choices_and_limits_are_passed_on(march: Path) -> None:
    made = built(march, "1", choices=Choices(sizes=(3,), rhythms=(), tempo=Fraction(77)))
    (sheet,) = made.sheets
    assert {drill.size for block in sheet.blocks[:-1] for drill in block.drills} == {3}
    assert sheet.tempo.number == 77
    with pytest.raises(LimitError, match="--limit bars="):
        build_sheets(march, ["1"], None, Settings(limits=Limits(bars=3)))


def test_stages_are_told(march: Path) -> None:
    told: list[str] = []
    made = build_sheets(march, ["1"], None, Settings(SHORT), told.append)
    files_of(made, Outputs(formats=("midi", "musicxml")), told.append)
    assert told == [
        f"reading {march}",
        "writing out the drills of Clarinet 2",
        "writing MusicXML",
        "writing MIDI",
    ]


# --- books --------------------------------------------------------------------

BOOK = """\
title = "Spring concert"
[[part]]
file = "march.musicxml"
tempo = 96
[[part.spot]]
at = "1"
note = "slowly"
[[part]]
file = "march.musicxml"
[[part.spot]]
at = "A"
"""


def book_of(march: Path, text: str = BOOK, choices: Choices = SHORT) -> SheetSet:
    """The sheets of a book beside a score."""
    book = parse_book(text.encode(), march.parent / "spring.toml")
    return build_book(book, Settings(choices))


def test_a_book_gives_its_own_tempo_and_notes(march: Path) -> None:
    made = book_of(march)
    first, second = made.sheets
    assert first.tempo.number == 96
    assert (first.tempo.source, first.spot.note) == ("the book", "slowly")
    assert second.tempo.number == 120
    assert second.spot.note == ""
    assert (made.name, made.book_title) == ("spring", "Spring concert")
    assert made.mark == made_from("spring.toml", "", [], choices=Settings(SHORT).chosen)


def test_a_book_without_a_title_goes_by_its_name(march: Path) -> None:
    assert book_of(march, BOOK.split("\n", 1)[1]).book_title == "spring"


@pytest.mark.parametrize(
    ("old", "new", "kind", "says"),
    [
        ('"1"', '"9"', PlaceError, r"part 1, spot 1, at = \"9\": there is no bar or mark '9'"),
        ('"A"', '"B"', PlaceError, r"part 2, spot 1, at = \"B\": there is no bar or mark 'B'"),
        ('"1"', '"4"', PlaceError, r"^\S*spring\.toml, part 1, spot 1, at = \"4\": "),
        ('"1"', '"2, 9"', PlaceError, r"spot 1, at = \"2, 9\": there is no bar or mark '9'"),
        ("march", "waltz", ReadError, r"spring\.toml, part 1: .*waltz\.musicxml"),
        ("tempo = 96", "part = 3", UsageError, r"spring\.toml, part 1: .*no part is called '3'"),
    ],
)
def test_errors_name_the_entry(
    march: Path, old: str, new: str, kind: type[Exception], says: str
) -> None:
    with pytest.raises(kind, match=says):
        book_of(march, BOOK.replace(old, new))


def test_several_places_in_one_entry_are_several_sheets(march: Path) -> None:
    made = book_of(march, BOOK.replace('"1"', '"1, 2@2-3@1"'))
    assert [(sheet.spot.span.asked, sheet.spot.note) for sheet in made.sheets] == [
        ("1", "slowly"),
        ("2@2-3@1", "slowly"),
        ("A", ""),
    ]


def test_many_unmarked_parts_are_told_in_one_line(march: Path) -> None:
    unmarked = '[[part]]\nfile = "march.musicxml"\n' * 43
    made = book_of(march, BOOK + unmarked)
    names = ", ".join(["march.musicxml"] * 5)
    assert made.remarks == (
        f"{march.parent / 'spring.toml'}: 43 parts have no marked spot and are left out: "
        f"{names} and 38 more",
    )


def test_a_book_without_any_spot(march: Path) -> None:
    with pytest.raises(BookError, match="no spot is marked in any part"):
        book_of(march, '[[part]]\nfile = "march.musicxml"\n')


def test_a_new_book_can_be_read_and_used(tmp_path: Path) -> None:
    (tmp_path / "a.musicxml").write_text(score(drill_in=2), encoding="utf-8")
    (tmp_path / "b.musicxml").write_text("no score", encoding="utf-8")
    text, remarks = build_new_book(tmp_path, tmp_path / "book.toml", None, Settings())
    assert len(remarks) == 1
    made = build_book(parse_book(text.encode(), tmp_path / "book.toml"), Settings(SHORT))
    assert [sheet.words for sheet in made.sheets] == [
        "Bar 2, the first bar of A, to beat 1 of bar 3"
    ]
    assert made.book_title == tmp_path.name


def test_parts_come_with_their_number(tmp_path: Path) -> None:
    path = tmp_path / "suite.musicxml"
    path.write_text(score(parts=("Oboe", "Clarinet", "Clarinet")), encoding="utf-8")
    every = read_parts(path, None, Limits())
    assert [(number, part.name) for number, part in every] == [
        (1, "Oboe"),
        (2, "Clarinet"),
        (3, "Clarinet"),
    ]
    assert [number for number, _ in read_parts(path, "Oboe", Limits())] == [1]


# --- files --------------------------------------------------------------------


def contents(made: SheetSet, outputs: Outputs) -> dict[str, bytes]:
    """Content by file name."""
    files, _ = files_of(made, outputs)
    return {file.path.name: file.content for file in files if isinstance(file.content, bytes)}


def test_bookmarks_lead_to_the_sheets_after_the_contents(march: Path) -> None:
    """LilyPond's own page counts, against the words that pypdf finds on each page."""
    made = book_of(march, choices=Choices())
    content = contents(made, Outputs())["spring.pdf"]
    pages = pages_of(content)
    reader = pypdf.PdfReader(BytesIO(content))
    found = [
        (str(line.title), reader.get_destination_page_number(line))
        for line in reader.outline
        if not isinstance(line, list)
    ]
    assert [title.split(" · ")[-1] for title, _ in found] == [
        "Bar 1 to beat 1 of bar 2",
        "Bar 2, the first bar of A, to beat 1 of bar 3",
    ]
    for title, page in found:
        assert page is not None
        assert page >= 1
        assert title.split(" · ")[-1] in pages[page]
        assert "Two notes at a time" in pages[page]


def test_every_format_carries_the_mark_once(march: Path) -> None:
    made = built(march, "1")
    files = contents(made, Outputs(formats=("pdf", "musicxml", "midi", "ly", "png", "svg")))
    assert {content.count(made.mark.encode()) for content in files.values()} == {1}


@pytest.mark.parametrize(
    ("asked", "microseconds"),
    [
        (None, 500_000),  # the score's 120 quarters a minute
        ((None, Fraction(60)), 1_000_000),
        ((NoteValue("half"), Fraction(60)), 500_000),
    ],
)
def test_the_sound_takes_the_tempo_asked_for(
    march: Path, asked: tuple[NoteValue | None, Fraction] | None, microseconds: int
) -> None:
    files = contents(built(march, "1"), Outputs(formats=("midi",), style=Style(midi_tempo=asked)))
    (content,) = files.values()
    tempos = {m.tempo for m in mido.MidiFile(file=BytesIO(content)) if m.type == "set_tempo"}
    assert tempos == {microseconds}


def test_only_printed_formats_need_lilypond(
    march: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("DRILLS_LILYPOND", str(tmp_path / "none"))
    monkeypatch.chdir(tmp_path)
    written = write_outputs(built(march, "1"), Outputs(formats=("ly", "midi", "musicxml")))
    assert [path.name for path in written.paths] == [
        "Clarinet-2-1.ly",
        "Clarinet-2-1.mid",
        "Clarinet-2-1.musicxml",
    ]
    assert written.pages == 0


def test_nothing_asked_for_writes_nothing(
    march: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    assert write_outputs(built(march, "1"), Outputs(formats=())).paths == ()
    assert [path.name for path in tmp_path.iterdir()] == ["march.musicxml"]


def ten_pages(names: Sequence[str]) -> list[str]:
    """Names with the number of a page of ten."""
    return [f"x-{number:02}{name}" for name in names for number in range(1, 11)]


def test_pages_are_numbered_so_that_they_sort(march: Path) -> None:
    made = built(march, *(f"{bar}@{beat}" for bar in (1, 2, 3) for beat in (1, 2, 3, 4)))
    ten = SheetSet(made.sheets[:10], "x", made.mark)
    files = contents(ten, Outputs(Path("x.svg"), ("svg",)))
    assert list(files) == ten_pages([".svg"])
