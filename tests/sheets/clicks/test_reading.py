"""What a player types for a click."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.music.time import NOTE_KINDS, TimeSignature, length
from drills.sheets.clicks.pattern import Pattern
from drills.sheets.clicks.patterns import (
    Bars,
    Beats,
    Divided,
    Every,
    Fading,
    Groups,
    NoClick,
    Offbeats,
    WithWithout,
)
from drills.sheets.clicks.reading import NAMED, read_pattern

F = Fraction
FOUR = Beats((F(4),))


@pytest.mark.parametrize(
    ("text", "pattern"),
    [
        ("beats", Beats()),
        ("every beat", Beats()),
        ("  Every   BEAT ", Beats()),
        ("4", FOUR),
        ("beat 4", FOUR),
        ("on beat 4 only", FOUR),
        ("2,4", Beats((F(2), F(4)))),
        ("4 2", Beats((F(2), F(4)))),
        ("2 and 4", Beats((F(2), F(4)))),
        ("2, 4 and 5", Beats((F(2), F(4), F(5)))),
        ("2.5", Beats((F(5, 2),))),
        ("2+1/3", Beats((F(7, 3),))),
        ("offbeats", Offbeats()),
        ("groups", Groups()),
        ("divided", Divided()),
        ("every 3 sixteenths", Every(3, length(1, 4))),
        ("every three 16ths", Every(3, length(1, 4))),
        ("every third sixteenth", Every(3, length(1, 4))),
        ("every 3 semiquavers", Every(3, length(1, 4))),
        ("every 2 triplet eighths", Every(2, length(1, 3))),
        ("every 2 eighth triplets", Every(2, length(1, 3))),
        ("every dotted quarter", Every(1, length(3, 2))),
        ("every 5 dotted eighths", Every(5, length(3, 4))),
        ("every double dotted half", Every(1, length(7, 2))),
        ("eighths", Every(1, length(1, 2))),
        ("every eighth bar", Bars(8)),
        ("every 2nd bar", Bars(2)),
        ("every 4 bars", Bars(4)),
        ("on the first beat of every second bar", Bars(2)),
        ("2 with 2 without", WithWithout(2, 2)),
        ("two bars with, two without", WithWithout(2, 2)),
        ("1 bar with 3 bars without: 2,4", WithWithout(1, 3, Beats((F(2), F(4))))),
        ("2 with 2 without, every 3 sixteenths", WithWithout(2, 2, Every(3, length(1, 4)))),
        ("fading", Fading()),
        ("none", NoClick()),
        ("no click", NoClick()),
    ],
)
def test_read(text: str, pattern: Pattern) -> None:
    assert read_pattern(text) == pattern


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("bananas", "not a click pattern; write beats, 4 or 2,4"),
        ("ofbeats", "did you mean offbeats"),
        ("", "not a click pattern"),
        ("every 3 sixteens", "not a click pattern"),
        ("every 0 sixteenths", "from 1 to 64, not 0"),
        ("every 65 bars", "from 1 to 64, not 65"),
        ("0", "counted from 1"),
        ("0.5,2", "counted from 1"),
        ("2+1/0", "divides a beat by nothing"),
        ("many with 2 without", "'many' is not a number"),
        ("0 with 2 without", "from 1 to 64"),
        ("2 with 2 without: 1 with 1 without", "two turns"),
        ("2 with 2 without: bananas", "'bananas' is not a click pattern"),
        ("99999999999999999999999999", "not a click pattern"),
    ],
)
def test_one_clear_line_each(text: str, message: str) -> None:
    with pytest.raises(UsageError, match=message) as caught:
        read_pattern(text)
    assert "\n" not in str(caught.value)


@given(st.text(max_size=30))
def test_any_text_is_a_pattern_or_an_error(text: str) -> None:
    try:
        found = read_pattern(text)
    except UsageError:
        return
    assert isinstance(found, Pattern)


VALUES = [
    size * factor
    for kind, size in NOTE_KINDS.items()
    if length(1, 16) <= size <= length(4)
    for factor in (F(1), F(3, 2), F(2, 3))
    if (kind, factor) != ("64th", F(2, 3))
]


@pytest.mark.parametrize("time", ["4/4", "6/8", "7/8", "2/2"])
def test_what_is_printed_can_be_typed(time: str) -> None:
    """The words of a pattern, as a cue or the ladder prints them, give the same clicks."""
    signature = TimeSignature.parse(time)
    patterns = [
        *(NAMED[name] for name in ("beats", "offbeats", "bars", "none")),
        *(Every(count, value) for count in (1, 2, 3, 11) for value in VALUES),
        *(Bars(n) for n in (1, 2, 5, 9, 16)),
        *(WithWithout(on, off, inside) for on, off in ((1, 1), (2, 2), (3, 12)) for inside in
          (Beats(), Beats((F(2),)), Offbeats(), Every(3, length(1, 4)))),
    ]  # fmt: skip
    for pattern in patterns:
        assert read_pattern(pattern.words(signature)) == pattern
    for pattern in (Groups(), Divided(), Divided(finer=True)):
        again = read_pattern(pattern.words(signature))
        assert again.spacing(signature) == pattern.spacing(signature)
