"""The player's book: what is read from it, and what is said about what is wrong."""

from __future__ import annotations

import datetime
from fractions import Fraction
from pathlib import Path

import pytest

from drills.errors import BookError
from drills.project.book import LARGEST_BOOK, BookSpot, parse_book, read_book

BOOK = """\
title = "Spring concert"
first-rehearsal = 2027-03-01

[[part]]
file = "march.musicxml"
part = "Clarinet 2"
tempo = 120                      # the performing tempo

[[part.spot]]
at = "E:3-E:4@1"
note = "left little finger on C sharp"

[[part.spot]]
at = "12"

[[part]]
file = "parts/air.mxl"
part = 2
tempo = 66.5
"""


def message(text: str | bytes) -> str:
    """What is said about a book that is wrong."""
    with pytest.raises(BookError) as caught:
        parse_book(text if isinstance(text, bytes) else text.encode(), Path("spring.toml"))
    assert "\n" not in str(caught.value)
    return str(caught.value)


def part_with(line: str) -> str:
    """A book with one part that has one more line."""
    return f'[[part]]\nfile = "a.musicxml"\n{line}\n'


def test_a_whole_book() -> None:
    book = parse_book(BOOK.encode(), Path("project/spring.toml"))
    assert book.title == "Spring concert"
    assert book.first_rehearsal == datetime.date(2027, 3, 1)
    march, air = book.parts
    assert (march.path, march.part, march.tempo) == (
        Path("project/march.musicxml"),
        "Clarinet 2",
        Fraction(120),
    )
    assert march.spots == (
        BookSpot("E:3-E:4@1", "left little finger on C sharp"),
        BookSpot("12", ""),
    )
    assert (air.path, air.part, air.tempo) == (
        Path("project/parts/air.mxl"),
        "2",
        Fraction(133, 2),
    )
    assert air.spots == ()
    assert air.where == "project/spring.toml, part 2"
    assert march.spots[1].where == 'project/spring.toml, part 1, spot 2, at = "12"'


def test_what_may_be_left_out() -> None:
    book = parse_book(b'[[part]]\nfile = "a.musicxml"\n', Path("b.toml"))
    assert (book.title, book.first_rehearsal) == ("", None)
    (part,) = book.parts
    assert (part.part, part.tempo, part.spots) == (None, None, ())


def test_a_file_of_its_own_is_read_and_its_folder_counts(tmp_path: Path) -> None:
    (tmp_path / "spring.toml").write_text("\ufeff" + BOOK, encoding="utf-8")
    assert read_book(tmp_path / "spring.toml").parts[0].path == tmp_path / "march.musicxml"


def test_a_time_of_day_is_no_hindrance() -> None:
    text = BOOK.replace("2027-03-01", "2027-03-01T19:30:00")
    book = parse_book(text.encode(), Path("b"))
    assert book.first_rehearsal == datetime.date(2027, 3, 1)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "spring.toml: no part is named; write, for example, [[part]] and under it file ="),
        ("<score-partwise/>", "spring.toml: this is a score, not a book; drills sheet spring.toml"),
        (b"PK\x03\x04\xff\xfe", "this is a score, not a book"),
        (part_with("[[part.spot]]\nat = ','"), 'part 1, spot 1: at = "," names no place'),
        ("titel = 'x'\n", "spring.toml: there is no key 'titel'; did you mean title?"),
        ("zzz = 1\n", "spring.toml: there is no key 'zzz'; known here: title, first-rehearsal"),
        ("[[part]]\n", "part 1: file is missing; write, for example, file ="),
        ("title = 7\n" + part_with(""), 'title is not a text; put it in quotes: title = "7"'),
        ("part = 'x'", "part is not a list of entries; begin each with the line [[part]]"),
        ("[part]\nfile = 'x'", "part is not a list of entries; begin each with the line [[part]]"),
        (part_with("tempi = 120"), "part 1: there is no key 'tempi'; did you mean tempo?"),
        (part_with("tempo = 'fast'"), "part 1: tempo is not a number; write beats a minute"),
        (part_with("tempo = true"), "part 1: tempo is not a number"),
        (part_with("tempo = 0"), "part 1: tempo of 0 is not a tempo"),
        (part_with("tempo = -3.5"), "part 1: tempo of -3.5 is not a tempo"),
        (part_with("tempo = inf"), "part 1: tempo of inf is not a tempo"),
        (part_with("tempo = nan"), "part 1: tempo of nan is not a tempo"),
        (part_with("part = 1.5"), "part 1: part is not a text"),
        (part_with("spot = '12'"), "begin each with the line [[part.spot]]"),
        (
            part_with("[[part.spot]]"),
            'part 1, spot 1: at is missing; write, for example, at = "E:3',
        ),
        (part_with("[[part.spot]]\nat = ' '"), "part 1, spot 1: at is missing"),
        (
            part_with("[[part.spot]]\nat = 12"),
            'spot 1: at is not a text; put it in quotes: at = "12"',
        ),
        (part_with("[[part.spot]]\nat = '1'\nnotes = ''"), "no key 'notes'; did you mean note?"),
        ("first-rehearsal = '2027-03-01'\n" + part_with(""), "first-rehearsal is not a date"),
        ("first-rehearsal = 19:30:00\n" + part_with(""), "first-rehearsal is not a date"),
        ("title = \n", "spring.toml: line 1: invalid value"),
        ("title = 'a'\nx y\n", "spring.toml: line 2: expected '='"),
        ("a = " + "[" * 5000, "spring.toml: lists in lists"),
        (b"title = 'a'\n# caf\xe9\n", "spring.toml, line 2: not UTF-8; save the book as UTF-8"),
    ],
)
def test_a_book_that_is_wrong(text: str | bytes, said: str) -> None:
    assert said in message(text)


def test_a_book_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(BookError, match=r"none\.toml: cannot be opened \(no such file"):
        read_book(tmp_path / "none.toml")
    with pytest.raises(BookError, match=r"cannot be opened \(is a directory"):
        read_book(tmp_path)


def test_a_book_larger_than_any(tmp_path: Path) -> None:
    (tmp_path / "huge.toml").write_bytes(b"#" * (LARGEST_BOOK + 1))
    with pytest.raises(BookError, match="hardly a book"):
        read_book(tmp_path / "huge.toml")
