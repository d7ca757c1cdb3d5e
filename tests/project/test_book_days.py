"""What a book says of days, goals and states."""

from __future__ import annotations

from datetime import date, time
from fractions import Fraction
from pathlib import Path

import pytest

from drills.errors import BookError
from drills.project.book import parse_book
from drills.project.passages import State

PATH = Path("spring.toml")
PART = '\n[[part]]\nfile = "a.musicxml"\n'


def test_days_of_a_book() -> None:
    book = parse_book(
        (
            "first-rehearsal = 2027-03-01\nconcert = 2027-03-20\nminutes = 50\n"
            'minutes-on = { saturday = 90, "2027-02-22" = 10 }\n'
            'days-off = ["sunday", 2027-02-24]\nsession-time = 07:15:00\n'
            'time-zone = "Europe/Lisbon"\n' + PART
        ).encode(),
        PATH,
    )
    days = book.days
    assert (days.first_rehearsal, days.concert) == (date(2027, 3, 1), date(2027, 3, 20))
    assert (days.session_time, days.time_zone) == (time(7, 15), "Europe/Lisbon")
    minutes = [days.hours.of(date(2027, 2, day)) for day in (20, 21, 22, 23, 24)]
    assert minutes == [90, 0, 10, 50, 0]


def test_goals_and_states() -> None:
    book = parse_book(
        (
            PART + 'weight = 2.5\n[[part.spot]]\nat = "1"\ngoal = 104\nstate = "left"\nid = "a-1"\n'
        ).encode(),
        PATH,
    )
    spot = book.parts[0].spots[0]
    assert (spot.goal, spot.state, spot.id) == (Fraction(104), State.LEFT, "a-1")
    assert book.parts[0].weight == Fraction(5, 2)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("minutes = 0", "minutes of 0 is out of bounds"),
        ("minutes = true", "minutes is not a whole number"),
        ('minutes = "60"', "minutes is not a whole number"),
        ("first-rehearsal = 2027-02-30", "line 1"),
        ('first-rehearsal = "soon"', "is not a date"),
        ("first-rehearsal = 2027-03-02\nconcert = 2027-03-01", "before the first rehearsal"),
        ('days-off = ["someday"]', "names no day with 'someday'"),
        ('days-off = "sunday"', "days-off is no list"),
        ("minutes-on = { saturday = -1 }", "minutes-on for saturday is no number"),
        ("minutes-on = 5", "no list of days"),
        ("session-time = 7", "session-time is no time"),
        ('time-zone = "Europe/Atlantis"', "is not known"),
        ('time-zone = "../../etc/passwd"', "is not known"),
    ],
)
def test_days_that_make_no_sense(text: str, message: str) -> None:
    with pytest.raises(BookError, match=message) as error:
        parse_book((text + "\n" + PART).encode(), PATH)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('state = "done"', 'state = "done" is not known'),
        ('id = "A B"', "no short name"),
        ("goal = 0", "not a tempo"),
    ],
)
def test_spots_that_make_no_sense(text: str, message: str) -> None:
    with pytest.raises(BookError, match=message):
        parse_book((PART + '[[part.spot]]\nat = "1"\n' + text).encode(), PATH)


def test_two_spots_may_not_share_an_id() -> None:
    spot = '[[part.spot]]\nat = "1"\nid = "a"\n'
    with pytest.raises(BookError, match="that of another spot too"):
        parse_book((PART + spot + spot).encode(), PATH)
