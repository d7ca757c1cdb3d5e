"""Rhythms against published lists of practice rhythms and worked examples.

Sources.  The pairs and the fours LSSS, SLSS, SSLS, SSSL, and "triplets three
ways": L. Garrison, "practice3", University of Idaho
(webpages.uidaho.edu/~leonardg/practice3.html).  The three 3-note rhythms with
one long and two short: B. Pimentel (bretpimentel.com).  The six orders of two
eighths and two sixteenths: Lecher, violinist.com, 2008.  They name the order of
long and short; that a dotted eighth and a sixteenth divide a beat 3/4 + 1/4 is
the meaning of the signs.  No public-domain wind method that prints these
variants with durations was found.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.music.time import TimeSignature, length
from drills.sheets.rhythms import (
    FAMILIES,
    RHYTHMS,
    Rhythm,
    find_rhythms,
    fitted,
    lay,
    played_turned,
)

FOUR_FOUR = TimeSignature((4,), 4)
SIXTEENTH = length(1, 4)

PUBLISHED = [
    ("dotted", "LS", "3/4 1/4"),
    ("reversed-dotted", "SL", "1/4 3/4"),
    ("swung", "LS", "2/3 1/3"),
    ("reversed-swung", "SL", "1/3 2/3"),
    ("long-short-short", "LSS", "1/2 1/4 1/4"),
    ("short-long-short", "SLS", "1/4 1/2 1/4"),
    ("short-short-long", "SSL", "1/4 1/4 1/2"),
    ("first-long-of-four", "LSSS", "5/4 1/4 1/4 1/4"),
    ("second-long-of-four", "SLSS", "1/4 5/4 1/4 1/4"),
    ("third-long-of-four", "SSLS", "1/4 1/4 5/4 1/4"),
    ("last-long-of-four", "SSSL", "1/4 1/4 1/4 5/4"),
    ("2:2:1:1", "LLSS", "1/3 1/3 1/6 1/6"),
    ("2:1:1:2", "LSSL", "1/3 1/6 1/6 1/3"),
    ("1:2:2:1", "SLLS", "1/6 1/3 1/3 1/6"),
]
"""Name, order of long and short as published, quarters in our form of it."""


def laid_lengths(name: str, count: int) -> list[Fraction]:
    (rhythm,) = find_rhythms(name)
    return [one.length.quarters for one in lay(count, rhythm, FOUR_FOUR, SIXTEENTH)]


@pytest.mark.parametrize(("name", "order", "quarters"), PUBLISHED)
def test_published_rhythms(name: str, order: str, quarters: str) -> None:
    lengths = laid_lengths(name, 2 * len(order) + 1)
    wanted = [Fraction(word) for word in quarters.split()]
    assert lengths[: 2 * len(order)] == wanted * 2
    longest = max(wanted)
    assert "".join("L" if size == longest else "S" for size in wanted) == order


def test_eight_sixteenths_dotted_keep_two_beats_per_four_notes() -> None:
    """In pairs each pair takes a beat: 3/4 + 1/4, so eight sixteenths take four beats."""
    assert laid_lengths("dotted", 8) == [Fraction(3, 4), Fraction(1, 4)] * 4


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("dotted", [Fraction(3, 4), Fraction(1, 4)] * 6 + [Fraction(1)]),
        ("reversed-dotted", [Fraction(1, 4), Fraction(3, 4)] * 6 + [Fraction(1)]),
        ("grouped-in-threes", [Fraction(1, 3)] * 12 + [Fraction(1)]),
        ("even", [Fraction(1, 4)] * 12 + [Fraction(1)]),
    ],
)
def test_twelve_sixteenths_and_a_landing_quarter(name: str, wanted: list[Fraction]) -> None:
    """The worked example of the documentation, in 3/4."""
    (rhythm,) = find_rhythms(name)
    laid = lay(13, rhythm, TimeSignature((3,), 4), SIXTEENTH)
    assert [one.length.quarters for one in laid] == wanted


def test_grouped_in_threes_becomes_fours_and_twos_over_threes() -> None:
    (threes,) = find_rhythms("grouped-in-threes")
    for time, level in (("4/4", length(1, 3)), ("6/8", length(1, 2)), ("6/8", length(1, 4))):
        keys = [rhythm.key for rhythm in fitted(threes, TimeSignature.parse(time), level)]
        assert keys == ["grouped-in-fours", "grouped-in-twos"]
    assert fitted(threes, FOUR_FOUR, SIXTEENTH) == (threes,)


def test_threes_across_keeps_the_value_and_accents_every_third() -> None:
    laid = lay(10, RHYTHMS["threes-across"], FOUR_FOUR, SIXTEENTH)
    assert [one.accent for one in laid] == [i % 3 == 0 for i in range(10)]
    assert {one.length for one in laid[:-1]} == {SIXTEENTH}


@given(
    rhythm=st.sampled_from(list(RHYTHMS.values())),
    count=st.integers(1, 40),
    turn=st.integers(0, 9),
    time=st.sampled_from(["2/4", "3/4", "6/8", "2/2", "7/8", "12/8"]),
)
def test_every_note_once_in_order_and_cycles_on_the_beat(
    rhythm: Rhythm, count: int, turn: int, time: str
) -> None:
    signature = TimeSignature.parse(time)
    laid = lay(count, rhythm, signature, SIXTEENTH, turn)
    assert [one.attack for one in laid if one.attack is not None] == list(range(count))
    at = Fraction(0)
    for one in laid:
        starts_cycle = one.attack is not None and (one.attack - turn) % len(rhythm.weights) == 0
        if starts_cycle and rhythm.beats:
            assert at % signature.beat.quarters == 0
        at += one.length.quarters
    assert at % signature.beat.quarters == 0, "the last note sounds to the end of its beat"


def test_turned_by_one_the_short_note_comes_first() -> None:
    laid = lay(5, RHYTHMS["dotted"], FOUR_FOUR, SIXTEENTH, 1)
    assert laid[0].attack is None
    sixteenths = [one.length.quarters * 4 for one in laid]
    assert sixteenths == [3, 1, 3, 1, 3, 1]
    assert played_turned(RHYTHMS["dotted"], 1).name == "dotted, turned by one note"


def test_names_are_forgiving_and_families_expand() -> None:
    assert find_rhythms("Reversed dotted") == (RHYTHMS["reversed-dotted"],)
    assert len(find_rhythms("one-long-in-four")) == 4
    assert {key for keys in FAMILIES.values() for key in keys} <= set(RHYTHMS)


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("doted", "did you mean dotted"),
        ("zydeco", "choose from even, dotted"),
        ("3:0:1", "whole proportions"),
        ("3:x", "whole proportions"),
        ("5:8", "13 parts"),
        ("99:98", "197 parts"),
    ],
)
def test_refused(name: str, message: str) -> None:
    with pytest.raises(UsageError, match=message):
        find_rhythms(name)


@pytest.mark.parametrize(
    ("name", "beats"), [("3:1:1:2", 1), ("3:1", 1), ("5:1:1:1", 2), ("3:3:3", 3), ("2:3", 1)]
)
def test_own_proportions_fill_whole_beats(name: str, beats: int) -> None:
    (rhythm,) = find_rhythms(name)
    assert rhythm.beats == beats
    once = lay(len(rhythm.weights) + 1, rhythm, FOUR_FOUR, SIXTEENTH)[:-1]
    assert sum(one.length.quarters for one in once) == beats
