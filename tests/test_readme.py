"""What the README says is so: its commands exist, and so do the options in them."""

from __future__ import annotations

import re
import shlex
import tomllib
from dataclasses import fields
from pathlib import Path

import click
import pytest

from drills.cli import drills
from drills.cli.ranked import ranked
from drills.effort.settings import TERMS, Limits
from drills.jobs.spots import Judging, rank_part
from drills.sheets.rhythms import FAMILIES, find_rhythms

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```sh\n(.*?)```", README, re.DOTALL)
LINES = [
    line for block in BLOCKS for line in block.strip().splitlines() if line.startswith("drills ")
]


def test_the_job_stands_first_in_one_paragraph() -> None:
    title, job, *_ = README.split("\n\n")
    assert title == "# drills"
    for word in ("MusicXML", "slowly and correctly", "dotted", "metronome", "student"):
        assert word in job


@pytest.mark.parametrize("line", LINES)
def test_every_command_of_the_readme_is_understood(line: str) -> None:
    """Parsed by the real command line: unknown options and values would raise."""
    _, name, *arguments = shlex.split(line)
    context = click.Context(drills)
    command = drills.get_command(context, name)
    assert command is not None, name
    command.make_context(name, arguments, parent=context)


def test_the_two_commands() -> None:
    for name in ("demo", "test"):
        found = re.search(rf"<!-- command: {name} -->\n```sh\n(.*?)\n```", README, re.DOTALL)
        assert found is not None
        assert "\n" not in found[1], "one command each"


def test_every_rhythm_of_the_readme_exists() -> None:
    (listed,) = re.findall(r"The rhythms are (.*?), or proportions", README, re.DOTALL)
    for name in listed.replace("\n", " ").split(","):
        assert find_rhythms(name)
    assert "one-long-in-four" in FAMILIES


def test_the_book_of_the_readme_is_a_book() -> None:
    (text,) = re.findall(r"```toml\n(.*?)```", README, re.DOTALL)
    book = tomllib.loads(text)
    assert book["part"][0]["spot"][0]["at"] == "E:3-E:4@1"


def test_the_ranking_of_the_readme_is_what_is_printed() -> None:
    (shown,) = re.findall(r"\n```\n(Out Past.*?)```", README, re.DOTALL)
    score = ROOT / "scores" / "march.musicxml"
    assert ranked(rank_part(score, "Clarinet 1", Judging(), top=2), (1, 2)) + "\n" == shown


def test_every_term_is_told_with_its_weight() -> None:
    page = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    for name, fact in TERMS.items():
        assert f"| `{name}` | {fact.unit} | {fact.weight:g} | {fact.why} |" in page
    for limit in fields(Limits):
        assert f"| `{limit.name}` |" in page
        assert f"| {limit.default:g} |" in page


def test_pictures_and_pages_exist() -> None:
    for target in re.findall(r"\]\(((?!http)[^)#]+)\)", README):
        assert (ROOT / target).exists(), target


def test_cautions_stand_in_the_readme() -> None:
    text = README.lower()
    for word in ("rest\noften", "sign of pain", "headphones", "teacher", "doctor"):
        assert word in text, word
