"""Files of other formats that others wrote have the attacks that other readers hear in them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reading.other.corpora import KINDS, compared

STRIDE = 8
"""Of fifty files of each kind every eighth; bench/corpora.py takes all."""


@pytest.mark.parametrize("kind", KINDS)
def test_another_reader_hears_the_same(kind: str, tmp_path: Path) -> None:
    files = list(compared(kind, tmp_path, STRIDE))
    assert len(files) >= 50 // STRIDE
    assert all(file.attacks for file in files)
    assert [file for file in files if not file.explained] == []
