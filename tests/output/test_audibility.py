"""A click is clearly heard over a section of any size, by band levels (see audibility.py)."""

from __future__ import annotations

import numpy as np
import pytest

from drills.output.audio.encode import sound
from drills.output.audio.level import amplitudes
from drills.output.audio.mixing import Terms
from drills.output.audio.shapes import Wave
from drills.sheets.clicks.laying import BEAT_LEVEL
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.sounding import PLAIN_LEVEL
from drills.sound.practice.voices import USUAL_CLICKS, section_level
from tests.output.audibility import CENTRES, CLEARLY, WINDOW, above, band_levels
from tests.output.fixtures_sound import held_section, of, strike

RATE = 44_100
OVER_SECTION = PracticeChoices(voices=("click", "section"))
BRIGHT = range(2000, 4001)
"""Hertz: where brass and saxophones leave room."""


def samples(*events: object) -> Wave:
    made = of(*events, duration=1)  # type: ignore[arg-type]
    return np.concatenate(list(sound(made, Terms(RATE, amplitudes({})))))


def clicked(name: str) -> Wave:
    return samples(strike(0, name, level=BEAT_LEVEL))[: round(WINDOW * RATE)]


def section(parts: int) -> Wave:
    """A held chord of a band, from the moment when it has spoken."""
    return samples(*held_section(parts, PLAIN_LEVEL * section_level(parts)))[RATE // 10 :]


@pytest.mark.parametrize("parts", [1, 4, 7, 8, 17, 27])
def test_clicks_are_clearly_heard_over_a_section(parts: int) -> None:
    masking = section(parts)
    for accent in (False, True):
        over = above(clicked(OVER_SECTION.strikes(accent=accent)), masking, RATE)
        assert max(over[hertz] for hertz in over if hertz in BRIGHT) >= CLEARLY


def test_wood_blocks_would_not_be() -> None:
    for name in USUAL_CLICKS:
        assert max(above(clicked(name), section(17), RATE).values()) < CLEARLY


def test_what_the_player_chooses_clicks() -> None:
    mine = PracticeChoices(voices=("click", "section"), click_sound="beep")
    assert (mine.strikes(accent=False), mine.strikes(accent=True)) == ("beep", "high-claves")
    assert PracticeChoices().strikes(accent=False) == USUAL_CLICKS[0]


def test_band_levels_are_those_of_a_sine() -> None:
    """A sine with a peak of 1 has -3 dB of full scale in its own band, and nothing elsewhere."""
    at = np.arange(round(WINDOW * RATE)) / RATE
    levels = dict(zip(CENTRES, band_levels(np.sin(2 * np.pi * 1000 * at), RATE), strict=True))
    assert levels[1000] == pytest.approx(-3.01, abs=0.01)
    assert max(level for hertz, level in levels.items() if hertz != 1000) < -60


def test_masking_falls_by_a_quarter_of_ten_decibels_a_band() -> None:
    """Over a sine at 1000 Hz the threshold at 1250 Hz lies 2.5 dB lower, at 1600 Hz 5 dB."""
    at = np.arange(RATE) / RATE
    over = above(np.zeros(1), np.sin(2 * np.pi * 1000 * at), RATE)
    assert over[1250] - over[1000] == pytest.approx(2.5)
    assert over[1600] - over[1000] == pytest.approx(5.0)
    assert over[800] - over[1000] > 50
