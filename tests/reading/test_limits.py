"""The limits as a player sets them, and what their messages say."""

from __future__ import annotations

from dataclasses import fields

import pytest

from drills.errors import LimitError, UsageError
from drills.reading.limits import _WORDS, Limits

NAMES = [field.name for field in fields(Limits)]


def test_every_limit_has_words() -> None:
    assert list(_WORDS) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_every_limit_can_be_set(name: str) -> None:
    changed = Limits().with_values({name: "7"})
    assert getattr(changed, name) == 7
    assert [n for n in NAMES if getattr(changed, n) != getattr(Limits(), n)] == [name]


@pytest.mark.parametrize("name", NAMES)
def test_every_message_says_the_limit_and_how_to_raise_it(name: str) -> None:
    limit = getattr(Limits(), name)
    text = str(Limits().exceeded(name, "9,999", "reel.musicxml, bar 12"))
    assert text.startswith("reel.musicxml, bar 12: ")
    assert "9,999" in text
    assert f"{limit:,}" in text
    assert text.endswith(f"raise the limit with --limit {name}={2 * limit}")
    assert "\n" not in text


@pytest.mark.parametrize(
    ("value", "advised"), [(11, 20), (20, 20), (59, 80), (float("inf"), 10**12)]
)
def test_the_limit_that_is_advised_lets_the_file_through(value: float, advised: int) -> None:
    with pytest.raises(LimitError, match=f"--limit bars={advised}$"):
        Limits(bars=10).check("bars", value, "x")


def test_several_at_once_and_with_hyphens() -> None:
    changed = Limits().with_values({"file-size": "1_000", " bars ": " 20 "})
    assert (changed.file_size, changed.bars) == (1_000, 20)


@pytest.mark.parametrize("value", ["", "many", "1.5", "-1", "0", "9" * 30, "1e6"])
def test_values_that_make_no_sense(value: str) -> None:
    with pytest.raises(UsageError, match=r"--limit bars=.*: give a"):
        Limits().with_values({"bars": value})


def test_depth_has_an_end() -> None:
    with pytest.raises(UsageError, match="from 1 to 2000"):
        Limits().with_values({"depth": "2001"})


def test_an_unknown_name_lists_the_known_ones() -> None:
    with pytest.raises(UsageError, match="--limit barz: no such limit; there are file_size"):
        Limits().with_values({"barz": "3"})
