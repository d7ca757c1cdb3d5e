"""A process with limits answers within them, ends beyond them, and runs nothing twice."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from drills.reading.confined import OUT_OF_TIME, Child

ROOT = Path(__file__).parents[3]
BOUNDED = pytest.mark.skipif(os.name != "posix", reason="the system bounds no process")


@pytest.fixture(name="child")
def _child() -> Iterator[Child]:
    child = Child("tests.reading.confined.served", "serve")
    yield child
    child.end()


def ask(child: Child, *question: object, seconds: float = 20.0) -> bytes:
    return child.ask(json.dumps(question).encode(), seconds)


def test_one_answer_after_another(child: Child) -> None:
    assert ask(child, "nothing") == b"done"
    assert ask(child, "print") == b"done"
    assert ask(child, "nothing") == b"done"


@BOUNDED
def test_a_file_grows_no_larger_than_it_may(child: Child, tmp_path: Path) -> None:
    path = tmp_path / "a"
    assert ask(child, "write", str(path), 1000, 4096) == b"done"
    assert b"too large" in ask(child, "write", str(path), 100_000, 4096)
    assert path.stat().st_size <= 4096


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="Linux bounds memory")
def test_memory_is_bounded(child: Child) -> None:
    assert ask(child, "hold", 1000, 2 << 30) == b"1000"
    assert ask(child, "hold", 3 << 30, 2 << 30) == b"too much"


def test_what_takes_too_long_is_ended(child: Child) -> None:
    """By the clock of this side, which Windows has too."""
    assert ask(child, "turn", seconds=0.3) == b""
    assert child.end() in OUT_OF_TIME


def test_a_script_without_a_guard_is_run_once(tmp_path: Path) -> None:
    """The documentation of multiprocessing: with "spawn" the main module is imported anew."""
    script = tmp_path / "mine.py"
    script.write_text(
        "from drills.reading.confined import Child\n"
        "print('begun')\n"
        "child = Child('tests.reading.confined.served', 'serve')\n"
        "print(child.ask(b'[\"nothing\"]', 20.0).decode())\n"
    )
    done = subprocess.run(
        [sys.executable, str(script)],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert done.stdout.split() == ["begun", "done"]
