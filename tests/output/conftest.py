"""What several tests of outputs share."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture(name="small_disk")
def _small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 64 KiB, where the system lets us have one."""
    place = tmp_path / "small"
    place.mkdir()
    options = ["-t", "tmpfs", "-o", "size=64k", "tmpfs"]
    try:
        subprocess.run(["mount", *options, str(place)], check=True, capture_output=True)
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("this system does not let the tests mount a small disk")
    yield place
    subprocess.run(["umount", str(place)], check=True)
