"""Sessions as iCalendar (RFC 5545), read by another library than the one that writes."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import vobject

from drills.output.calendar import Session, calendar_bytes

SESSIONS = [
    Session(date(2027, 3, 27), 55, "Spring; with, signs \\", "1  March: dotted\n2  Åland, é" * 9),
    Session(date(2027, 3, 28), 30, "Spring", "1  March"),
]


def made(zone: str = "Europe/Lisbon", day: date = date(2027, 3, 20)) -> bytes:
    return calendar_bytes(
        SESSIONS, book="spring.toml", title="Spring", at=time(18, 30), zone=zone, made=day, mark="m"
    )


def events(content: bytes) -> list[vobject.base.Component]:
    return list(vobject.readOne(content.decode()).vevent_list)


def test_another_library_reads_the_same() -> None:
    first, second = events(made())
    assert first.summary.value == SESSIONS[0].summary
    assert first.description.value == SESSIONS[0].description
    assert first.duration.value == timedelta(minutes=55)
    assert second.summary.value == "Spring"


def test_the_hour_is_right_on_both_sides_of_daylight_saving() -> None:
    """In Lisbon clocks go forward on 28 March 2027 (last Sunday of March)."""
    starts = [event.dtstart.value.astimezone(UTC) for event in events(made())]
    assert starts == [
        datetime(2027, 3, 27, 18, 30, tzinfo=UTC),
        datetime(2027, 3, 28, 17, 30, tzinfo=UTC),
    ]


def test_without_a_zone_times_float() -> None:
    assert all(event.dtstart.value.tzinfo is None for event in events(made("")))


def test_a_second_import_updates() -> None:
    before, after = events(made()), events(made(day=date(2027, 3, 22)))
    assert [one.uid.value for one in before] == [one.uid.value for one in after]
    assert len({one.uid.value for one in before}) == 2
    assert all(
        int(one.sequence.value) < int(two.sequence.value)
        for one, two in zip(before, after, strict=True)
    )


def test_lines_end_and_fold_as_the_standard_says() -> None:
    """RFC 5545, 3.1: CRLF, lines of at most 75 octets."""
    content = made()
    assert content.endswith(b"\r\n")
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    assert b"\n" not in content.replace(b"\r\n", b"")
