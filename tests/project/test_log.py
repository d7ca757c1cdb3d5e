"""The log: nothing lost, nothing deleted, one clear line for whatever is wrong with the file.

What survives a crash is checked by SQLite's own PRAGMA integrity_check after ``kill -9``.
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta, timezone
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from drills.errors import LogError, UsageError
from drills.project.entries import NewEntry, Origin
from drills.project.log import Log, log_path, read_entries
from drills.project.log_schema import APPLICATION, MIGRATIONS, VERSION
from drills.project.log_text import csv_text, json_text, read_rows

AT = datetime(2027, 2, 21, 19, 30, tzinfo=timezone(timedelta(hours=1)))


def entry(day: int = 21, **changes: object) -> NewEntry:
    given: dict[str, object] = {
        "passage": "k3f",
        "name": "March, bar 33",
        "day": date(2027, 2, day),
        "at": AT,
        "block": "2 dotted",
        "number": Fraction(133, 2),
        "right": 4,
        "minutes": Fraction(3),
        "word": 'the low C, "late"\n; and a line',
    }
    return NewEntry(**{**given, **changes})  # type: ignore[arg-type]


@pytest.fixture(name="path")
def _path(tmp_path: Path) -> Path:
    return tmp_path / "spring.log.sqlite"


def checked(path: Path) -> str:
    run = sqlite3.connect(path)
    try:
        return str(run.execute("PRAGMA integrity_check").fetchone()[0])
    finally:
        run.close()


def test_what_goes_in_comes_out(path: Path) -> None:
    with Log(path) as log:
        assert log.add([entry(), entry(22, number=None, right=None, word="")]) == (1, 2)
    assert [one.said for one in read_entries(path)] == [
        entry(),
        entry(22, number=None, right=None, word=""),
    ]
    run = sqlite3.connect(path)
    assert run.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert run.execute("PRAGMA foreign_key_check").fetchall() == []
    run.close()
    assert log_path(Path("a/spring.toml")) == Path("a/spring.log.sqlite")


def test_no_log_is_an_empty_one(path: Path) -> None:
    assert read_entries(path) == ()
    assert not path.exists()


def test_an_entry_is_struck_out_and_never_deleted(path: Path) -> None:
    with Log(path) as log:
        log.add([entry(), entry(22)])
        log.strike([1], AT)
        assert [one.id for one in log.entries()] == [2]
        assert [(one.id, one.struck) for one in log.entries(struck=True)] == [(1, AT), (2, None)]
        with pytest.raises(LogError, match="entry 1 is struck out already"):
            log.strike([2, 1], AT)
        assert [one.id for one in log.entries()] == [2]
        with pytest.raises(LogError, match="there is no entry 7"):
            log.strike([7], AT)
    run = sqlite3.connect(path)
    with pytest.raises(sqlite3.IntegrityError, match="struck out, never deleted"):
        run.execute("DELETE FROM entry")
    run.close()


def test_days_order_the_log_whatever_the_clock_said(path: Path) -> None:
    """A clock set back, a time zone crossed, an hour that comes twice."""
    earlier = AT - timedelta(days=400)
    twice = [datetime(2027, 10, 31, 2, 30, tzinfo=timezone(timedelta(hours=h))) for h in (2, 1)]
    with Log(path) as log:
        log.add([entry(22), entry(21, at=earlier), entry(28, at=twice[0]), entry(28, at=twice[1])])
        assert [one.said.day.day for one in log.entries()] == [21, 22, 28, 28]
        assert [one.said.at for one in log.entries()][2:] == twice
        assert log.latest() == twice[1]


def test_an_older_log_is_brought_up_to_date(path: Path) -> None:
    run = sqlite3.connect(path)
    run.execute(f"PRAGMA application_id = {APPLICATION}")
    for statement in MIGRATIONS[0]:
        run.execute(statement)
    run.execute("PRAGMA user_version = 1")
    run.execute("INSERT INTO passage VALUES ('k3f', 'March')")
    run.execute(
        "INSERT INTO entry VALUES (1, 'k3f', '2027-02-21', '2027-02-21T19:30:00+01:00', '', 1, "
        "'96', 4, '3', '', 'terminal')"
    )
    run.commit()
    run.close()
    assert [one.said.number for one in read_entries(path)] == [96]
    run = sqlite3.connect(path)
    assert run.execute("PRAGMA user_version").fetchone() == (VERSION,)
    run.close()


def broken_files(path: Path) -> Iterator[tuple[str, str]]:
    with Log(path) as log:
        log.add([entry(n % 27 + 1, word="x" * 300) for n in range(200)])
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])
    yield "truncated", "damaged"
    path.write_bytes(whole[:4096] + b"\xff" * 8192 + whole[12288:])
    yield "overwritten", "damaged|no database|another program"
    path.write_text("first-rehearsal = 2027-03-01\n" * 40)
    yield "text", "no database at all"
    path.unlink()
    run = sqlite3.connect(path)
    run.execute("CREATE TABLE recipes (name TEXT)")
    run.commit()
    run.close()
    yield "foreign", "another program's database"
    path.unlink()
    with Log(path):
        pass
    run = sqlite3.connect(path)
    run.execute(f"PRAGMA user_version = {VERSION + 1}")
    run.commit()
    run.close()
    yield "newer", "written by a newer drills"


def used(path: Path) -> None:
    with Log(path) as log:
        log.entries()
        log.add([entry()])


def test_files_that_are_no_log_are_told_and_kept(path: Path) -> None:
    for kind, message in broken_files(path):
        before = path.read_bytes()
        with pytest.raises(LogError, match=message) as error:
            used(path)
        assert "\n" not in str(error.value), kind
        assert path.read_bytes() == before, kind


def test_a_log_that_another_is_writing_is_waited_for_and_told(path: Path) -> None:
    with Log(path):
        pass
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with (
        Log(path, patience=0.05) as log,
        pytest.raises(LogError, match="another drills is writing"),
    ):
        log.add([entry()])
    other.execute("COMMIT")
    other.close()
    with Log(path) as log:
        assert log.add([entry()]) == (1,)


def test_a_folder_that_cannot_be_written_can_be_read(path: Path) -> None:
    with Log(path) as log:
        log.add([entry()])
    path.parent.chmod(0o555)
    try:
        if os.access(path.parent, os.W_OK):
            pytest.skip("this user may write everywhere")
        assert len(read_entries(path)) == 1
    finally:
        path.parent.chmod(0o755)


def test_read_only_is_read_only(path: Path) -> None:
    with Log(path) as log:
        log.add([entry()])
    with Log(path, writing=False) as log:
        assert len(log.entries()) == 1
        with pytest.raises(LogError, match="reading only"):
            log.add([entry()])


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(LogError, match="cannot be opened"):
        Log(tmp_path / "nowhere" / "x.log.sqlite")


WRITER = """
import sys
from pathlib import Path
from tests.project.test_log import entry
from drills.project.log import Log
with Log(Path(sys.argv[1])) as log:
    print("open", flush=True)
    while True:
        print(*log.add([entry(), entry(22)]), flush=True)
