"""What a room adds is told from tones that end, and nothing else is taken for a room.

A reverberation time is by its definition the seconds in which the sound falls by 60 dB
(ISO 3382-1), so a room of 0.45 s falls by 133 dB a second.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from drills.listening.room import tail_of
from drills.listening.signs import breaks
from drills.listening.spectra import HOP, Window
from tests.listening.takes import RATE, Computed, Manner, Place, make_take

HIGH = Computed()
LOW = replace(HIGH, lowest=34, highest=56)


@pytest.mark.parametrize(("seconds", "direct"), [(0.3, 3.0), (0.45, 3.0), (0.8, 3.0), (2.0, 0.0)])
def test_how_fast_a_room_falls(seconds: float, direct: float) -> None:
    place = Place(reverb=seconds, direct=direct, noise=30.0)
    take = make_take(17, HIGH, Manner(), place, beats=10)
    tail = tail_of(take.samples.astype(np.float32), RATE, 100.0, 4000.0)
    assert tail.matters
    assert tail.fall == pytest.approx(60 / seconds, rel=0.35)


@pytest.mark.parametrize("source", [HIGH, LOW], ids=["high", "low"])
@pytest.mark.parametrize("noise", [None, 30.0, 10.0])
def test_noise_and_low_tones_are_no_room(source: Computed, noise: float | None) -> None:
    take = make_take(18, source, Manner(), Place(noise=noise), beats=10)
    assert not tail_of(take.samples.astype(np.float32), RATE, 30.0, 4000.0).matters


def test_a_tone_that_begins_anew_breaks_its_phases() -> None:
    """The same 440 Hz with its phase turned half-way at 0.5 s: nothing else shows there."""
    time = np.arange(RATE) / RATE
    turned = np.where(time < 0.5, 0.0, 2.5)
    samples = np.sin(2 * np.pi * 440 * time + turned).astype(np.float32)
    window = Window.of(0.018, RATE, 300.0, 6000.0)
    hop = round(HOP * RATE)
    centres = np.arange(RATE // hop, dtype=np.int64) * hop
    sounding = np.ones((len(centres), 1), dtype=bool)
    found = breaks(window, window.waves(samples, centres), [440 / RATE], sounding)[10:-10, 0]
    assert (int(found.argmax()) + 10) * hop / RATE == pytest.approx(0.5, abs=0.012)
    assert found.max() > 0.6
    assert np.median(found) < 0.1
