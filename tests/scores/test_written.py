"""The committed scores are what their sources say, and valid MusicXML 4.0."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.schema import complaints
from tests.scores.heard import FOLDER, NAMES, document, path_of


def _run(script: Path, *arguments: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, str(script), *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def test_writing_the_scores_again_gives_the_same_bytes(tmp_path: Path) -> None:
    outcome = _run(FOLDER / "write_scores.py", tmp_path)
    assert outcome.returncode == 0, outcome.stderr
    written = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    committed = {path.name: path.read_bytes() for path in FOLDER.glob("*.musicxml")}
    assert written.keys() == committed.keys() == {f"{name}.musicxml" for name in NAMES}
    differing = [name for name, content in written.items() if content != committed[name]]
    assert differing == [], "run python scores/write_scores.py"


@pytest.mark.parametrize("name", NAMES)
def test_valid_by_the_schema(name: str) -> None:
    """Schema: W3C Music Notation Community Group, MusicXML 4.0."""
    assert complaints(path_of(name).read_bytes()) == []
    assert document(name).tag == "score-partwise"
    assert document(name).get("version") == "4.0"


FAULTS = (
    ("Bb4q Eb5e. F5s G5q Eb5 |", "Bb4q Eb5e. F5s G5q |", "bar 5: 3 quarters instead of 4"),
    ("3{Bb4e( C5 D5)}", "3{Bb4e( C5 D5)", "tuplet stays open"),
    ("mark A; repeat", "mark A; ripeat", "'ripeat' is not a sign"),
    ("chords: Eb | Ab Fm", "chords: Eb | Hb Fm", "'Hb' is not a chord"),
    ("Eb4q.( Ab4q Bb4e)", "Eb4q.( Ab4q Xb4e)", "cannot read 'Xb4e)'"),
    ("Bb4q.~ Bb4q re", "Bb4q.~ C5q re", "a tie to another pitch"),
    ("bars 5-12", "bars 6-12", "bar 5 should come next"),
    ("| Bb3q> r Ab3> r", "", "7 bars instead of 8"),
)
"""Text of the march's source, a slip in its place, and what must be said about it."""


@pytest.mark.parametrize(("right", "wrong", "said"), FAULTS)
def test_a_slip_in_a_source_is_named_and_nothing_is_written(
    tmp_path: Path, right: str, wrong: str, said: str
) -> None:
    for folder in ("source", "maker"):
        shutil.copytree(FOLDER / folder, tmp_path / folder)
    script = shutil.copy(FOLDER / "write_scores.py", tmp_path)
    source = tmp_path / "source" / "march.txt"
    text = source.read_text(encoding="utf-8")
    assert right in text
    source.write_text(text.replace(right, wrong, 1), encoding="utf-8")
    outcome = _run(Path(script))
    assert outcome.returncode == 1
    assert "march.txt" in outcome.stderr
    assert said in outcome.stderr
    assert "Traceback" not in outcome.stderr
    assert not (tmp_path / "march.musicxml").exists()
