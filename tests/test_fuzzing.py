"""Damaged files get what was asked for or one of our errors; a short run of the fuzzer.

``bench/fuzz.py`` is the long one.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

COUNT = 80
"""Files; about ten seconds of work."""


@pytest.mark.skipif(os.name != "posix", reason="the system bounds no process")
@pytest.mark.parametrize("first", [0, 40])
def test_a_damaged_file_gets_what_was_asked_for_or_a_plain_answer(first: int) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tests.fuzzing", str(COUNT // 2), str(first)],
        capture_output=True,
        text=True,
        check=True,
    )
    outcomes = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(outcomes) == COUNT // 2
    assert [one for one in outcomes if one["kind"] not in ("done", "refused")] == []
    assert len([one for one in outcomes if one["kind"] == "done"]) > COUNT // 8
    assert not any("\n" in one["said"] for one in outcomes)
