"""The public face: what docs/library.md shows runs as it stands there."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import drills
from drills.errors import PlaceError, UsageError
from drills.jobs.request import Settings
from drills.jobs.sheets import build_sheets
from tests.reading.other.silent import SILENT

ROOT = Path(drills.__file__).parent.parent
EXAMPLES = re.findall(
    r"```python\n(.*?)```", (ROOT / "docs" / "library.md").read_text("utf-8"), re.DOTALL
)


def test_the_examples_of_the_documentation_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """One after the other, in a folder with the demo's march."""
    shutil.copy(ROOT / "scores" / "march.musicxml", tmp_path)
    monkeypatch.chdir(tmp_path)
    names: dict[str, object] = {}
    for example in EXAMPLES:
        exec(compile(example, "docs/library.md", "exec"), names)
    assert Path("33.pdf").read_bytes().startswith(b"%PDF")
    assert Path("33.flac").read_bytes().startswith(b"fLaC")
    told = capsys.readouterr().out
    assert "bar 29" in told
    assert "104" in told
    assert "there is no bar 999" in told or "999" in told.splitlines()[-1]


def test_a_sheet_is_that_of_the_command_line() -> None:
    score = ROOT / "scores" / "march.musicxml"
    part = drills.read(score, 2)
    made = build_sheets(score, ["33"], "2", Settings())
    assert drills.sheet(part, at="33") == made.sheets[0]


def test_names_are_loaded_when_they_are_used() -> None:
    """Importing the package imports no engraver, no reader and no numbers library."""
    code = "import sys, drills; print(sorted(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    )
    for name in ("music21", "numpy", "jinja2", "drills.jobs"):
        assert f"'{name}'" not in done.stdout
    assert set(drills.__all__) == set(dir(drills))
    for name in drills.__all__:
        assert callable(getattr(drills, name))


def test_wrong_words_are_told() -> None:
    part = drills.read(ROOT / "scores" / "march.musicxml", "Clarinet 1")
    with pytest.raises(UsageError, match="there is no choice 'rythms'; there are sizes, rhythms"):
        drills.sheet(part, at="33", rythms=["dotted"])
    with pytest.raises(UsageError, match=r"33\.doc: end the name in one of \.pdf"):
        drills.write(drills.sheet(part, at="33"), "33.doc")
    with pytest.raises(PlaceError, match="999"):
        drills.practice(part, at="999")
    with pytest.raises(AttributeError, match="has no attribute 'play'"):
        drills.play  # noqa: B018


def test_metre_and_key_are_given_where_a_file_has_none(tmp_path: Path) -> None:
    """Also by a script without a guard around what it does, which no child may run again."""
    (tmp_path / "quay.mid").write_bytes(SILENT["mid"])
    script = tmp_path / "script.py"
    script.write_text(
        "import drills\n"
        'part = drills.read("quay.mid", metre="3/4", key="F major")\n'
        "print(part.bars[0].time, part.bars[0].key.fifths)\n"
    )
    done = subprocess.run(
        [sys.executable, str(script)], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    assert done.stdout == "3/4 -1\n"
