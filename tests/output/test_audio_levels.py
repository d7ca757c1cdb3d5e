"""The levels that docs/sound/README.md states, measured again (ITU-R BS.1770 by pyloudnorm)."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import numpy as np
import pyloudnorm
import pytest

from drills.output.audio.encode import sound
from drills.output.audio.level import amplitudes
from drills.output.audio.mixing import Terms
from drills.output.audio.tones import TIMBRES
from drills.sound.groove import GROOVES
from drills.sound.practice.voices import SOUNDS
from tests.output.fixtures_sound import Made, of, strike, tone
from tests.output.sound_readers import Wave

RATE = 44_100
PAGE = Path(__file__).parents[2] / "docs" / "sound" / "README.md"


def table(name: str) -> dict[str, list[str]]:
    """The rows of a table of the page, by their first cell."""
    text = PAGE.read_text(encoding="utf-8")
    found = re.search(rf"<!-- table: {name} -->\n(.*?)<!-- end -->", text, re.DOTALL)
    assert found
    rows = [line.strip("| ").split(" | ") for line in found[1].splitlines()[2:]]
    return {row[0]: row[1:] for row in rows}


def ten_seconds(made: Made) -> Wave:
    return np.concatenate(list(sound(made, Terms(RATE, amplitudes({})))))[: 10 * RATE]


def loudness(samples: Wave) -> float:
    return float(pyloudnorm.Meter(RATE).integrated_loudness(samples))


def peak(samples: Wave) -> float:
    return float(20 * np.log10(np.abs(samples).max()))


@pytest.mark.parametrize("name", SOUNDS)
def test_a_struck_sound_is_as_loud_as_the_page_says(name: str) -> None:
    """On every half second in the voice of the click."""
    hits = [strike(Fraction(number, 2), name) for number in range(20)]
    samples = ten_seconds(of(*hits, duration=10))
    key, lufs, highest, _ = table("sounds")[name]
    assert int(key) == SOUNDS[name]
    assert loudness(samples) == pytest.approx(float(lufs), abs=0.15)
    assert peak(samples) == pytest.approx(float(highest), abs=0.15)


@pytest.mark.parametrize("voice", TIMBRES)
def test_a_tone_is_as_loud_as_the_page_says(voice: str) -> None:
    _, key, lufs, highest, _ = table("tones")[voice]
    notes = [tone(at, at + 2, int(key), voice) for at in range(0, 10, 2)]
    samples = ten_seconds(of(*notes, duration=10))
    assert loudness(samples) == pytest.approx(float(lufs), abs=0.15)
    assert peak(samples) == pytest.approx(float(highest), abs=0.15)


def test_the_page_names_everything() -> None:
    assert set(table("sounds")) == set(SOUNDS)
    assert set(table("grooves")) == set(GROOVES)
    assert set(table("tones")) == set(TIMBRES)


def test_clicks_are_moderate_at_the_usual_gains() -> None:
    """Broadcast is made at -23 LUFS (EBU R 128): clicks and the line stay at or below."""
    usual = [table("sounds")[name][1] for name in ("high-wood-block", "low-wood-block", "claves")]
    assert all(float(lufs) < -23 for lufs in (*usual, table("tones")["line"][2]))
