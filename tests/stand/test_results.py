"""What the page gives is byte for byte what the command line writes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from drills.cli import drills
from drills.resources import scores_folder
from drills.stand import sheet_tasks
from drills.stand.wishes import Words
from tests.stand.standing import MARCH


@pytest.fixture(autouse=True)
def _folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for path in scores_folder().glob("*.musicxml"):
        shutil.copy(path, tmp_path)
    monkeypatch.chdir(tmp_path)


def tell(_: str) -> None:
    pass


def command(*words: str) -> None:
    done = CliRunner().invoke(drills, [*words, "--quiet"])
    assert done.exit_code == 0, done.output


PAGES: list[tuple[str, str, Words, list[str]]] = [
    ("2", "33", {}, []),
    (
        "4",
        "D-D:2",
        {"student": "yes", "staff_size": "18", "landing": "no", "rhythm": ["dotted"], "all": "yes"},
        ["--student", "--staff-size", "18", "--no-landing", "--rhythm", "dotted", "--all"],
    ),
    (
        "3",
        "33",
        {"for_instrument": "horn", "practice_minutes": "8", "paper": "letter"},
        ["--for", "horn", "--minutes", "8", "--paper", "letter"],
    ),
]


@pytest.mark.parametrize(("part", "place", "words", "options"), PAGES)
def test_the_same_pages(part: str, place: str, words: Words, options: list[str]) -> None:
    made = sheet_tasks.sheet((MARCH, part), (place,), words, "pdf", tell)
    ((name, content),) = made["files"]
    command("sheet", MARCH, "--part", part, "--at", place, *options)
    assert Path(name).read_bytes() == content


def test_the_same_sound() -> None:
    made = sheet_tasks.climb("air.musicxml", "1", "5")
    ((name, content),) = made["files"]
    command("click", "air.musicxml", "--part", "1", "--at", "5")
    assert Path(name).read_bytes() == content
