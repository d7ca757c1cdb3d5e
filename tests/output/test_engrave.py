"""LilyPond run for real: pages, failures, limits, and nothing left behind.

The failures are the real thing: a LilyPond that is missing, that is no
program, that fails, hangs or is interrupted.  A temporary folder of the test's
own shows what stays behind.
"""

from __future__ import annotations

import os
import re
import signal
import struct
import subprocess
import sys
import time
import zlib
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from io import BytesIO
from itertools import accumulate
from pathlib import Path

import pikepdf
import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from drills.errors import EngraveError, NotationError
from drills.jobs.paper import paper_for
from drills.music.score import Direction
from drills.music.time import position
from drills.output.engrave import (
    ENVIRONMENT_VARIABLE,
    SHORT,
    Engraver,
    Engraving,
    engrave,
    find_lilypond,
    lilypond_ahead,
)
from drills.output.lilypond import PAPERS, Page, sheets_text
from drills.output.lilypond.fitting import fit, pages_of
from drills.output.lilypond.page import MARGIN_SIDE
from drills.output.pdf import Bookmark, PageStore, join_pdf
from drills.output.pictures import marked_png, marked_svg
from drills.output.portions import even_counts, split_sheets
from drills.places.finding import find_span
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from tests.output.fixtures import (
    RUN,
    bar,
    long_part,
    notes,
    part,
    run_sheet,
)
from tests.output.pdf_text import page_texts
from tests.output.rich_music import HALF

