"""Killed at any moment (signal 9), the book and the log are whole.

Whole means: the book is one that its reader takes, with every spot once; SQLite itself finds no
fault in the log (PRAGMA integrity_check, sqlite.org/pragma.html), and what was said to be in
it is there.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import shutil
import signal
import sqlite3
import time
from collections.abc import Callable
from multiprocessing.sharedctypes import Synchronized
from pathlib import Path
from typing import Any

import httpx
import pytest

from drills.project.book import read_book
from drills.project.log import log_path, read_entries
from drills.resources import scores_folder
from drills.stand import book_tasks, day_tasks
from drills.stand.shelf import id_of
from tests.stand.standing import MARCH, standing

DELAYS = (0.01, 0.03, 0.06, 0.1, 0.2)
"""Seconds after which it is killed."""
FORK = multiprocessing.get_context("fork")
Counted = Any
"""A number that two processes see."""


@pytest.fixture(name="folder")
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(scores_folder() / MARCH, tmp_path)
    monkeypatch.chdir(tmp_path)
    book_tasks.put("", MARCH, 2, "8", "")
    day_tasks.judged((MARCH, "2", "8"), 1, "60", right=True)  # what is slow is kept from here on
    return tmp_path


def marking(said: Synchronized[int]) -> None:
    for bar in range(9, 200):
        book_tasks.put(book_tasks.listed()["version"], MARCH, 2, str(bar), "")
        said.value += 1


def judging(said: Synchronized[int]) -> None:
    for n in range(1000):
        day_tasks.judged((MARCH, "2", "8"), 1, "60", right=n % 2 == 0)
        said.value += 1


def killed(work: Callable[[Any], None], delay: float) -> int:
    """How often it had said that it was done, when it was killed."""
    said: Synchronized[int] = FORK.Value("i", 0)
    process = FORK.Process(target=work, args=(said,))
    process.start()
    time.sleep(delay)
    assert process.pid is not None
    os.kill(process.pid, signal.SIGKILL)
    process.join(10)
    return said.value


def whole(folder: Path, spots: int, entries: int) -> None:
    """Book and log are whole, and hold at least so much."""
    found = [spot.at for spot in read_book(folder / "book.toml").parts[0].spots]
    assert len(found) == len(set(found)) >= spots
    log = log_path(folder / "book.toml")
    with contextlib.closing(sqlite3.connect(log)) as line:
        assert line.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert len(read_entries(log)) >= entries


@pytest.mark.parametrize("work", [marking, judging])
def test_a_process_that_writes(folder: Path, work: Callable[[Any], None]) -> None:
    spots = entries = 1
    for delay in DELAYS:
        said = killed(work, delay)
        spots, entries = spots + said * (work is marking), entries + said * (work is judging)
        whole(folder, spots, entries)
        if work is marking:  # from the beginning again
            version = book_tasks.listed()["version"]
            for _ in range(len(read_book(folder / "book.toml").parts[0].spots) - 1):
                version = book_tasks.take_out(version, 0, 1)["version"]
            spots = 1
    version = book_tasks.listed()["version"]
    assert book_tasks.put(version, MARCH, 2, "30", "")["parts"], "the lock of a dead one is free"


def below(process: int) -> list[str]:
    """The processes that it has started, and those that these have (proc_pid_task(5))."""
    with contextlib.suppress(FileNotFoundError):
        threads = Path(f"/proc/{process}/task").glob("*/children")
        own = [child for thread in threads for child in thread.read_text().split()]
        return [*own, *(one for child in own for one in below(int(child)))]
    return []


def test_the_server_itself(tmp_path: Path) -> None:
    """With a change under way; its processes end with it, and another server goes on."""
    with standing(tmp_path) as stand, stand.client() as client:
        spot = {"version": "", "score": id_of(MARCH), "part": 2, "at": "33", "note": ""}
        assert client.post("/api/list/put", json=spot).status_code == 200
        judged = {"score": id_of(MARCH), "part": 2, "at": "33", "block": 1, "number": "60"}
        assert client.post("/api/right", json={**judged, "right": True}).status_code == 200
        with contextlib.suppress(httpx.TimeoutException):
            client.post("/api/right", json={**judged, "right": False}, timeout=0.02)
        workers = below(stand.process.pid)
        assert len(workers) >= 2
        os.kill(stand.process.pid, signal.SIGKILL)
        stand.process.wait(10)
        end = time.monotonic() + 10
        while any(Path(f"/proc/{worker}/cwd").exists() for worker in workers):
            assert time.monotonic() < end, "a process of it is left"
            time.sleep(0.02)
    whole(tmp_path, 1, 1)
