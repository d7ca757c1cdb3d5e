"""The list is the book that the command line reads, whatever happens while it is written."""

from __future__ import annotations

import multiprocessing
import os
import shutil
import time
from pathlib import Path

import pytest

from drills.errors import BookError
from drills.project.book import parse_book, read_book
from drills.project.list_book import Entry, at_tempo, moved, noted, put_in, taken_out
from drills.resources import scores_folder
from drills.stand import book_tasks
from tests.stand.standing import MARCH

PATH = Path("spring.toml")
BOOK = """\
# Our concert.
title = "Harbour day"

[[part]]
file = "march.musicxml"
part = "Clarinet 2"  # mine
# Marked in the score: "12"

# the break
[[part.spot]]
at = "12"
note = "left hand"
# and slowly

[[part.spot]]
note = "tongue"
at = "E:3-E:4@1"

# The other one.
[[part]]
file = "air.musicxml"

[[part.spot]]
at = "5"
"""


def spots(text: str, part: int = 0) -> list[str]:
    return [spot.at for spot in parse_book(text.encode(), PATH).parts[part].spots]


def test_out_and_in_again_is_the_same_book() -> None:
    for entry in (Entry(0, 0), Entry(0, 1), Entry(1, 0)):
        without, taken = taken_out(BOOK, PATH, entry)
        assert len(spots(without, entry.part)) == len(spots(BOOK, entry.part)) - 1
        again = put_in(without, PATH, entry, taken)
        assert parse_book(again.encode(), PATH) == parse_book(BOOK.encode(), PATH)
        for comment in ("# Our concert.", "# mine", "# The other one.", '# Marked in the score: "'):
            assert comment in without
            assert comment in again


def test_a_comment_right_above_goes_with_its_spot() -> None:
    without, taken = taken_out(BOOK, PATH, Entry(0, 0))
    assert "# the break" in taken
    assert "# the break" not in without
    assert '# the break\n[[part.spot]]\nat = "12"' in put_in(without, PATH, Entry(0, 1), taken)


def test_moved_noted_and_at_another_tempo() -> None:
    assert spots(moved(BOOK, PATH, Entry(0, 0), 1)) == ["E:3-E:4@1", "12"]
    text = noted(BOOK, PATH, Entry(0, 1), 'say "ta"\\')
    assert parse_book(text.encode(), PATH).parts[0].spots[1].note == 'say "ta"\\'
    assert (
        parse_book(noted(text, PATH, Entry(0, 1), "").encode(), PATH).parts[0].spots[1].note == ""
    )
    assert parse_book(at_tempo(BOOK, PATH, 0, 96).encode(), PATH).parts[0].tempo == 96
    assert "# Our concert." in text


def test_lines_of_windows_stay() -> None:
    text = put_in(BOOK.replace("\n", "\r\n"), PATH, Entry(0, 2), '[[part.spot]]\nat = "3"\n')
    assert text.count("\n") == text.count("\r\n")
    assert spots(text) == ["12", "E:3-E:4@1", "3"]


@pytest.mark.parametrize(
    "text",
    ["", "at = 1", '[[part]]\nfile = "x"', '[[part.spot]]\nat = "1"\n[[part.spot]]\nat = "2"', "["],
)
def test_what_is_no_spot_is_not_put_in(text: str) -> None:
    with pytest.raises(BookError, match=r"spring\.toml"):
        put_in(BOOK, PATH, Entry(0, 0), text)


def test_a_book_of_another_form_is_left_alone() -> None:
    inline = 'part = [{file = "x.xml", spot = [{at = "1"}, {at = "2"}]}]\n'
    with pytest.raises(BookError, match="cannot be changed"):
        taken_out(inline, PATH, Entry(0, 0))


@pytest.fixture(name="folder")
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(scores_folder() / MARCH, tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_a_page_that_is_behind_changes_nothing(folder: Path) -> None:
    first = book_tasks.put("", (MARCH, 2, "33"), "")
    (folder / "book.toml").write_text((folder / "book.toml").read_text() + "# by hand\n")
    with pytest.raises(BookError, match="changed elsewhere"):
        book_tasks.take_out(first["version"], 0, 0)
    assert "# by hand" in (folder / "book.toml").read_text()
    assert book_tasks.listed()["parts"][0]["spots"][0]["words"].startswith("bar 33")


def adding(folder: str, bars: list[int]) -> None:
    """A server's process that puts spots on the list, again where another was faster."""
    os.chdir(folder)
    for bar in bars:
        while True:
            try:
                book_tasks.put(book_tasks.listed()["version"], (MARCH, 2, str(bar)), "")
                break
            except BookError:
                time.sleep(0.005)


def test_two_servers_on_one_folder_agree(folder: Path) -> None:
    """The second writes after the first, not over it."""
    spawn = multiprocessing.get_context("fork")
    wanted = ([9, 10, 11], [15, 16, 17])
    both = [spawn.Process(target=adding, args=(str(folder), bars)) for bars in wanted]
    for process in both:
        process.start()
    for process in both:
        process.join(60)
    found = sorted(int(spot.at) for spot in read_book(folder / "book.toml").parts[0].spots)
    assert found == [9, 10, 11, 15, 16, 17]
