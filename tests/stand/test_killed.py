"""Killed at any moment (signal 9), the book and the log are whole.

Processes that write are killed here, after delays; the whole server in test_door.py.
"""

from __future__ import annotations

import multiprocessing
import os
import shutil
import signal
import time
from collections.abc import Callable
from multiprocessing.sharedctypes import Synchronized
from pathlib import Path
from typing import Any

import pytest

from drills.project.book import read_book
from drills.resources import scores_folder
from drills.stand import book_tasks, day_tasks
from tests.stand.standing import MARCH
from tests.stand.wholeness import whole

DELAYS = (0.01, 0.03, 0.06, 0.1, 0.2)
"""Seconds after which it is killed."""
FORK = multiprocessing.get_context("fork")
Counted = Any
"""A number that two processes see."""


@pytest.fixture(name="folder")
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copy(scores_folder() / MARCH, tmp_path)
    monkeypatch.chdir(tmp_path)
    book_tasks.put("", (MARCH, 2, "8"), "")
    day_tasks.judged((MARCH, "2", "8"), 1, "60", right=True)  # what is slow is kept from here on
    return tmp_path


def marking(said: Synchronized[int]) -> None:
    for bar in range(9, 200):
        book_tasks.put(book_tasks.listed()["version"], (MARCH, 2, str(bar)), "")
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
    assert book_tasks.put(version, (MARCH, 2, "30"), "")["parts"], "the lock of a dead one is free"
