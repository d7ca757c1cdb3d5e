"""What each finger does between two fingerings, read off the mechanics by hand."""

from __future__ import annotations

import pytest

from drills.effort.hands import Way, hand_terms, motions
from drills.instruments.fingering import load_table
from tests.effort.notes import held

MOTIONS: tuple[tuple[str, str, str, dict[str, Way]], ...] = (
    ("saxophone", "G4", "A4", {"left ring": Way.UP}),
    ("saxophone", "B4", "C5", {"left index": Way.UP, "left middle": Way.DOWN}),
    ("saxophone", "B3", "Bb3", {"left little": Way.SLIDE}),
    ("saxophone", "C#6", "D6", {"left palm": Way.DOWN}),
    ("saxophone", "D6", "Eb6", {"left palm": Way.DOWN}),
    ("clarinet", "Bb4", "A4", {"left thumb": Way.UP}),
    ("clarinet", "F4", "C6", {"left thumb": Way.ROLL_ON}),
    ("clarinet", "A4", "F#4", {"left index": Way.ROCK}),
    ("oboe", "D4", "D5", {"left index": Way.HALF}),
    ("bassoon", "C2", "B1", {"left thumb": Way.ROLL_ON}),
    ("flute", "E4", "E5", {}),
)


@pytest.mark.parametrize(("name", "first", "second", "expected"), MOTIONS)
def test_what_the_fingers_do(name: str, first: str, second: str, expected: dict[str, Way]) -> None:
    table = load_table(name)
    moved = motions(table, held(table, first), held(table, second))
    assert {motion.finger: motion.way for motion in moved} == expected


def test_neighbouring_keys_are_nearer_than_others() -> None:
    table = load_table("saxophone")
    near = motions(table, {"lowB"}, {"lowBb"})
    far = motions(table, {"lowC#"}, {"lowBb"})
    beside = motions(table, {"LH1"}, {"LH1", "bis"})
    onto = motions(load_table("bassoon"), {"lowC"}, {"lowC", "lowB"})
    assert near[0].near
    assert (beside[0].way, beside[0].near) == (Way.ROLL_ON, True)
    assert (onto[0].way, onto[0].near) == (Way.ROLL_ON, False)
    assert not far[0].near


def test_side_and_palm_keys_are_pushed_by_different_parts_of_the_hand() -> None:
    """Side B flat to side C, and palm D to palm E flat, are no finger that jumps."""
    table = load_table("saxophone")
    side = motions(table, {"sideBb"}, {"sideC"})
    assert [motion.way for motion in side] == [Way.UP, Way.DOWN]
    palm = motions(table, {"palmD"}, {"palmD", "palmEb"})
    assert [motion.way for motion in palm] == [Way.DOWN]
    assert not any(term.name in ("slide", "turn") for term in hand_terms(table, side, "pair"))


def test_the_whole_tube_costs_once_more_with_its_last_pads() -> None:
    table = load_table("saxophone")

    def names(first: str, second: str) -> set[str]:
        moved = motions(table, held(table, first), held(table, second))
        return {term.name for term in hand_terms(table, moved, "pair")}

    assert {"whole tube", "heavy key"} <= names("C5", "Bb3")
    assert "whole tube" not in names("C5", "D4") | names("D4", "Bb3")
    assert "heavy key" in names("C4", "D4")


def test_fingers_that_go_together_cost_little_more_than_one() -> None:
    """The block of six against one finger, and the exchange of two fingers."""
    table = load_table("saxophone")

    def value(first: str, second: str) -> float:
        moved = motions(table, held(table, first), held(table, second))
        return sum(term.value for term in hand_terms(table, moved, "pair"))

    assert value("D4", "C#5") < 2 * value("E4", "F4")
    assert value("B4", "C5") > value("A4", "C5")


def test_nothing_moves_nothing_costs() -> None:
    assert hand_terms(load_table("flute"), (), "E4-E5") == []
