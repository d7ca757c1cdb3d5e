"""Changing a book and leaving the player's own text as it is."""

from __future__ import annotations

import difflib
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import tomlkit

from drills.errors import BookError
from drills.project.book import parse_book
from drills.project.edit_book import Change, changed, with_days
from drills.project.passages import State

PATH = Path("spring.toml")
BOOK = """\
title = "Spring"  # our title

# the march
[[part]]
file = "march.musicxml"  # a score

# this one is hard
[[part.spot]]
at = "1"
# said of bar 1

# about the air, which comes next
[[part]]
file = "air.musicxml"

[[part.spot]]
note = 'slowly'
at = "3"  # three

# the end
"""


def added(before: str, after: str) -> list[str]:
    """The lines that are new; AssertionError where any was taken away or moved."""
    lines = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    assert not [line for line in lines if line.startswith("- ")]
    return [line[2:] for line in lines if line.startswith("+ ")]


def test_a_key_is_added_and_no_comment_moves() -> None:
    text = changed(BOOK.encode(), PATH, [Change(0, 0, id="a1"), Change(1, 0, id="b2")])
    assert added(BOOK, text) == ['id = "a1"', 'id = "b2"']
    lines = text.splitlines()
    assert lines[lines.index('at = "1"') + 1] == 'id = "a1"'
    comment = lines.index("# about the air, which comes next")
    assert lines[comment + 1] == "[[part]]"


def test_the_cause_of_moved_comments_is_still_there() -> None:
    """tomlkit counts what stands before the next heading as the end of the table above."""
    document: Any = tomlkit.parse(BOOK)
    document["part"][0]["spot"][0]["id"] = "a1"
    lines = tomlkit.dumps(document).splitlines()
    assert lines.index("# about the air, which comes next") < lines.index('id = "a1"')


def test_values_are_changed_in_place() -> None:
    once = changed(BOOK.encode(), PATH, [Change(0, 0, goal=Fraction(112), state=State.READY)])
    twice = changed(once.encode(), PATH, [Change(0, 0, goal=Fraction(133, 2), state=State.LEFT)])
    spot = parse_book(twice.encode(), PATH).parts[0].spots[0]
    assert (spot.goal, spot.state) == (Fraction(133, 2), State.LEFT)
    assert added(BOOK, twice) == ["goal = 66.5", 'state = "left"']


def test_windows_line_ends_stay() -> None:
    text = changed(BOOK.replace("\n", "\r\n").encode(), PATH, [Change(0, 0, id="a1")])
    assert parse_book(text.encode(), PATH).parts[0].spots[0].id == "a1"


def test_inline_spots_can_be_changed_too() -> None:
    book = '[[part]]\nfile = "a.xml"\nspot = [{ at = "1" }, { at = "2" }]\n'
    text = changed(book.encode(), PATH, [Change(0, 1, id="a1")])
    assert [spot.id for spot in parse_book(text.encode(), PATH).parts[0].spots] == ["", "a1"]


def test_a_spot_that_is_not_there_is_told() -> None:
    with pytest.raises(BookError, match="cannot be changed"):
        changed(BOOK.encode(), PATH, [Change(0, 5, id="a1")])


@pytest.mark.parametrize(
    ("book", "at"),
    [
        (BOOK, 1),
        (BOOK.replace("\n", "\r\n"), 1),
        ("# how to\n\n" + BOOK.replace("title", "\n\ntitle", 1), 5),
        ("# only parts\n" + BOOK.partition("\n\n")[2], 0),
        ('days-off = [\n  "sunday",  # rest\n]\n# the march\n' + BOOK.partition("\n\n")[2], 3),
    ],
)
def test_days_are_written_and_no_comment_moves(book: str, at: int) -> None:
    day = date(2027, 3, 1)
    text = with_days(book.encode(), PATH, first_rehearsal=day, minutes=45)
    new = [line for line in added(book, text) if line]
    assert new == ["first-rehearsal = 2027-03-01", "minutes = 45"]
    assert text.splitlines()[at : at + 2] == new
    assert ("\r\n" in text) == ("\r\n" in book)
    again = with_days(text.encode(), PATH, first_rehearsal=date(2027, 4, 1))
    days = parse_book(again.encode(), PATH).days
    assert (days.first_rehearsal, days.hours.minutes) == (date(2027, 4, 1), 45)
    assert len(again.splitlines()) == len(text.splitlines()), "a key is changed where it stands"


def test_days_that_do_not_go_into_a_book_are_refused() -> None:
    book = "concert = 2027-03-01\n" + BOOK
    with pytest.raises(BookError, match="cannot be changed"):
        with_days(book.encode(), PATH, first_rehearsal=date(2027, 3, 2))
