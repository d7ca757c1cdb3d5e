"""The page about the commands says what the program does, and nothing else."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path

import click
import pytest

import drills
from drills.cli import COMMANDS
from drills.cli.exits import EXIT_CODES
from drills.project.book import BOOK_KEYS, PART_KEYS, SPOT_KEYS, parse_book

PAGE = (Path(drills.__file__).parents[1] / "docs" / "commands.md").read_text(encoding="utf-8")


def options_of(name: str) -> set[str]:
    """Every long option of a command."""
    command: click.Command = import_module(f"drills.cli.commands.{name}").command
    return {
        option
        for parameter in command.params
        for option in (*parameter.opts, *parameter.secondary_opts)
        if option.startswith("--")
    }


def options_told() -> set[str]:
    """Every long option that a row of a table on the page begins with."""
    rows = re.findall(r"^\| (`-.*?) \|", PAGE, re.MULTILINE)
    return {option for row in rows for option in re.findall(r"--[a-z-]+", row)}


def test_every_option_is_told_and_every_told_one_exists() -> None:
    there = set().union(*(options_of(name) for name in COMMANDS))
    assert options_told() == there


@pytest.mark.parametrize("name", list(COMMANDS))
def test_options_that_only_some_commands_have(name: str) -> None:
    for row in re.findall(r"^\| (`-.*?) \| ([a-z, `-]+) \|", PAGE, re.MULTILINE):
        options, commands = row
        named = set(re.findall(r"[a-z]+", commands.replace("--new", "")))
        if not named <= set(COMMANDS):
            continue  # a table without a column of commands
        for option in re.findall(r"--[a-z-]+", options):
            assert (option in options_of(name)) == (name in named), f"{name} {option}"


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
