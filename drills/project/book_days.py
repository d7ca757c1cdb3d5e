"""What a book says of days: until when, which are off, how many minutes each has.

first-rehearsal = 2027-03-01
concert = 2027-03-20
minutes = 60
minutes-on = { saturday = 90, sunday = 0, "2027-02-20" = 30 }
days-off = ["monday", 2027-02-24]
session-time = 18:30:00
time-zone = "Europe/Lisbon"
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final
from zoneinfo import ZoneInfo

from drills.project.days import WEEKDAYS, Hours
from drills.project.table import Table

DAY_KEYS: Final = (
    *("first-rehearsal", "concert", "minutes", "minutes-on", "days-off"),
    *("session-time", "time-zone"),
)
MOST_MINUTES: Final = 600
USUAL_TIME: Final = datetime.time(18)


@dataclass(frozen=True, slots=True)
class BookDays:
    """When there is time to practise."""

    first_rehearsal: datetime.date | None = None
    concert: datetime.date | None = None
    hours: Hours = field(default_factory=Hours)
    session_time: datetime.time = USUAL_TIME
    """When a session begins, for the calendar."""
    time_zone: str = ""
    """A name of the IANA time zone database; empty for that of the machine."""


def read_days(table: Table) -> BookDays:
    """The days of a book; raises BookError."""
    first, concert = table.date("first-rehearsal"), table.date("concert")
    if first and concert and concert < first:
        table.refuse("concert", f"on {concert} is before the first rehearsal", "check both dates")
    minutes = table.whole("minutes", 1, MOST_MINUTES)
    usual = Hours()
    on = dict(_minutes_on(table))
    off = dict.fromkeys(_days_off(table), 0)
    every = {**on, **off}
    hours = Hours(
        minutes if minutes is not None else usual.minutes,
        {day: count for day, count in every.items() if isinstance(day, int)},
        {day: count for day, count in every.items() if isinstance(day, datetime.date)},
    )
    return BookDays(first, concert, hours, _time(table), _zone(table))


def _minutes_on(table: Table) -> Iterator[tuple[int | datetime.date, int]]:
    value = table.raw("minutes-on")
    if value is None:
        return
    if not isinstance(value, dict):
        table.refuse("minutes-on", "is no list of days", "write minutes-on = { saturday = 90 }")
    for name, minutes in value.items():
        is_count = isinstance(minutes, int) and not isinstance(minutes, bool)
        if not is_count or not 0 <= minutes <= MOST_MINUTES:
            table.refuse("minutes-on", f"for {name} is no number", f"write 0 to {MOST_MINUTES}")
        yield _day(table, "minutes-on", name), minutes


def _days_off(table: Table) -> Iterator[int | datetime.date]:
    value = table.raw("days-off")
    if value is None:
        return
    if not isinstance(value, list):
        table.refuse("days-off", "is no list", 'write days-off = ["sunday", 2027-02-24]')
    for day in value:
        yield _day(table, "days-off", day)


def _day(table: Table, key: str, value: object) -> int | datetime.date:
    """A weekday as its number, 0 for Monday, or a date."""
    if isinstance(value, datetime.datetime):
        return value.date()
    if isinstance(value, datetime.date):
        return value
    text = str(value).strip().lower()
    if text in WEEKDAYS:
        return WEEKDAYS.index(text)
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        table.refuse(key, f"names no day with {value!r}", "write a weekday or a date: 2027-02-24")


def _time(table: Table) -> datetime.time:
    value = table.raw("session-time")
    if value is None:
        return USUAL_TIME
    if not isinstance(value, datetime.time):
        table.refuse("session-time", "is no time", "write it without quotes: 18:30:00")
    return value


def _zone(table: Table) -> str:
    name = table.text("time-zone") or ""
    if name:
        try:
            ZoneInfo(name)
        except (KeyError, ValueError, OSError):
            table.refuse("time-zone", f'= "{name}" is not known', 'write one like "Europe/Lisbon"')
    return name
