"""Places in the words that the program prints can be typed."""

from __future__ import annotations

import pytest

from drills.places.finding import find_span, split_places
from drills.places.spoken import short_form
from drills.reading.musicxml import open_score, read_part
from drills.resources import scores_folder


@pytest.mark.parametrize(
    ("words", "short"),
    [
        ("beat 3 of bar 33", "bar33@3"),
        ("Beat 3 of bar 33", "bar33@3"),
        ("the third note of beat 3 of bar 33", "bar33@3#3"),
        ("from the third note of beat 3 of bar 33", "bar33@3#3"),
        ("bar 33, from the third note of beat 3", "bar33@3#3"),
        ("bar 33 beat 3", "bar33@3"),
        ("the 3rd note of beat 2 in bar 12a", "bar12a@2#3"),
        ("bar 33, the fourth bar of D", "bar33"),
        ("bar 33, the fourth bar of D, to beat 1 of bar 34", "bar33-bar34@1"),
        ("bar 29, the eighth bar of C, to bar 30", "bar29-bar30"),
        ("the fourth bar of D", "[D]:4"),
        ("the 13th bar of mark 23", "[23]:13"),
        ("the second bar 57", "bar57#2"),
        ("beat 2 of the second bar 57", "bar57#2@2"),
        ("bars 28 to 31", "bar28-bar31"),
        ("from the first note of beat 2 of bar 32 to the end of bar 36", "bar32@2#1-bar36"),
        ("beat 2 of bar 32 to the end of the bar", "bar32@2-bar32"),
        ("beat 2 of bar 32 to the second note of beat 4", "bar32@2-bar32@4#2"),
        # what is no such words stays
        ("33", "33"),
        ("bar 33", "bar 33"),
        ("D:4-E:1@2", "D:4-E:1@2"),
        ("[Trio, to beat 1 of the bar]", "[Trio, to beat 1 of the bar]"),
        ("Back to the bar", "Back to the bar"),
        ("the bar of D", "the bar of D"),
        ("12, E:3", "12, E:3"),
    ],
)
def test_short_forms(words: str, short: str) -> None:
    assert short_form(words) == short


def test_what_is_printed_of_a_span_is_that_span() -> None:
    part = read_part(open_score(scores_folder() / "march.musicxml"), "Clarinet 1 in B flat")
    typed = (
        "33",
        "33@3",
        "33@3#2",
        "D:4",
        "28-31",
        "28-D:1@2",
        "33@1#2-33@3",
        "32@2#1-36",
        "8@2-9",
    )
    for text in typed:
        span = find_span(part, text)
        again = find_span(part, span.words)
        assert (again.first, again.end, again.includes_end) == (
            span.first,
            span.end,
            span.includes_end,
        ), span.words
        assert split_places(span.words) == (again.asked,)
        assert again.words == span.words
