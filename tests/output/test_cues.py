"""The cue sheet."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drills.output.cues import clock, cue_sheet
from drills.sound.practice.events import Cue


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0, "0:00.000"),
        (Fraction(151, 2), "1:15.500"),
        (Fraction(1, 3), "0:00.333"),
        (Fraction(599_994, 10_000), "0:59.999"),
        (Fraction(599_996, 10_000), "1:00.000"),
        (Fraction(3600), "60:00.000"),
        (Fraction(754_321, 1000), "12:34.321"),
    ],
)
def test_times_are_minutes_seconds_and_thousandths(seconds: Fraction, shown: str) -> None:
    assert clock(Fraction(seconds)) == shown


def test_every_cue_has_its_line() -> None:
    cues = [
        Cue(Fraction(0), Fraction(0), "quarter = 60, clicks on every beat"),
        Cue(Fraction(75), Fraction(75), "quarter = 63,\nclicks on beat 4"),
        Cue(Fraction(605), Fraction(605), ""),
    ]
    assert cue_sheet(cues, "Out Past the Breakwater: bar 33", "drills-made-from:0") == (
        "Out Past the Breakwater: bar 33\n\n"
        " 0:00.000  quarter = 60, clicks on every beat\n"
        " 1:15.000  quarter = 63, clicks on beat 4\n"
        "10:05.000\n\n"
        "drills-made-from:0\n"
    )


def test_no_cues() -> None:
    assert cue_sheet([]) == "\n"
