"""The settings file: every term and limit can be set, and a slip is named."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest

from drills.effort.settings import TERMS, USUAL, Limits, judgement_of, read_judgement
from drills.errors import UsageError


def test_what_is_left_out_stays_as_usual(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("[weights]\ntonguing = 2\n\n[limits]\ntonguing = 6.5\n", encoding="utf-8")
    found = read_judgement(path)
    assert found.weights == {**USUAL.weights, "tonguing": 2.0}
    assert found.limits == Limits(tonguing=6.5)


def test_every_term_and_limit_can_be_set() -> None:
    limits = [one.name for one in fields(Limits)]
    told = {"weights": dict.fromkeys(TERMS, 3), "limits": dict.fromkeys(limits, 3)}
    found = judgement_of(told, "mine.toml")
    assert set(found.weights.values()) == {3.0}
    assert found.limits == Limits(3.0, 3.0, 3.0)


def test_the_order_of_the_terms_is_kept() -> None:
    assert list(judgement_of({"weights": {"breath": 2}}, "mine.toml").weights) == list(TERMS)


@pytest.mark.parametrize(
    ("told", "message"),
    [
        ({"weight": {}}, r"mine\.toml: nothing is called 'weight'; did you mean weights\?"),
        ({"weights": {"tonging": 1}}, r"did you mean tonguing\?"),
        ({"weights": {"xyz": 1}}, "there are move, leap"),
        ({"weights": {"move": -1}}, "move is a number from 0 to 1000, not -1"),
        ({"weights": {"move": True}}, "not True"),
        ({"weights": {"move": "much"}}, "not 'much'"),
        ({"weights": {"move": float("nan")}}, "not nan"),
        ({"weights": 3}, "weights is a table"),
        ({"limits": {"tonguing": 0}}, "must be above 0"),
    ],
)
def test_slips(told: dict[str, object], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        judgement_of(told, "mine.toml")


def test_a_file_that_is_none(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="cannot be read"):
        read_judgement(tmp_path / "missing.toml")
    bad = tmp_path / "bad.toml"
    bad.write_bytes(b"\xff\xfe[")
    with pytest.raises(UsageError, match="is not TOML"):
        read_judgement(bad)


def test_every_term_says_unit_and_reason() -> None:
    for fact in TERMS.values():
        assert fact.unit
        assert "own choice" in fact.why or "cost of the move" in fact.why
