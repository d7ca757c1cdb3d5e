"""Sessions as a calendar file: iCalendar (RFC 5545), by the library icalendar.

Conventions.  An event keeps its UID as long as its book and its day are the same, so that a
second import changes it instead of adding another; SEQUENCE grows with the day on which the
plan was made.  With a time zone each session stands at its instant in UTC, worked out here, since
programs read rules of time zones in different ways; without one the times float, and stay at
the same hour wherever the calendar is read.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

PRODUCT: Final = "-//drills//plan//EN"
_FIRST_DAY: Final = date(2020, 1, 1)


@dataclass(frozen=True, slots=True)
class Session:
    """A session to be in a calendar."""

    day: date
    minutes: int
    summary: str
    description: str


def calendar_bytes(
    sessions: Sequence[Session],
    *,
    book: str,
    title: str,
    at: time,
    zone: str,
    made: date,
    mark: str,
) -> bytes:
    """One event for each session; ``book`` names it for good, ``made`` is the day of the plan."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", title)
    calendar.add("x-drills-mark", mark)
    if zone:
        calendar.add("x-wr-timezone", zone)
    for session in sessions:
        calendar.add_component(_event(session, book, at, zone, made))
    content: bytes = calendar.to_ical()
    return content


def _event(session: Session, book: str, at: time, zone: str, made: date) -> Event:
    start = datetime.combine(session.day, at)
    if zone:
        start = start.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
    event = Event()
    key = hashlib.sha256(f"{book}\0{session.day}".encode()).hexdigest()[:20]
    event.add("uid", f"{key}@drills.invalid")
    event.add("dtstamp", datetime.combine(made, time(), UTC))
    event.add("sequence", max(0, (made - _FIRST_DAY).days))
    event.add("dtstart", start)
    event.add("duration", timedelta(minutes=session.minutes))
    event.add("summary", session.summary)
    event.add("description", session.description)
    return event
