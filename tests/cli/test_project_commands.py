"""A project at the command line: five commands from a folder of scores to a page and a sound.

Bad input is told in one line and nothing is lost.
"""

from __future__ import annotations

import re
import shutil
import sqlite3
import zipfile
from fractions import Fraction
from pathlib import Path

import pytest
from pypdf import PdfReader

from drills.cli import run
from drills.jobs.hand_out import HandOut
from drills.jobs.project import open_project
from drills.jobs.request import Settings
from drills.project.book import read_book
from drills.project.log import log_path, read_entries
from drills.project.passages import Role
from drills.resources import scores_folder

DAY = ("--day", "2027-02-21")


@pytest.fixture(name="harbour")
def _harbour(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The demo's march and a book of two of its spots, in an empty folder."""
    shutil.copy(scores_folder() / "march.musicxml", tmp_path)
    (tmp_path / "spring.toml").write_text(
        'title = "Spring"\nfirst-rehearsal = 2027-03-01\nminutes = 30\n\n'
        '# the clarinet\n[[part]]\nfile = "march.musicxml"\npart = "Clarinet 1 in B flat"\n\n'
        '[[part.spot]]\nat = "33"  # over the break\n\n# and this\n[[part.spot]]\nat = "C:8"\n'
    )
    monkeypatch.chdir(tmp_path)
    return tmp_path


def told(capsys: pytest.CaptureFixture[str], *arguments: str, code: int = 0) -> str:
    found = run(arguments)
    out = capsys.readouterr()
    assert found == code, out.err
    return out.out if not code else out.err


def test_the_plan_names_every_day(harbour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = told(capsys, "plan", "spring.toml", *DAY, "--also", "ics")
    assert out.startswith("Spring: 8 days until Monday 1 March 2027\n")
    for day in (21, 22, 27, 28):
        assert f" {day} February, " in out
    assert all(len(line) <= 80 for line in out.splitlines() if not line.startswith("If some"))
    assert (harbour / "spring.ics").read_bytes().startswith(b"BEGIN:VCALENDAR")
    assert told(capsys, "plan", *DAY) == out.removesuffix("spring.ics\n")


def test_today_its_page_and_its_sound(harbour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = told(capsys, "today", *DAY, "--minutes", "6", "--print", "--sound")
    items = re.findall(r"^ +\d+  March|^ +\d+  Out", out, re.MULTILINE)
    assert items
    assert re.search(
        r"^  march.musicxml, Clarinet 1 in B flat: items? 1(, \d+)*$", out, re.MULTILINE
    )
    assert all(len(line) <= 80 for line in out.splitlines())
    page = PdfReader(harbour / "spring-2027-02-21.pdf")
    assert len(page.pages) == 1
    words = page.pages[0].extract_text()
    assert "Sunday 21 February" in words
    assert "stop at pain" in words
    assert (harbour / "spring-2027-02-21.ogg").stat().st_size > 1000
    assert re.search(r"spring-2027-02-21.ogg \(\d+:\d\d min, 2 chapters\)", out)


def test_done_pins_ids_and_keeps_the_book(
    harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (harbour / "spring.toml").read_text()
    told(capsys, "done", "1", "72", "--right", "4", "--word", "late", *DAY)
    after = (harbour / "spring.toml").read_text()
    lines = after.splitlines()
    assert [line for line in lines if line not in before.splitlines()] == [
        f'id = "{spot.id}"' for spot in read_book(harbour / "spring.toml").parts[0].spots
    ]
    assert lines[lines.index("# and this") + 1] == "[[part.spot]]"
    entry = read_entries(log_path(Path("spring.toml")))[0].said
    assert (entry.number, entry.right) == (Fraction(72), 4)
    assert (entry.word, str(entry.day)) == ("late", "2027-02-21")
    assert told(capsys, "today", *DAY).splitlines()[1].startswith("x  1")


def test_a_spot_keeps_its_log_when_its_place_is_edited(
    harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told(capsys, "done", "1", "72", *DAY)
    path = harbour / "spring.toml"
    reached = [line for line in told(capsys, "ready", *DAY).splitlines() if " 72 of " in line]
    path.write_text(path.read_text().replace('"33"', '"32-33"').replace('"C:8"', '"C:7-C:8"'))
    again = [line for line in told(capsys, "ready", *DAY).splitlines() if " 72 of " in line]
    assert len(reached) == len(again) == 1
    assert reached != again


@pytest.mark.usefixtures("harbour")
def test_the_same_list_all_evening(capsys: pytest.CaptureFixture[str]) -> None:
    """What is logged today changes tomorrow's plan, not today's numbers."""
    first = told(capsys, "today", *DAY).splitlines()
    told(capsys, "done", "1", "60", *DAY)
    then = told(capsys, "today", *DAY).splitlines()
    assert [line[1:] for line in first] == [line[1:] for line in then]


def test_the_log_is_listed_struck_and_brought_back(
    harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told(capsys, "done", "1", "72", *DAY)
    told(capsys, "done", "2", "66", *DAY)
    assert "spring.csv (2 entries)" in told(capsys, "log", "--export", "spring.csv")
    assert len(told(capsys, "log", "--strike", "1").splitlines()) == 1
    assert "(struck out)" in told(capsys, "log", "--all")
    log_path(harbour / "spring.toml").unlink()
    assert told(capsys, "log", "--import", "spring.csv").startswith("2 entries imported")


def test_ready_says_when_it_knows_too_little(
    harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "not enough entries" in told(capsys, "ready", *DAY)
    for day, number in ((11, "60"), (13, "69"), (15, "76"), (18, "80")):
        told(capsys, "done", "1", number, "--day", f"2027-02-{day}")
    out = told(capsys, "ready", *DAY, "--plot", "ready.svg")
    assert "in eight of ten cases" in out
    assert b"rehearsal" in (harbour / "ready.svg").read_bytes()
    told(capsys, "ready", *DAY, "--plot", "ready.png")


def test_states_are_written_into_the_book(
    harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told(capsys, "plan", *DAY, "--leave", "1", "--ready", "2")
    spots = read_book(harbour / "spring.toml").parts[0].spots
    assert [spot.state for spot in spots] == ["left", "ready"]
    assert "bar 33" not in told(capsys, "today", *DAY)


def test_days_are_kept_in_the_book(harbour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (harbour / "spring.toml").read_text()
    out = told(capsys, "plan", *DAY, "--until", "2027-02-25", "--minutes", "20", "--keep")
    book = read_book(harbour / "spring.toml").days
    assert (str(book.first_rehearsal), book.hours.minutes) == ("2027-02-25", 20)
    after = (harbour / "spring.toml").read_text()
    assert after == before.replace("2027-03-01", "2027-02-25").replace("= 30", "= 20")
    assert told(capsys, "plan", *DAY) == out
    assert "give one of them" in told(capsys, "plan", "--keep", code=2)


def test_what_is_planned_is_what_is_printed(
    harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The blocks of the days are those of the pages that drills book prints."""
    told(capsys, "book", "spring.toml", "-o", "spring.pdf")
    printed = "\n".join(page.extract_text() for page in PdfReader("spring.pdf").pages)
    blocks = {
        block.words: block.role
        for spot in open_project(harbour / "spring.toml", Settings()).spots
        for block in spot.passage.blocks
        if block.role is not Role.SPOT
    }
    assert "Begin here" in blocks
    for words, role in blocks.items():
        assert (f", {words}" if role is Role.LINE else words) in printed


def test_what_a_student_takes_home(harbour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = told(
        capsys,
        "hand-out",
        "march.musicxml",
        "--part",
        "1",
        "--at",
        "33",
        "--student",
        "<Ann>",
        "-o",
        "home",
    )
    (file,) = (harbour / "home").glob("*-33-Ann.pdf")
    pages = PdfReader(file).pages
    assert len(pages) == 1, "what a quarter of an hour holds"
    assert "Name: <Ann>" in pages[0].extract_text()
    names = sorted(path.suffix for path in (harbour / "home").iterdir())
    assert names.count(".ogg") == len(names) - 3
    with zipfile.ZipFile(harbour / "home.zip") as archive:
        assert archive.testzip() is None
        assert len(archive.namelist()) == len(names)
    page = (harbour / "home" / "open-me.html").read_text()
    assert "For &lt;Ann&gt;" in page
    assert ", for &lt;Ann&gt;</title>" in page
    assert len(page) < 5_000_000
    assert "home.zip" in out


def test_the_name_of_a_student_is_in_that_of_the_folder() -> None:
    made = HandOut(student="Ann O'Hara").name_for("Clarinet-33")
    assert made == "Clarinet-33-Ann-O'Hara"
    assert HandOut().name_for("Clarinet-33") == "Clarinet-33"


def test_sound_for_a_book(harbour: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told(capsys, "click", "spring.toml", "--rungs", "2", "--times", "1")
    names = sorted(path.name for path in harbour.glob("*.ogg"))
    assert names == ["01-Clarinet-1-in-B-flat-33.ogg", "02-Clarinet-1-in-B-flat-C.8.ogg"]
    assert "leave out --at" in told(capsys, "click", "spring.toml", "--at", "3", code=2)


@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        (("plan", "--day", "2027-04-01"), 8, "first-rehearsal = 2027-03-01 is over"),
        (("plan", "--day", "2027-02-30"), 2, "is no day"),
        (("plan", "--until", "2027-02-20", "--keep"), 2, "2027-02-20 is over"),
        (("today", "--until", "2027-02-20"), 2, "2027-02-20 is over"),
        (("plan", "--minutes", "0"), 2, "1 to 600"),
        (("plan", "--leave", "zz"), 2, "there is no spot 'zz'"),
        (("done", "99", "60"), 2, "there is no item 99"),
        (("done", "1", "fast"), 2, "no metronome number"),
        (("done", "1", "0"), 2, "no metronome number"),
        (("today", "--start", "99", "--sound"), 2, "there is no 99"),
        (("log", "--strike", "1"), 9, "there is no entry 1"),
        (("log", "--strike", "x"), 2, "no entry"),
        (("log", "--export", "a.txt"), 2, "end the name in .csv or .json"),
        (("plan", "nowhere.toml"), 8, "cannot be opened"),
    ],
)
def test_what_makes_no_sense_is_told_in_a_line(
    harbour: Path,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
    code: int,
    message: str,
) -> None:
    before = (harbour / "spring.toml").read_bytes()
    day = () if "--day" in arguments or arguments[0] == "log" else DAY
    error = told(capsys, *arguments, *day, code=code)
    assert message in error
    assert error.count("\n") == 1
    assert (harbour / "spring.toml").read_bytes() == before


def test_a_bar_that_left_the_score_is_told_with_its_entry(
    harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = harbour / "spring.toml"
    path.write_text(path.read_text().replace('"33"', '"333"'))
    error = told(capsys, "plan", *DAY, code=4)
    assert 'part 1, spot 1, at = "333"' in error


@pytest.mark.usefixtures("harbour")
def test_the_day_of_the_rehearsal_has_no_plan(capsys: pytest.CaptureFixture[str]) -> None:
    assert "no day left" in told(capsys, "plan", "--day", "2027-03-01")
    assert "nothing to play" in told(capsys, "today", "--day", "2027-03-01")


def test_a_foreign_log_stops_nothing_from_being_kept(
    harbour: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = log_path(harbour / "spring.toml")
    other = sqlite3.connect(path)
    other.execute("CREATE TABLE recipes (name TEXT)")
    other.commit()
    other.close()
    before = path.read_bytes()
    assert "another program's database" in told(capsys, "done", "1", "60", *DAY, code=9)
    assert path.read_bytes() == before
