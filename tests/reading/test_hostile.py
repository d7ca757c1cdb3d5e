"""Files that ask for gigabytes or hours are refused in 2 seconds and 300 MB, the limit named.

Each is read in a process of its own.  The system ends one that takes more than two
seconds of processor time; the memory is the system's own figure, with the whole
program in it.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from tests.reading.hostile import HOSTILE, MEGABYTES, NOBODY, PIPES, SECONDS

pytestmark = pytest.mark.skipif(os.name != "posix", reason="the system bounds no process")


@pytest.fixture(name="outcomes", scope="module")
def _outcomes(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, object]]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.reading.hostile", str(tmp_path_factory.mktemp("hostile"))],
        capture_output=True,
        text=True,
        check=True,
    )
    found = [json.loads(line) for line in done.stdout.splitlines()]
    return {one["name"]: one for one in found}


@pytest.mark.parametrize(
    ("name", "says"),
    [*((one.name, one.limit) for one in HOSTILE), *((name, NOBODY) for name in PIPES)],
)
def test_a_file_that_asks_for_too_much_is_refused_at_once(
    outcomes: dict[str, dict[str, object]], name: str, says: str
) -> None:
    outcome = outcomes[name]
    assert outcome["kind"] == "refused", outcome
    assert says in str(outcome["said"])
    assert float(str(outcome["seconds"])) <= SECONDS
    assert float(str(outcome["megabytes"])) <= MEGABYTES
