"""Files of other formats are read in a process with limits, and nothing but it ends."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from drills.errors import LimitError
from drills.reading.confined import Child
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part
from drills.reading.other import apart
from tests.reading.other.silent import SILENT


@pytest.fixture(name="path")
def _path(tmp_path: Path) -> Path:
    path = tmp_path / "quay.krn"
    path.write_bytes(SILENT["krn"])
    return path


def can_be_read(path: Path) -> bool:
    return len(read_part(open_score(path)).bars) == 2


def test_one_process_reads_one_file_after_another(path: Path) -> None:
    assert can_be_read(path)
    (first,) = apart._readers
    assert can_be_read(path)
    assert apart._readers == [first]
    assert first.owner == os.getpid()


@pytest.mark.skipif(os.name != "posix", reason="the system bounds no process")
def test_a_file_that_takes_too_long_is_refused_and_the_next_one_read(path: Path) -> None:
    slow = path.with_name("slow.krn")
    lines = "\n".join(f"={n}\n4c\n4d\n4e\n4f" for n in range(9_000))
    slow.write_text(f"**kern\n*M4/4\n{lines}\n*-\n")
    with pytest.raises(LimitError, match=r"slow.krn: reading it takes .* --limit seconds=2"):
        open_score(slow, Limits(seconds=1))
    assert apart._readers == []
    assert can_be_read(path)


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="Linux bounds memory")
def test_a_file_that_takes_too_much_memory_is_refused_and_the_next_one_read(path: Path) -> None:
    large = path.with_name("large.krn")
    large.write_bytes(SILENT["krn"] + b"!" * 20_000_000)
    with pytest.raises(LimitError, match=r"large.krn: reading it takes .* --limit megabytes=20"):
        open_score(large, Limits(megabytes=10))
    assert can_be_read(path)


def test_a_player_who_has_had_enough_leaves_no_answer_behind(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert can_be_read(path)

    def interrupted(*_: object) -> bytes:
        raise KeyboardInterrupt

    with monkeypatch.context() as changed:
        changed.setattr(Child, "ask", interrupted)
        with pytest.raises(KeyboardInterrupt):
            open_score(path)
    assert apart._readers == []
    assert can_be_read(path)
