"""Damaged files of every format: read, or refused with an error of the program, never else.

``bench/fuzz_formats.py`` reads thousands.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from drills.errors import DrillsError
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_all
from tests.fuzzing.formats import KINDS, damaged, seeds

FILES = 10
"""Damaged files of each format."""


@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_file_is_read_or_refused(kind: str, tmp_path: Path) -> None:
    path = tmp_path / "damaged"
    path.write_bytes(seeds(kind)[0])
    assert read_all(open_score(path))
    for number in range(FILES):
        path.write_bytes(damaged(kind, random.Random(f"{kind} {number}")))
        refusal = _refusal(path)
        assert refusal is None or str(path) in refusal


def _refusal(path: Path) -> str | None:
    """What the program says of a file that it does not read; any other error is one."""
    try:
        read_all(open_score(path, Limits(notes=2_000, bars=200)))
    except DrillsError as error:
        return str(error)
    return None
