"""The measure of Longuet-Higgins and Lee against its worked examples.

Sources.  Weights of the bars, the interonset intervals of figure 9 of the paper
(Music Perception 1(4), 1984) and the three bell patterns: read in public programs
after it (MultiresRhythm in Lisp, SynPy in Python).  Bell patterns are those of
Gomez, Melvin, Rappaport and Toussaint (BRIDGES 2005); only those are taken whose
sum does not hang on how rests are paired with notes.  The ragtime pattern: read
in a paper on ragtime that uses the measure.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.effort.syncopation import strength, weight
from drills.music.time import TimeSignature

WEIGHTS = {
    ("4/4", 8): (0, -3, -2, -3, -1, -3, -2, -3),
    ("3/4", 6): (0, -2, -1, -2, -1, -2),
    ("6/8", 6): (0, -2, -2, -1, -2, -2),
    ("12/8", 12): (0, -3, -3, -2, -3, -3, -1, -3, -3, -2, -3, -3),
    ("4/4", 16): (0, -4, -3, -4, -2, -4, -3, -4, -1, -4, -3, -4, -2, -4, -3, -4),
}


@pytest.mark.parametrize(("bar", "pulses"), WEIGHTS)
def test_weights_of_the_places_of_a_bar(bar: str, pulses: int) -> None:
    time = TimeSignature.parse(bar)
    pulse = time.bar_length.quarters / pulses
    assert tuple(weight(time, pulse * n) for n in range(pulses)) == WEIGHTS[bar, pulses]


def strengths(bar: str, onsets: Sequence[int], pulses: int, until: int) -> list[int]:
    """What each note of a pattern of equal pulses has; ``until`` is where the last ends."""
    time = TimeSignature.parse(bar)
    pulse = time.bar_length.quarters / pulses
    ends = [*onsets[1:], until]
    return [strength(time, pulse * a, pulse * b) for a, b in zip(onsets, ends, strict=True)]


@pytest.mark.parametrize(
    ("intervals", "bar", "pulses", "found"),
    [
        ((1, 3), "2/4", 4, [1]),
        ((2, 1, 3, 2), "4/4", 8, [2]),
        ((3, 1), "2/4", 4, []),
        ((2, 1), "3/4", 3, []),
        ((1, 2), "3/4", 3, []),
    ],
)
def test_figure_9(intervals: Sequence[int], bar: str, pulses: int, found: list[int]) -> None:
    """The program lists a 0 for the last case: no syncopation, as here."""
    onsets = [sum(intervals[:n]) for n in range(len(intervals))]
    made = strengths(bar, onsets, pulses, sum(intervals))
    assert [value for value in made if value] == found


@pytest.mark.parametrize(
    ("pattern", "total"),
    [("x...x.x...x.x...", 2), ("x..x..x...x.x...", 4), ("x..x..x...x...x.", 5)],
    ids=["shiko", "son", "gahu"],
)
def test_bell_patterns_go_round(pattern: str, total: int) -> None:
    onsets = [place for place, sign in enumerate(pattern) if sign == "x"]
    assert sum(strengths("4/4", onsets, 16, 16 + onsets[0])) == total


def test_a_ragtime_bar_before_a_silent_downbeat() -> None:
    assert strengths("4/4", [0, 1, 3, 7], 8, 9) == [0, 1, 2, 3]


def test_triplets_and_held_triplets() -> None:
    """By hand: the middle third of a beat held past the beat 2 of 4/4 passes -2 from -3."""
    common = TimeSignature.parse("4/4")
    third = Fraction(1, 3)
    assert strength(common, third, 2 * third) == 0
    assert strength(common, 2 * third, 1 + third) == 1
    assert strength(common, Fraction(1, 6), Fraction(1, 2)) == 1


@given(
    st.sampled_from(["2/4", "3/4", "4/4", "5/4", "6/8", "7/8", "9/8", "12/8", "2/2", "3+2/8"]),
    st.integers(0, 95),
    st.integers(1, 96),
    st.integers(1, 48),
)
def test_holding_a_note_longer_never_weakens_it(bar: str, at: int, size: int, more: int) -> None:
    time, unit = TimeSignature.parse(bar), Fraction(1, 24)
    start = at * unit % time.bar_length.quarters
    first = strength(time, start, start + size * unit)
    assert first <= strength(time, start, start + (size + more) * unit)
    assert first <= -weight(time, start)
