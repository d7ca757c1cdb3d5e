"""``drills write`` and ``--notes``: bars typed by hand, from the command line to a file."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest

from drills.cli import main
from drills.cli.typing_in import typed_at_terminal
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part

BAR = "4/4 F major: 16ths c5 bb4 c5 e5 c5 bb4 a4 g4 half f4"


def run(*words: str) -> int:
    try:
        return main(list(words)) or 0  # type: ignore[func-returns-value]
    except SystemExit as left:
        return int(left.code or 0)


def test_written_bars_are_a_score(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("write", "bar.musicxml", "--notes", BAR, "--instrument", "clarinet") == 0
    out = capsys.readouterr().out
    assert "bar 1: 4/4 F major: 16th c5 bb4 c5 e5 c5 bb4 a4 g4 half f4" in out
    part = read_part(open_score(Path("bar.musicxml")))
    assert part.instrument.name == "Clarinet in B flat"
    assert len(part.bars[0].voices[0].events) == 9


def test_notes_take_the_place_of_a_score(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("spots", "--notes", BAR, "--instrument", "clarinet", "--tempo", "120") == 0
    assert run("show", "--notes", BAR) == 0
    assert run("sheet", "--notes", BAR, "--json") == 0
    assert run("section", "--notes", BAR, "--notes", BAR, "--instrument", "flute", "--json") == 0
    capsys.readouterr()
    assert run("sheet", "march.musicxml", "--notes", BAR) == 2
    assert "--notes takes the place of a score" in capsys.readouterr().err
    assert run("sheet", "--notes", "4/4 c5 h5") == 2
    assert 'bar 1, word 3, "h5"' in capsys.readouterr().err


def test_bars_are_asked_for_one_by_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = "theremin\nflute\n2/4: c5 d5\nc5 zz\ne5 f5\n\n"
    monkeypatch.setattr(sys, "stdin", io.StringIO(answers))
    typed = typed_at_terminal(None, Limits())
    assert typed is not None
    assert (typed.text, typed.instrument) == ("2/4: c5 d5\ne5 f5", "Flute")
    told = capsys.readouterr().err
    assert "'theremin' is no instrument" in told
    assert "bar 1: 2/4 quarter c5 d5" in told
    assert 'bar 2, word 2, "zz"' in told