MARK = "drills-made-from:0123456789abcdef"
PLAIN = "\\version \"2.24.0\" { c'4 d' e' f' }"


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder in which temporary folders are made; it must be empty afterwards."""
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setenv("TMPDIR", str(folder))
    monkeypatch.setattr("tempfile.tempdir", None)
    return folder


def program(path: Path, text: str) -> Path:
    """A program that stands in for LilyPond."""
    path.write_text(f"#!/bin/sh\n{text}\n")
    path.chmod(0o755)
    return path


# Pages

RANGES = {
    "within the staff": RUN,
    "an octave higher": " ".join(f"{name[:-1]}{int(name[-1]) + 1}" for name in RUN.split()),
    "an octave lower": " ".join(f"{name[:-1]}{int(name[-1]) - 1}" for name in RUN.split()),
    "leaps over the whole compass": "E3 C6 F3 B5 G3 A5 A3 G5 B3 F5 C4 E5 D4 D5 E4 G5",
    "a low register": "E3 F3 G3 A3 F3 G#3 A3 B3 G3 A3 B3 C4 A3 B3 C#4 D4",
    "all accidentals": "C5 C#5 D5 D#5 E5 Eb5 D5 Db5 C5 B4 Bb4 A4 Ab4 G4 F#4 F4",
}


def sheet_of(names: str) -> Sheet:
    made = part(
        [bar(0, notes(names), number="33", mark="E"), bar(1, notes("C5 G4", HALF), number="34")]
    )
    choices = Choices(tempo=Fraction(120))
    return make_sheet(made, find_span(made, "33"), choices, "the left little finger")


def planned(names: str, page: Page, **more: object) -> Sheet:
    """A quarter of an hour of one bar."""
    made = part(
        [bar(0, notes(names), number="33", mark="E"), bar(1, notes("C5 G4", HALF), number="34")]
    )
    choices = Choices(tempo=Fraction(120), minutes=Fraction(15), **more)  # type: ignore[arg-type]
    return make_sheet(made, find_span(made, "33"), choices, paper=paper_for(page))


@pytest.mark.parametrize("paper", PAPERS)
def test_a_bar_of_sixteen_sixteenths_is_one_page(paper: str) -> None:
    """Whatever its register, at the usual size and at one that was asked for; as estimated."""
    for page in (Page(paper), Page(paper, 22.0)):
        sheets = [planned(names, page) for names in RANGES.values()]
        made = engrave([sheets_text(sheets, page, MARK)])
        assert made.warnings == ()
        assert [pages_of(sheet, page) for sheet in sheets] == [1] * len(sheets)
        assert dict(zip(RANGES, made.pages[0], strict=True)) == dict.fromkeys(RANGES, 1)


def test_everything_of_a_bar_takes_the_pages_that_it_needs() -> None:
    """16 + 15 + 14 cells and four rhythms; nothing is made smaller."""
    sheet = sheet_of(RUN)
    assert [len(block.drills) for block in sheet.blocks][:3] == [16, 15, 14]
    assert engrave([sheets_text([sheet], Page(), MARK)]).pages[0][0] in (2, 3)


@pytest.mark.parametrize("paper", PAPERS)
def test_all_of_eight_bars_is_at_most_sixteen_pages(paper: str) -> None:
    made = long_part(8)
    sheet = make_sheet(made, find_span(made, "41-48"), Choices(tempo=Fraction(120)))
    assert sum(len(group.drills) for group in sheet.blocks[:3]) == 380
    engraved = engrave([sheets_text([sheet], Page(paper), MARK)])
    assert engraved.warnings == ()
    assert 4 <= engraved.pages[0][0] <= 16


def test_every_sheet_has_page_numbers_of_its_own() -> None:
    made = long_part(2)
    sheet = make_sheet(made, find_span(made, "41-42"), Choices(tempo=Fraction(120)))
    first = planned(RUN, Page())
    engraved = engrave([sheets_text([first, sheet], Page(), MARK, number_from=7)])
    one, several = engraved.pages[0]
    assert one == 1
    assert several > 1
    words = page_texts(engraved.pdfs[0])
    assert "Sheet7page1of1" in words[0]
    assert f"Sheet8page2of{several}" in words[2]
    assert "BreakwaterMarch·Clarinet2inBflat·Bar41" in words[2]  # the head of a further page


def test_the_number_of_pages_has_room_for_two_figures() -> None:
    """Read by another library than ours, which sets blanks where the figures stand apart."""
    made = long_part(6)
    sheet = make_sheet(made, find_span(made, "41-46"), Choices(tempo=Fraction(120)))
    engraved = engrave([sheets_text([sheet], Page(staff_size=28.0), MARK)])
    (count,) = engraved.pages[0]
    assert count > 9
    pages = pypdf.PdfReader(BytesIO(engraved.pdfs[0])).pages
    for number, page in enumerate(pages, 1):
        assert page.extract_text().endswith(f"page {number} of {count}")


@pytest.mark.parametrize("points", [10.0, 11.5, 17.0, 30.0])
def test_rows_of_text_can_be_read_on_small_staves(points: float) -> None:
    """LilyPond's text has 11 points on a staff of 20, and 6 steps double it (its manual)."""
    text = sheets_text([sheet_of(RUN)], Page(staff_size=points), MARK)
    steps = {float(size) for size in re.findall(r"\\textSize #(-?[\d.]+)", text)}
    assert steps
    assert all(11 * points / 20 * 2 ** (step / 6) > 7.99 for step in steps)


def test_what_a_page_says() -> None:
    """Everything of the sheet that is words or numbers."""
    sheet = sheet_of(RUN)
    made = engrave([sheets_text([sheet], Page(), MARK)])
    words = "".join(page_texts(made.pdfs[0]))
    for expected in (
        "Breakwater March",
        "Clarinet 2 in B flat",
        "Bar 33, the first bar of E",
        "the left little finger",
        "Two notes at a time",
        "Three notes at a time",
        "Four notes at a time",
        "The whole line, even",
        "The whole line, reversed dotted",
        "120",
        "on beat 4 only",
        "stop at pain",
        "page 1 of 2",
    ):
        assert expected.replace(" ", "") in words


# Margins


def pixels(picture: bytes) -> tuple[int, int, list[bytes]]:
    """Width, height and rows of a PNG (ISO/IEC 15948): 8-bit RGBA, not interlaced."""
    width, height, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", picture[16:29])
    assert (depth, colour, interlaced) == (8, 6, 0)
    data, at = b"", 8
    while at < len(picture):
        (size,) = struct.unpack(">I", picture[at : at + 4])
        if picture[at + 4 : at + 8] == b"IDAT":
            data += picture[at + 8 : at + 8 + size]
        at += size + 12
    return width, height, list(_unfiltered(zlib.decompress(data), width * 4))


