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
    ("saxophone", "D6", "Eb6", {"left palm": Way.ROLL_ON}),
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
    onto = motions(table, {"palmD"}, {"palmD", "palmEb"})
    assert near[0].near
    assert (beside[0].way, beside[0].near) == (Way.ROLL_ON, True)
    assert (onto[0].way, onto[0].near) == (Way.ROLL_ON, False)
    assert not far[0].near


def test_fingers_that_go_together_cost_little_more_than_one() -> None:
    """The block of six against one finger, and the exchange of two fingers."""
    table = load_table("saxophone")

    def value(first: str, second: str) -> float:
        moved = motions(table, held(table, first), held(table, second))
        return sum(term.value for term in hand_terms(moved, "pair"))

    assert value("D4", "C#5") < 2 * value("E4", "F4")
    assert value("B4", "C5") > value("A4", "C5")


def test_nothing_moves_nothing_costs() -> None:
    assert hand_terms((), "E4-E5") == []
