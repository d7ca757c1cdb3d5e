"""Options, documentation, book and data say what the table of choices says, and no more."""

from __future__ import annotations

import json
import re
from dataclasses import fields
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import Any

import click
import pytest

import drills.cli
from drills.cli.options import ChordOptions, FileOptions, ForOptions, RunOptions
from drills.cli.sound_options import ClickOptions, ClimbOptions, PlayOptions, SoundFileOptions
from drills.jobs.asked.choice import COMMANDS, Choice, Kind
from drills.jobs.asked.table import BOOK_ONLY, CHOICES
from drills.project.book import BOOK_KEYS, PART_KEYS, SPOT_KEYS
from drills.sheets.choices import Choices

DOCS = Path(drills.__file__).parents[1] / "docs"
ROWS = re.findall(r"^\| (`-.*?) \| (.*) \|$", (DOCS / "commands.md").read_text("utf-8"), re.M)
"""Of the tables of options: the first column, and the others."""
GROUPS = (
    *(Choices, ForOptions, FileOptions, RunOptions, ChordOptions),
    *(ClickOptions, ClimbOptions, PlayOptions, SoundFileOptions),
)


def long(choice: Choice) -> str:
    """``--output`` of ``-o``, ``--output``; ``--landing`` of a switch."""
    return next(flag for flag in choice.written if flag.startswith("--"))


def command(name: str) -> click.Command:
    found: click.Command = import_module(f"drills.cli.commands.{name.replace('-', '_')}").command
    return found


def test_the_table_knows_every_command() -> None:
    assert list(COMMANDS) == list(drills.cli.COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_the_options_of_a_command_are_its_rows(name: str) -> None:
    given = {
        flag
        for one in command(name).params
        if isinstance(one, click.Option)
        for flag in (*one.opts, *one.secondary_opts)
    }
    rows = [one for one in CHOICES if name in one.commands]
    assert given == {"-h", *(flag for one in rows for flag in one.written)}
    assert len({one.name for one in rows}) == len(rows)


@pytest.mark.parametrize("name", COMMANDS)
def test_what_is_usual_can_be_read_and_is_within_its_limits(name: str) -> None:
    """Reading raises otherwise."""
    for one in CHOICES:
        if name in one.commands and one.read_as and one.usual is not None:
            one.read_as(one.usual)


def test_nothing_chosen_is_what_the_data_has_by_itself() -> None:
    """A usual value as text, read, is the field's own default."""
    for one in CHOICES:
        if one.into == "drill" and one.usual is not None:
            read = one.read_as or (lambda value: value)
            assert read(one.usual) == getattr(Choices(), one.field), one.name


def test_every_field_of_a_group_has_a_row() -> None:
    filled = {one.field for one in CHOICES if one.into}
    for group in GROUPS:
        own = {field.name for field in fields(group)}
        assert own - filled <= ({"tempo", *TEMPO_PARTS} if group is Choices else set()), group


TEMPO_PARTS = ("tempo_beat", "tempo_source", "tempo_only_for", "tempo_place")
"""What ``--tempo`` says in one word."""


def usual_words(choice: Choice) -> tuple[str, ...]:
    if isinstance(choice.usual, str):
        return (choice.usual,)
    return choice.usual if isinstance(choice.usual, tuple) else ()


@pytest.mark.parametrize("flag", sorted({long(one) for one in CHOICES}))
def test_the_documentation_has_a_row_for_every_choice(flag: str) -> None:
    own = [one for one in CHOICES if long(one) == flag]
    told = [(first, rest) for first, rest in ROWS if re.search(rf"{flag}\b(?!-)", first)]
    assert told, f"docs/commands.md has no row for {flag}"
    text = " ".join(f"{first} {rest}" for first, rest in told)
    for one in own:
        if one.kind is not Kind.WORD:
            assert one.unit in text, f"{flag} takes {one.unit}"
        for word in usual_words(one):
            assert word in text, f"{flag} is usually {word}"
        if one.kind is Kind.WORD and len(one.words) < 5:
            for word in one.words:
                assert f"{word}`" in text, f"{flag} {word}"


def test_the_documentation_tells_of_nothing_else() -> None:
    told = {flag for first, _ in ROWS for flag in re.findall(r"--[a-z-]+", first)}
    assert told == {f for one in CHOICES for f in one.written if f.startswith("--")}


@pytest.mark.parametrize("row", ROWS, ids=[first for first, _ in ROWS])
def test_commands_that_know_an_option(row: tuple[str, str]) -> None:
    """Where a table has a column of commands, it names all of them and no other."""
    first, rest = row
    column = rest.split(" | ")[0].replace("`--new`", "")
    named = set(re.findall(r"[a-z]+", column))
    if not re.fullmatch(r"[a-z, ]+", column) or not named <= set(COMMANDS):
        return
    for flag in re.findall(r"--[a-z-]+", first):
        know = {name for one in CHOICES if flag in one.written for name in one.commands}
        assert named == know, flag


def test_keys_of_a_book_are_those_of_the_table() -> None:
    keys = {one.book for one in CHOICES if one.book}
    assert keys | set(BOOK_ONLY) == {*BOOK_KEYS, *PART_KEYS, *SPOT_KEYS}


@cache
def schema(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((DOCS / "schema" / f"{name}.json").read_text("utf-8"))
    return found


def below(name: str, here: dict[str, Any], key: str) -> list[tuple[str, dict[str, Any]]]:
    """What a schema says of a key: through lists, references and alternatives."""
    found: list[tuple[str, dict[str, Any]]] = []
    if "$ref" in here:
        other, _, inner = here["$ref"].partition("#")
        target = other.rpartition("/")[2].removesuffix(".json").split(":")
        name = (target[-2] if len(target) > 1 else target[0]) if other else name
        there = schema(name)
        for step in inner.strip("/").split("/"):
            there = there[step] if step else there
        found += below(name, there, key)
    if key in here.get("properties", {}):
        found.append((name, here["properties"][key]))
    for inner in (here.get("items"), *here.get("oneOf", ()), *here.get("anyOf", ())):
        if isinstance(inner, dict):
            found += below(name, inner, key)
    for inner in here.get("allOf", ()):
        found += below(name, inner, key)
    return found


@pytest.mark.parametrize("place", sorted({one.data for one in CHOICES if one.data}))
def test_data_has_the_place_that_a_row_names(place: str) -> None:
    name, _, path = place.partition(":")
    here = [(name, schema(name))]
    for key in path.split("."):
        here = [more for of, one in here for more in below(of, one, key)]
        assert here, f"{place}: the schema has no {key}"
