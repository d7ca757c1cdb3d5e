"""A practice sound in a recording: found to the sample, taken off, not found where it is not."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from drills.listening.bleed import bleed_of
from drills.listening.resampled import at_rate
from drills.listening.spectra import Floats
from drills.output.audio import struck_sound
from drills.sound.practice.events import Strike

RATE = 16_000
LATE = 0.731
"""Seconds of recording before the practice sound begins."""


def clicks() -> Floats:
    """Sixteen clicks that get faster, as a ladder's do."""
    at = np.cumsum(0.7 * 0.96 ** np.arange(16))
    strokes = [Strike(Fraction(float(t)), Fraction(0), "click", "low-wood-block", 1.0) for t in at]
    return np.concatenate(list(struck_sound(strokes, RATE)))


def tones(seconds: float) -> Floats:
    """A tone of six partials that changes every 0.35 s."""
    time = np.arange(int(seconds * RATE)) / RATE
    hertz = 330 * 2 ** ((time // 0.35 % 5) / 6)
    phase = 2 * np.pi * np.cumsum(hertz) / RATE
    parts = [np.sin(n * phase) / n for n in range(1, 7)]
    noise = np.random.default_rng(60_000).normal(size=len(time))
    return np.asarray(0.1 * sum(parts) + 1e-4 * noise, dtype=np.float32)


def through_a_room(sound: Floats) -> Floats:
    """Direct sound, one wall after 11 ms, and a tail that falls by 60 dB in 0.2 s."""
    time = np.arange(int(0.2 * RATE)) / RATE
    way = 0.1 * np.random.default_rng(60_001).normal(size=len(time)) * 10 ** (-3 * time / 0.2)
    way[0], way[int(0.011 * RATE)] = 1.0, 0.5
    return np.asarray(np.convolve(sound, way)[: len(sound)], dtype=np.float32)


def test_it_is_found_and_taken_off() -> None:
    sound = clicks()
    music = tones(len(sound) / RATE + 2)
    bled = np.zeros_like(music)
    begin = int(LATE * RATE)
    bled[begin : begin + len(sound)] = 0.8 * through_a_room(sound)[: len(music) - begin]
    found = bleed_of(music + bled, sound, RATE)
    assert found is not None
    assert found.begins == pytest.approx(LATE, abs=0.001)
    left = np.concatenate(list(found.blocks())) - music
    assert len(left) == len(music)
    assert float((left**2).sum()) < 0.1 * float((bled**2).sum())  # 10 dB less


def test_it_is_not_found_where_it_is_not() -> None:
    assert bleed_of(tones(9.0), clicks(), RATE) is None


@pytest.mark.parametrize(("rate", "wanted"), [(44_100, 16_000), (48_000, 22_050), (8000, 16_000)])
def test_another_rate(rate: int, wanted: int) -> None:
    """A tone below half of both rates is the same tone, at the same time."""
    seconds = 9.3
    tone = np.sin(2 * np.pi * 1234.5 * np.arange(int(seconds * rate)) / rate).astype(np.float32)
    found = np.concatenate(list(at_rate(tone, rate, wanted)))
    assert len(found) == round(len(tone) * wanted / rate)
    due = np.sin(2 * np.pi * 1234.5 * np.arange(len(found)) / wanted)
    inside = slice(wanted // 2, -wanted // 2)
    assert np.abs(found - due)[inside].max() < 0.01
