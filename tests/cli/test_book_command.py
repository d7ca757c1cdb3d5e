"""``drills book`` as a player runs it."""

from __future__ import annotations

import json

import pikepdf
import pytest

from drills.project.book import BookSpot, read_book
from tests.cli.music import Player, pages_of, score

SHORT = ("--sizes", "2", "--rhythm", "even")
"""Few enough drills for one page each, whatever the layout."""

BOOK = """\
title = "Spring concert"
first-rehearsal = 2027-03-01

[[part]]
file = "march.musicxml"
tempo = 96

[[part.spot]]
at = "A:2"
note = "left little finger on C sharp"

[[part]]
file = "suite.musicxml"
part = "Clarinet 1"
"""


@pytest.fixture(name="project")
def _project(player: Player) -> Player:
    """A player with a book of two scores, the second marked by its own words."""
    player.write("suite.musicxml", score("Suite", ("Clarinet 1", "Clarinet 2"), drill_in=3))
    player.write("spring.toml", BOOK)
    return player


def test_a_book_is_one_pdf_with_contents_and_notes(project: Player) -> None:
    done = project.run("book", "spring.toml", *SHORT)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "spring.pdf (3 pages)\n"
    assert project.left_behind() == []
    contents, first, second = pages_of((project.folder / "spring.pdf").read_bytes())
    for words in ("Spring concert", "Harbour March", "Suite", "Clarinet 1", "Clarinet 2"):
        assert words in contents
    assert "1 March 2027" in contents or "2027-03-01" in contents
    assert "left little finger on C sharp" in first
    assert "96" in first
    assert "Suite" in second
    assert "Bar 3" in second
    with pikepdf.open(project.folder / "spring.pdf") as pdf, pdf.open_outline() as outline:
        assert str(pdf.docinfo["/Title"]) == "Spring concert"
        assert len(outline.root) == 2


def test_a_second_run_replaces_the_first_and_a_stranger_stays(project: Player) -> None:
    assert project.run("book", "spring.toml", "-o", "x.ly").returncode == 0
    project.write("spring.toml", BOOK.replace("little finger", "thumb"))
    assert project.run("book", "spring.toml", "-o", "x.ly").returncode == 0
    assert "thumb" in (project.folder / "x.ly").read_text(encoding="utf-8")
    project.write("x.ly", "my own")
    assert project.run("book", "spring.toml", "-o", "x.ly").returncode == 7


def test_a_book_as_data(project: Player) -> None:
    done = project.run("book", "spring.toml", "--json")
    assert done.returncode == 0
    assert len(json.loads(done.stdout)["sheets"]) == 2
    assert "spring.pdf" not in project.files()


def test_a_part_without_spots_is_told(project: Player) -> None:
    project.write("spring.toml", BOOK.replace("Clarinet 1", "Clarinet 2"))
    done = project.run("book", "spring.toml", "-o", "x.musicxml")
    assert done.returncode == 0
    assert done.stderr == (
        "drills: spring.toml, part 2: no spot is marked in suite.musicxml; it is left out\n"
    )
    assert project.run("book", "spring.toml", "-o", "x.musicxml", "--quiet").stderr == ""


@pytest.mark.parametrize(
    ("old", "new", "code", "says"),
    [
        ('"A:2"', '"Q"', 4, 'spring.toml, part 1, spot 1, at = "Q": there is no bar or'),
        ("march.musicxml", "none.musicxml", 3, "spring.toml, part 1: "),
        ("Clarinet 1", "Oboe", 2, "spring.toml, part 2: suite.musicxml: no part is called 'Oboe'"),
        ("tempo", "tmepo", 8, "spring.toml, part 1: there is no key 'tmepo'; did you mean tempo?"),
        ("title = ", "title ", 8, "spring.toml: line 1: expected '='"),
    ],
)
def test_a_book_that_is_wrong(project: Player, old: str, new: str, code: int, says: str) -> None:
    project.write("spring.toml", BOOK.replace(old, new))
    done = project.run("book", "spring.toml")
    assert says in done.stderr
    assert (done.returncode, done.stdout) == (code, "")
    assert done.stderr.count("\n") == 1
    assert "spring.pdf" not in project.files()


def test_a_book_in_which_nothing_is_marked(player: Player) -> None:
    player.write("b.toml", '[[part]]\nfile = "march.musicxml"\n')
    done = player.run("book", "b.toml")
    assert done.returncode == 8
    assert "no spot is marked in any part" in done.stderr


# --- a first book -------------------------------------------------------------


def test_a_first_book_from_a_folder(player: Player) -> None:
    player.write("suite.musicxml", score("Suite", ("Clarinet 1", "Clarinet 2"), drill_in=3))
    player.write("waltz.xml", score("Waltz", drill_in=2, tempo=False))
    player.write("notes.txt", "no score")
    player.write("broken.musicxml", "<score-partwise>")
    done = player.run("book", "--new", ".")
    assert (done.returncode, done.stdout) == (0, "book.toml\n")
    assert done.stderr.startswith("drills: left out: broken.musicxml")
    book = read_book(player.folder / "book.toml")
    assert [(part.file, part.part, part.spots) for part in book.parts] == [
        ("march.musicxml", None, ()),
        ("suite.musicxml", "Clarinet 1", (BookSpot("3"),)),
        ("waltz.xml", None, (BookSpot("2"),)),
    ]
    text = (player.folder / "book.toml").read_text(encoding="utf-8")
    assert 'at = "3"  # bar 3, the second bar of A\n' in text
    assert '# Also in this score: "Clarinet 2"\n' in text
    assert text.count("# The score gives no tempo") == 1
    made = player.run("book", "book.toml", "-o", "x.ly")
    assert made.returncode == 0


