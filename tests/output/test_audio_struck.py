"""Struck sounds: they begin with their first sample, are heard, and end."""

from __future__ import annotations

import numpy as np
import pytest

from drills.output.audio.struck import CHOKED_BY, RECIPES, struck
from drills.sound.practice.voices import SOUNDS

RATES = (44_100, 48_000)
CLICKS = ("high-wood-block", "low-wood-block", "claves", "side-stick", "beep", "low-beep")
SWEPT = ("brush-snare", "maracas")
"""A brush and beads take a moment by nature."""

each_sound = pytest.mark.parametrize("name", SOUNDS)
each_rate = pytest.mark.parametrize("rate", RATES)


def test_every_sound_has_a_recipe() -> None:
    assert set(RECIPES) == set(SOUNDS)
    assert {name for names in CHOKED_BY.values() for name in names} | set(CHOKED_BY) <= set(SOUNDS)


@each_sound
@each_rate
def test_it_begins_with_its_first_sample(name: str, rate: int) -> None:
    """A tenth of the peak at once, half of it within two milliseconds."""
    loud = np.abs(struck(name, rate).wave)
    assert loud[0] >= 0.1
    within = 0.004 if name in SWEPT else 0.002
    assert loud[: round(within * rate)].max() >= 0.5


@pytest.mark.parametrize("name", CLICKS)
@each_rate
def test_a_click_is_at_its_peak_within_two_milliseconds(name: str, rate: int) -> None:
    assert np.abs(struck(name, rate).wave).argmax() <= 0.002 * rate


@each_sound
@each_rate
def test_its_peak_is_one_and_it_ends_in_silence(name: str, rate: int) -> None:
    wave = struck(name, rate).wave
    assert np.abs(wave).max() == pytest.approx(1)
    assert np.abs(wave[-rate // 1000 :]).max() < 1e-3  # -60 dB in the last millisecond
    assert len(wave) <= 2 * rate


@each_sound
@each_rate
def test_it_has_no_constant_part(name: str, rate: int) -> None:
    wave = struck(name, rate).wave
    assert abs(wave.mean()) < 1e-9


@each_sound
def test_it_falls(name: str) -> None:
    """Each third of the sound holds less energy than the one before."""
    energies = [float(part @ part) for part in np.array_split(struck(name, 44_100).wave, 3)]
    assert energies == sorted(energies, reverse=True)


@each_sound
def test_it_can_be_heard(name: str) -> None:
    """Most of its energy lies between 40 Hz and 16 kHz, and it is no single spike."""
    wave = struck(name, 44_100).wave
    power = np.abs(np.fft.rfft(wave, 1 << 17)) ** 2
    frequencies = np.fft.rfftfreq(1 << 17, 1 / 44_100)
    heard = power[(frequencies > 40) & (frequencies < 16_000)].sum() / power.sum()
    assert heard > 0.9
    assert np.count_nonzero(np.abs(wave) > 0.1) > 40


@each_sound
def test_it_is_the_same_sound_at_both_rates(name: str) -> None:
    """The middle of its spectrum (the centroid) is the same within a fifth."""

    def middle(rate: int) -> float:
        power = np.abs(np.fft.rfft(struck(name, rate).wave, 1 << 17)) ** 2
        return float(np.fft.rfftfreq(1 << 17, 1 / rate) @ power / power.sum())

    assert middle(48_000) == pytest.approx(middle(44_100), rel=0.2)


@each_sound
def test_it_is_the_same_every_time(name: str) -> None:
    first = struck(name, 44_100).wave.copy()
    struck.cache_clear()
    assert np.array_equal(struck(name, 44_100).wave, first)


def test_sounds_differ() -> None:
    """No two share a spectrum: the cosine between any two stays below 0.95."""
    spectra = []
    for name in SOUNDS:
        power = np.abs(np.fft.rfft(struck(name, 44_100).wave, 1 << 17))
        bands = np.array([band.sum() for band in np.array_split(power[:48_000], 480)])
        spectra.append(bands / np.linalg.norm(bands))
    alike = np.array(spectra) @ np.array(spectra).T - np.eye(len(spectra))
    assert alike.max() < 0.95, [
        (a, b) for i, a in enumerate(SOUNDS) for j, b in enumerate(SOUNDS) if alike[i, j] >= 0.95
    ]
