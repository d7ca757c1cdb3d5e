"""The page about the commands says what the program does, and nothing else."""

from __future__ import annotations

import re
from pathlib import Path

import drills
from drills.cli.exits import EXIT_CODES
from drills.project.book import BOOK_KEYS, PART_KEYS, SPOT_KEYS, parse_book

PAGE = (Path(drills.__file__).parents[1] / "docs" / "commands.md").read_text(encoding="utf-8")


def test_the_table_of_exit_codes() -> None:
    section = PAGE.split("## Exit codes")[1]
    told = {int(code): text for code, text in re.findall(r"^\| (\d+) \| (.*) \|$", section, re.M)}
    assert told == EXIT_CODES


def test_every_key_of_a_book_is_told_and_the_example_is_one() -> None:
    section = PAGE.split("## A book")[1]
    told = set(re.findall(r"^\| `([a-z-]+)` \|", section, re.MULTILINE))
    assert told == {*BOOK_KEYS, *PART_KEYS, *SPOT_KEYS} - {"spot"}
    example = re.search(r"```toml\n(.*?)```", section, re.DOTALL)
    assert example is not None
    assert parse_book(example[1].encode(), Path("spring.toml")).title == "Spring concert"