"""


@pytest.mark.parametrize("moment", range(20))
def test_nothing_told_is_lost_when_the_power_goes(path: Path, moment: int) -> None:
    """kill -9 at a random moment: what was acknowledged is there, in pairs, and all is sound."""
    wait = random.Random(moment).uniform(0.0, 0.25)
    with subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path)], stdout=subprocess.PIPE, text=True
    ) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "open\n"
        time.sleep(wait)
        writer.send_signal(signal.SIGKILL)
        told = writer.stdout.read().split("\n")[:-1]
    assert checked(path) == "ok"
    ids = [one.id for one in read_entries(path)]
    acknowledged = [int(number) for line in told for number in line.split()]
    assert set(acknowledged) <= set(ids)
    assert len(ids) % 2 == 0


def test_export_and_import(path: Path) -> None:
    with Log(path) as log:
        log.add([entry(), entry(22, number=None), entry(23)])
        log.strike([3], AT)
    every = read_entries(path, struck=True)
    for text in (csv_text(every), json_text(every)):
        assert read_rows(text, "x") == (entry(), entry(22, number=None))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "head row"),
        ("a,b\r\n1,2\r\n", "head row"),
        ("passage,day,at\r\nk,2027-02-30,x\r\n", "entry 1 cannot be read"),
        ("{}", "no exported log"),
        ('{"entries": [{"passage": "a"}]}', "entry 1 cannot be read"),
        ("[" * 5000, "head row"),
    ],
)
def test_what_is_no_export_is_told(text: str, message: str) -> None:
    with pytest.raises(LogError, match=message):
        read_rows(text, "x.csv")


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"number": Fraction(0)}, "no metronome number"),
        ({"right": -1}, "out of bounds"),
        ({"minutes": Fraction(0)}, "out of bounds"),
        ({"at": datetime(2027, 2, 21)}, "no distance from UTC"),
        ({"passage": ""}, "its id is empty"),
        ({"word": "x" * 501}, "shorter"),
    ],
)
def test_entries_that_make_no_sense(changes: dict[str, Any], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        entry(**changes)


def test_origins_are_kept(path: Path) -> None:
    with Log(path) as log:
        log.add([entry(origin=origin, at=datetime.now(UTC)) for origin in Origin])
    assert [one.said.origin for one in read_entries(path)] == list(Origin)
