"""``--metre`` and ``--key``: given, asked for at a terminal, or written in a book."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from drills.cli import run
from tests.cli.music import Player
from tests.reading.other.silent import SILENT


@pytest.fixture(autouse=True)
def _quay(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "quay.mid").write_bytes(SILENT["mid"])


def data(capsys: pytest.CaptureFixture[str], *words: str) -> Any:  # noqa: ANN401 - JSON
    assert run([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_they_are_in_the_bars(capsys: pytest.CaptureFixture[str]) -> None:
    (bar, _) = data(capsys, "show", "quay.mid", "--metre", "3/4", "--key", "F major")[0]["bars"]
    assert bar["time"] == "3/4"
    assert bar["key"] == {"fifths": -1, "mode": "major"}


@pytest.mark.parametrize(
    "words",
    [
        ("spots", "quay.mid", "--tempo", "200"),
        ("sheet", "quay.mid", "--at", "2", "--tempo", "60"),
        ("section", "quay.mid", "--at", "2", "--tempo", "60"),
        ("click", "quay.mid", "--at", "2", "--tempo", "60", "--rungs", "1"),
    ],
)
def test_every_command_counts_by_them(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...]
) -> None:
    assert data(capsys, *words, "--metre", "2/4") != data(capsys, *words, "--metre", "3/4")


def first_note(made: Any) -> str:  # noqa: ANN401 - JSON
    found: str = made["sheets"][0]["spot"]["line"][0]["tones"][0]["written"]
    return found


def test_bars_are_counted_by_the_metre(capsys: pytest.CaptureFixture[str]) -> None:
    """Of six quarters bar 2 begins with the third in 2/4, with the fourth in 3/4."""
    words = ("sheet", "quay.mid", "--at", "2", "--tempo", "60")
    assert first_note(data(capsys, *words, "--metre", "2/4")) == "E5"
    assert first_note(data(capsys, *words, "--metre", "3/4")) == "F5"


def test_typed_bars_say_them_themselves(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["sheet", "--notes", "c5", "--metre", "3/4"]) == 2
    assert "typed bars begin with both" in capsys.readouterr().err


def test_a_book_says_them_under_the_part(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "book.toml"
    text = '[[part]]\nfile = "quay.mid"\ntempo = 60\nmetre = "{}"\nkey = "F major"\n'
    spot = '[[part.spot]]\nat = "2"\n'
    book.write_text(text.format("3/4") + spot)
    assert first_note(data(capsys, "book", "book.toml")) == "F5"
    for command in ("click", "hand-out"):
        assert run([command, "book.toml", "--metre", "3/4"]) == 2
        assert "a book says metre and key itself" in capsys.readouterr().err
    book.write_text(text.format("3/5") + spot)
    assert run(["book", "book.toml"]) == 8
    assert "book.toml, part 1: '3/5' is no metre" in capsys.readouterr().err


def test_at_a_terminal_they_are_asked_for(player: Player) -> None:
    (player.folder / "quay.mid").write_bytes(SILENT["mid"])
    told, seen = player.at_a_terminal("quick\n3/4\nF major\n", "show", "quay.mid")
    assert seen.count("quay.mid gives no metre. Metre, such as 6/8 [4/4]: ") == 2
    assert "quay.mid gives no key. Key that sounds, such as F major [no key]: " in seen
    assert "1 flat (F major)" in told
    assert "3/4" in told