def _unfiltered(data: bytes, stride: int) -> Iterator[bytes]:
    """Rows with PNG's filters taken back (section 9 of the standard)."""
    before = bytearray(stride)
    for at in range(0, len(data), stride + 1):
        kind, row = data[at], bytearray(data[at + 1 : at + 1 + stride])
        for i in range(stride):
            left = row[i - 4] if i >= 4 else 0
            corner = before[i - 4] if i >= 4 else 0
            row[i] = (row[i] + _predicted(kind, left, before[i], corner)) % 256
        yield bytes(row)
        before = row


def _predicted(kind: int, left: int, above: int, corner: int) -> int:
    if kind == 4:
        nearest = left + above - corner
        return min((left, above, corner), key=lambda value: abs(nearest - value))
    return (0, left, above, (left + above) // 2)[kind]


def inked(picture: bytes) -> tuple[float, float, float, float]:
    """Left, right, top and bottom of all ink, as parts of the width and height."""
    width, height, rows = pixels(picture)
    blank = b"\xff\xff\xff\xff" * width
    inky = [index for index, row in enumerate(rows) if row != blank]
    columns = [
        column
        for column in range(width)
        if any(rows[index][4 * column : 4 * column + 3] != b"\xff\xff\xff" for index in inky)
    ]
    return columns[0] / width, columns[-1] / width, inky[0] / height, inky[-1] / height


LONG = "The Song of the Harbour Master's Seven Daughters, with Variations and a Grand Finale " * 3


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_stands_over_the_margins(paper: str) -> None:
    """A plain sheet, one of leaps, and words as long as anyone will write."""
    wordy = replace(
        sheet_of(RUN),
        part="Clarinet in B flat, second desk, doubling bass clarinet " * 3,
        words="Bar 33, the first bar of the second repeat of the trio, to beat 1 of bar 34 " * 3,
        remarks=("the file gives no beams, so the beams are ours " * 6,),
        student=True,
        teacher=True,
    )
    credits = replace(wordy.credits, title=LONG, rights="All players of the harbour " * 8)
    wordy = replace(
        wordy,
        credits=credits,
        spot=replace(wordy.spot, note="the left little finger stays down " * 6),
    )
    late = sheet_of(RUN)
    words = Direction(position(3), "words", "poco a poco crescendo ed accelerando al fine " * 2)
    first, landing = late.excerpt.bars
    bars = (replace(first, directions=(words,)), replace(landing, directions=(words,)))
    late = replace(late, excerpt=replace(late.excerpt, bars=bars))
    sheets = [sheet_of(RUN), sheet_of(RANGES["leaps over the whole compass"]), wordy, late]
    text = sheets_text(sheets, Page(paper), MARK)
    pages = engrave([text], ("png",), Engraving(resolution=40)).pngs
    side = (MARGIN_SIDE - 1) / PAPERS[paper][0]
    for page in pages:
        left, right, top, bottom = inked(page)
        assert left > side
        assert right < 1 - side
        assert top > 8 / PAPERS[paper][1]
        assert bottom < 1 - 7 / PAPERS[paper][1]


def test_a_short_spot_grows_into_its_page_and_no_staff_shrinks() -> None:
    short = planned("C5 D5 E5 F5", Page(), sizes=(2,), rhythms=("dotted",))
    assert fit(short, Page()).staff_size > Page().staff_size
    assert fit(short, Page(staff_size=19.0)).staff_size == 19.0
    long = long_part(8)
    everything = make_sheet(long, find_span(long, "41-48"), Choices(tempo=Fraction(120)))
    assert fit(everything, Page()).staff_size == Page().staff_size
    assert not fit(everything, Page()).tight, "on many pages it is set with air"


def test_a_long_title_takes_its_lines() -> None:
    """It counts where the page is filled, so that nothing is squeezed."""
    sheet = sheet_of(RUN)
    wordy = replace(sheet, credits=replace(sheet.credits, title=LONG[:180]))
    made = engrave([sheets_text([wordy], Page("letter"), MARK)])
    assert made.warnings == ()


# Which LilyPond


def test_a_given_program_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    given_one = program(tmp_path / "given", "exit 0")
    named = program(tmp_path / "named", "exit 0")
    monkeypatch.setenv(ENVIRONMENT_VARIABLE, str(named))
    assert find_lilypond(given_one) == str(given_one)
    assert find_lilypond() == str(named)
    monkeypatch.delenv(ENVIRONMENT_VARIABLE)
    assert "lilypond" in find_lilypond()


def test_the_path_comes_last(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(ENVIRONMENT_VARIABLE, raising=False)
    monkeypatch.setattr("drills.output.engrave.program.find_spec", lambda _: None)
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(EngraveError, match=r"LilyPond.* is missing; install LilyPond 2\.24"):
        find_lilypond()
    program(tmp_path / "lilypond", "exit 0")
    assert find_lilypond() == str(tmp_path / "lilypond")


@pytest.mark.parametrize("kind", ["nothing", "a folder", "no program"])
def test_what_cannot_be_run(tmp_path: Path, temporary: Path, kind: str) -> None:
    path = tmp_path / "lilypond"
    if kind == "a folder":
        path.mkdir()
    if kind == "no program":
        path.write_bytes(b"\x00\x01\x02 no program")
        path.chmod(0o755)
    with pytest.raises(EngraveError, match="can"):
        engrave([PLAIN], running=Engraving(path))
    assert not list(temporary.iterdir())


# Failures


def test_a_failure_tells_the_first_error(temporary: Path) -> None:
    with pytest.raises(EngraveError, match=r"line 2: unknown escaped string: .\\nonsense"):
        engrave(["\\version \"2.24.0\"\n{ c'4 \\nonsense d'4 }\n"])
    assert not list(temporary.iterdir())


@pytest.mark.parametrize(
    ("script", "said"),
    [
        ("echo 'no such option'; exit 1", r"failed: no such option \(check that it is LilyPond"),
        ("exit 3", "failed: it said nothing"),
        ("kill -SEGV $$", "stopped by signal 11"),
        ("echo 'GC Warning: Out of Memory! Heap size: 9 MiB.'; exit 1", "ran out of memory"),
        ("exit 0", "made no PDF"),
    ],
)
def test_a_program_that_fails(tmp_path: Path, temporary: Path, script: str, said: str) -> None:
    with pytest.raises(EngraveError, match=said):
        engrave([PLAIN, PLAIN], running=Engraving(program(tmp_path / "bad", script)))
    assert not list(temporary.iterdir())


def test_the_memory_limit(temporary: Path) -> None:
    endless = '\\version "2.24.0" #(let grow ((all (list))) (grow (cons (make-vector 100000) all)))'
    with pytest.raises(EngraveError, match=r"ran out of memory|stopped by signal"):
        engrave([endless], running=Engraving(memory_limit=400 * 2**20))
    assert not list(temporary.iterdir())


def is_running(pid_file: Path) -> bool:
    """True while the process that wrote its number there lives."""
    try:
        os.kill(int(pid_file.read_text()), 0)
    except ProcessLookupError:
        return False
    return True


def wait_until(condition: object) -> None:
    """Up to ten seconds, which a busy machine may need."""
    for _ in range(1000):
        if condition():  # type: ignore[operator]
            return
        time.sleep(0.01)
    pytest.fail("it never came true")


def test_a_program_that_hangs_is_stopped(tmp_path: Path, temporary: Path) -> None:
    """With everything that it started."""
    child = tmp_path / "child"
    slow = program(tmp_path / "slow", f"sleep 600 & echo $! > {child}; sleep 600")
    with pytest.raises(EngraveError, match=r"longer than 0\.5 seconds and was stopped"):
        engrave([PLAIN], running=Engraving(slow, time_limit=0.5))
    wait_until(lambda: not is_running(child))
    assert not list(temporary.iterdir())


@pytest.mark.parametrize("texts", [1, 3])
def test_an_interrupt_leaves_nothing(tmp_path: Path, temporary: Path, texts: int) -> None:
    """Ctrl-C in the middle: a real signal to a real process."""
    child = tmp_path / "child"
    slow = program(tmp_path / "slow", f"echo $$ > {child}; sleep 600")
    code = (
        "from pathlib import Path\n"
        "from drills.output.engrave import Engraving, engrave\n"
        f"engrave([{PLAIN!r}] * {texts}, running=Engraving(Path({str(slow)!r})))\n"
    )
    process = subprocess.Popen([sys.executable, "-c", code], stderr=subprocess.PIPE)
    wait_until(lambda: child.exists() and child.read_text().strip())
    process.send_signal(signal.SIGINT)
    _, said = process.communicate(timeout=20)
    assert b"KeyboardInterrupt" in said
    assert process.returncode == -signal.SIGINT
    wait_until(lambda: not is_running(child))
    assert not list(temporary.iterdir())


def test_one_failure_stops_the_others(tmp_path: Path, temporary: Path) -> None:
    """The first text fails at once; the second would take ten minutes."""
    script = 'case "$PWD" in */0) exit 1;; *) sleep 600;; esac'
    mixed = program(tmp_path / "mixed", script)
    with pytest.raises(EngraveError, match="it said nothing"):
        engrave([PLAIN, PLAIN], running=Engraving(mixed, workers=2))
    assert not list(temporary.iterdir())


def test_signs_that_no_font_has_are_told() -> None:
    text = '\\version "2.24.0" \\markup "before \u4e2d\u6587 after"'
    remarks = engrave([text]).remarks
    assert len(remarks) <= 1  # a machine with fonts for it prints them
    assert all("\u4e2d \u6587" in remark for remark in remarks)


# The same bytes


def test_the_same_text_gives_the_same_bytes() -> None:
    text = sheets_text([run_sheet()], Page(), MARK)
    formats = ("pdf", "png", "svg")
    first, second = engrave([text], formats), engrave([text], formats)
    assert first.pngs == second.pngs
    assert first.svgs == second.svgs
    outline = (Bookmark("Bar 33", 0),)
    joined = [join_pdf(made.pdfs, "March", "Clarinet", MARK, outline) for made in (first, second)]
    assert joined[0] == joined[1]


def test_a_joined_pdf() -> None:
    texts = [f'\\version "2.24.0" \\bookpart {{ \\markup "{n}" }}' for n in "abc"]
    made = engrave(texts)
    outline = [Bookmark("First", 0), Bookmark("A lone \ud800 surrogate", 2)]
    whole = join_pdf(made.pdfs, "Märsche (\\)", "Clarinet 2", MARK, outline)
    assert MARK.encode() in whole
    with pikepdf.open(BytesIO(whole)) as document:
        assert len(document.pages) == 3
        assert str(document.docinfo["/Title"]) == "Märsche (\\)"
        assert str(document.docinfo["/Subject"]) == "Clarinet 2"
        assert str(document.docinfo["/Creator"]) == "drills"
        assert "/CreationDate" not in document.docinfo
        with document.open_outline() as lines:
            assert [line.title for line in lines.root] == ["First", "A lone ? surrogate"]


def test_what_is_no_pdf_is_an_error() -> None:
    with pytest.raises(EngraveError, match="cannot be read"):
        join_pdf([b"no pdf"], "", "", MARK)


def test_marked_pictures_are_still_pictures() -> None:
    made = engrave([PLAIN], ("png", "svg"), Engraving(resolution=30))
    picture = marked_png(made.pngs[0], MARK)
    assert MARK.encode() in picture
    assert pixels(picture) == pixels(made.pngs[0])
    drawing = marked_svg(made.svgs[0], f"{MARK}--")
    assert MARK.encode() in drawing
    assert etree.fromstring(drawing).tag == "{http://www.w3.org/2000/svg}svg"
    assert marked_png(b"anything", "") == marked_svg(b"anything", "") == b"anything"


# Portions


@given(st.lists(st.integers(1, 50), min_size=1, max_size=9), st.integers(1, 4))
def test_no_portion_could_be_lighter(weights: list[int], parts: int) -> None:
    """Against every way to cut the list, tried one by one."""
    counts = even_counts(weights, parts)
    assert sum(counts) == len(weights)
    assert len(counts) <= parts
    assert heaviest(weights, counts) == best(tuple(weights), parts)


def heaviest(weights: list[int], counts: list[int]) -> int:
    ends = list(accumulate(counts))
    return max(sum(weights[end - count : end]) for end, count in zip(ends, counts, strict=True))


def best(weights: tuple[int, ...], parts: int) -> int:
    """The least heaviest portion, by recursion."""
    if parts == 1 or len(weights) <= 1:
        return sum(weights)
    cuts = range(1, len(weights) + 1)
    return min(max(sum(weights[:cut]), best(weights[cut:], parts - 1)) for cut in cuts)


def test_sheets_in_portions() -> None:
    sheets = [run_sheet(Choices(sizes=(2,), rhythms=(), tempo=Fraction(96)))] * 5
    assert [len(portion) for portion in split_sheets(sheets, 2)] == [3, 2]
    assert [len(portion) for portion in split_sheets(sheets, 9)] == [1] * 5
    assert split_sheets([], 2) == []


def test_pages_go_into_several_documents() -> None:
    """The section's page stands in every player's file; the bytes are the same each time."""
    sheets = [sheet_of(RUN), sheet_of(RANGES["leaps over the whole compass"])]
    pdfs = [engrave([sheets_text([sheet], Page(), MARK)]).pdfs[0] for sheet in sheets]
    with PageStore(pdfs) as store:
        both = store.document([(1, 0), (0, 0)], "Harbour March", "Flute", MARK)
        assert store.document([(1, 0), (0, 0)], "Harbour March", "Flute", MARK) == both
        one = store.document([(0, 0)], "Harbour March", "Oboe", MARK)
    assert page_texts(both) == [page_texts(pdfs[1])[0], page_texts(pdfs[0])[0]]
    assert page_texts(one) == [page_texts(pdfs[0])[0]]
    assert MARK.encode() in both
    with pikepdf.open(BytesIO(both)) as document:
        assert str(document.docinfo["/Subject"]) == "Flute"
        assert "/CreationDate" not in document.docinfo
    with pytest.raises(EngraveError, match="cannot be read"):
        PageStore([b"no pdf"])


def test_processes_that_wait_take_the_first_texts(temporary: Path) -> None:
    """Two wait: of three texts the third gets a process of its own, and nothing stays."""
    with lilypond_ahead(count=2) as ahead:
        assert ahead is not None
        assert len(ahead.waiting) == 2
        made = engrave([PLAIN] * 3, ahead=ahead)
        assert ahead.waiting == []
    assert len(made.pdfs) == 3
    assert list(temporary.iterdir()) == []


def test_a_long_text_gets_a_process_that_tidies_up(temporary: Path) -> None:
    long = PLAIN + "%" * SHORT
    with lilypond_ahead() as ahead:
        assert ahead is not None
        assert engrave([long], ahead=ahead).pdfs
        assert len(ahead.waiting) == 1
    assert list(temporary.iterdir()) == []


def test_a_text_without_memory_is_tried_again_with_tidying_up(
    tmp_path: Path, temporary: Path
) -> None:
    """A LilyPond that needs its memory tidied up: it fails unless that is allowed."""
    script = tmp_path / "lilypond"
    real = find_lilypond()
    lines = f'[ -z "$GC_DONT_GC" ] || {{ echo "out of memory"; exit 1; }}\nexec "{real}" "$@"'
    script.write_text(f"#!/bin/sh\n{lines}\n", encoding="utf-8")
    script.chmod(0o755)
    assert engrave([PLAIN], running=Engraving(script)).pdfs
    assert list(temporary.iterdir()) == []


def test_texts_are_engraved_while_others_are_written(temporary: Path) -> None:
    with Engraver() as engraver:
        engraver.add(PLAIN)
        engraver.add(PLAIN)
        made = engraver.finish()
    assert made.pdfs[0][:5] == made.pdfs[1][:5] == b"%PDF-"
    assert list(temporary.iterdir()) == []


def test_an_error_between_texts_leaves_nothing(temporary: Path) -> None:
    def interrupted() -> None:
        with Engraver() as engraver:
            engraver.add(PLAIN)
            raise NotationError("a bar that cannot be written")

    with pytest.raises(NotationError):
        interrupted()
    assert list(temporary.iterdir()) == []


def test_many_sheets_are_cut_into_more_portions() -> None:
    sheets = [run_sheet()] * 60
    portions = split_sheets(sheets, 2)
    assert sum(map(len, portions)) == 60
    assert len(portions) > 2
    assert all(len(sheets_text(portion, Page(), MARK)) <= SHORT for portion in portions)