def test_an_existing_book_is_kept_and_only_added_to(player: Player) -> None:
    own = '# mine\n[[part]]\nfile = "march.musicxml"  # loud\n[[part.spot]]\nat = "1"\n'
    player.write("book.toml", own)
    refused = player.run("book", "--new", ".")
    assert refused.returncode == 7
    assert refused.stderr == (
        "drills: book.toml is there already; --force adds what is new and keeps your own lines, "
        "-o FILE writes another book\n"
    )
    assert (player.folder / "book.toml").read_text(encoding="utf-8") == own
    player.write("march.musicxml", score(drill_in=2))
    player.write("waltz.xml", score("Waltz"))
    assert player.run("book", "--new", ".", "--force").returncode == 0
    text = (player.folder / "book.toml").read_text(encoding="utf-8")
    assert text.startswith(own)
    book = read_book(player.folder / "book.toml")
    assert [part.spots for part in book.parts] == [(BookSpot("1"), BookSpot("2")), ()]


def test_a_spot_that_was_taken_out_stays_out(player: Player) -> None:
    player.write("march.musicxml", score(drill_in=2))
    assert player.run("book", "--new", ".").returncode == 0
    text = (player.folder / "book.toml").read_text(encoding="utf-8")
    mine = text.replace("\n[[part.spot]]\nat = ", '\n[[part.spot]]\nat = "1"  # not ')
    player.write("book.toml", mine)
    assert player.run("book", "--new", ".", "--force").returncode == 0
    assert (player.folder / "book.toml").read_text(encoding="utf-8") == mine


def test_parts_of_one_name_are_told_apart(player: Player) -> None:
    player.write("march.musicxml", score(parts=("Clarinet", "Clarinet")))
    player.run("book", "--new", ".")
    text = (player.folder / "book.toml").read_text(encoding="utf-8")
    assert 'part = "1"  # Clarinet\n' in text
    assert 'part = "2"  # Clarinet\n' in text


def test_a_score_is_no_book(player: Player) -> None:
    done = player.run("book", "march.musicxml")
    assert done.returncode == 8
    assert done.stderr == (
        "drills: march.musicxml: this is a score, not a book; drills sheet march.musicxml --at 12 "
        "makes a page of it, and drills book --new FOLDER a book of the scores in a folder\n"
    )


def test_our_own_sheets_are_no_scores(player: Player) -> None:
    player.run("sheet", "march.musicxml", "--at", "1", "-o", "sheet.musicxml")
    player.run("book", "--new", ".")
    assert [part.file for part in read_book(player.folder / "book.toml").parts] == [
        "march.musicxml"
    ]


def test_one_part_of_every_score(player: Player) -> None:
    player.write("suite.musicxml", score("Suite", ("Clarinet 1", "Clarinet 2"), drill_in=3))
    done = player.run("book", "--new", ".", "--part", "Clarinet 2", "-o", "mine.toml")
    assert (done.returncode, done.stderr) == (0, "")
    parts = read_book(player.folder / "mine.toml").parts
    assert [(part.file, part.part) for part in parts] == [
        ("march.musicxml", None),
        ("suite.musicxml", "Clarinet 2"),
    ]


def test_a_folder_without_scores(player: Player) -> None:
    (player.folder / "empty").mkdir()
    for folder, says in (("empty", "there is no score; put scores"), ("none", "cannot be looked")):
        done = player.run("book", "--new", folder)
        assert done.returncode == 8
        assert says in done.stderr
        assert done.stderr.count("\n") == 1


def test_a_new_book_with_the_hardest_passages_of_each_part(player: Player) -> None:
    """Two lines give a book that is not empty, and what the player takes out stays out."""
    player.write("suite.musicxml", score("Suite", ("Clarinet 1", "Clarinet 2")))
    assert player.run("book", "--new", ".", "--hardest", "3").returncode == 0
    book = player.folder / "book.toml"
    text = book.read_text(encoding="utf-8")
    parts = read_book(book).parts
    assert [(part.file, part.part, len(part.spots)) for part in parts] == [
        ("march.musicxml", None, 1),
        ("suite.musicxml", "Clarinet 1", 1),
        ("suite.musicxml", "Clarinet 2", 1),
    ]
    (spot,) = parts[0].spots
    assert spot.note.startswith("the hardest of bars 1 to 3, the run of sixteenths: 48 notes")
    assert f'# Proposed as hard: "{spot.at}"' in text
    again = player.run("book", "--new", ".", "--hardest", "3", "--force")
    assert again.returncode == 0
    assert book.read_text(encoding="utf-8") == text
    shorter = text.replace(f'\n[[part.spot]]\nat = "{spot.at}"', "\n#", 1)
    start = shorter.index("\n#  #")
    shorter = shorter[:start] + shorter[shorter.index("\n[[part]]", start) :]
    book.write_text(shorter, encoding="utf-8")
    assert player.run("book", "--new", ".", "--hardest", "3", "--force").returncode == 0
    assert read_book(book).parts[0].spots == ()


def test_hardest_goes_with_a_new_book_only(project: Player) -> None:
    done = project.run("book", "spring.toml", "--hardest", "3")
    assert done.returncode == 2
    assert "--hardest goes with --new" in done.stderr
