"""Tones: in tune, clean, quick to speak, without a click at either end."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from math import log2

import numpy as np
import pytest

from drills.output.audio.encode import sound
from drills.output.audio.level import amplitudes
from drills.output.audio.mixing import Terms
from drills.output.audio.tones import TIMBRES
from drills.sound.practice.events import Event
from tests.output.fixtures_sound import of, tone
from tests.output.sound_readers import Wave, pitch

RATE = 44_100


def heard(*events: Event, a4: int | Fraction = 440, duration: int = 2) -> Wave:
    made = replace(of(*events, duration=duration), a4=Fraction(a4))
    return np.concatenate(list(sound(made, Terms(RATE, amplitudes({}), made.a4))))


def cents(found: float, wanted: float) -> float:
    return 1200 * log2(found / wanted)


@pytest.mark.parametrize("voice", TIMBRES)
@pytest.mark.parametrize(
    ("key", "hertz"), [(69, 440.0), (60, 261.6256), (58, 233.0819), (81, 880.0), (45, 110.0)]
)
def test_equal_temperament(voice: str, key: int, hertz: float) -> None:
    """440 x 2^((n - 69) / 12), MIDI Tuning Standard; the table's figures to 1e-4 Hz."""
    samples = heard(tone(0, 2, key, voice))[RATE // 4 : -RATE]
    assert abs(cents(pitch(samples, RATE, hertz), hertz)) < 0.1


@pytest.mark.parametrize("a4", [415, 440, 442, 466])
def test_the_a_that_is_asked_for(a4: int) -> None:
    samples = heard(tone(0, 2, 69), a4=a4)[RATE // 4 : -RATE]
    assert abs(cents(pitch(samples, RATE, a4), a4)) < 0.1


@pytest.mark.parametrize(("over", "under"), [(5, 4), (3, 2), (6, 5), (7, 4), (4, 3)])
def test_pure_intervals_are_pure(over: int, under: int) -> None:
    """A fraction of a key that stands for a ratio is heard as that ratio."""
    key = 48 + Fraction(12 * log2(over / under))
    low, high = (
        pitch(heard(tone(0, 2, k, "chord"))[RATE // 4 : -RATE], RATE, hertz)
        for k, hertz in ((Fraction(48), 130.8128), (key, 130.8128 * over / under))
    )
    assert abs(cents(high / low, over / under)) < 0.1


@pytest.mark.parametrize("voice", TIMBRES)
@pytest.mark.parametrize("key", [34, 60, 84, 96, 108])
def test_nothing_but_its_harmonics_sounds(voice: str, key: int) -> None:
    """What lies off the harmonics is 80 dB below the loudest: no folding back, no roughness."""
    samples = heard(tone(0, 3, key, voice), duration=3)[RATE // 2 : RATE // 2 + 2 * RATE]
    spectrum = np.abs(np.fft.rfft(samples * np.kaiser(len(samples), 20)))
    at = np.fft.rfftfreq(len(samples), 1 / RATE)
    hertz = 440 * 2 ** ((key - 69) / 12)
    away = np.abs(at - hertz * np.maximum(1, np.round(at / hertz)))
    assert spectrum[away > 4].max() < 1e-4 * spectrum.max()
    assert spectrum[at > 0.46 * RATE].max() < 1e-5 * spectrum.max()


def test_harmonics_are_fewer_in_the_heights() -> None:
    def middle(key: int) -> float:
        samples = heard(tone(0, 2, key))[:RATE]
        power = np.abs(np.fft.rfft(samples)) ** 2
        at = np.fft.rfftfreq(len(samples), 1 / RATE)
        return float(at @ power / power.sum()) / (440 * 2 ** ((key - 69) / 12))

    assert middle(46) > middle(58) > middle(70) > middle(82)


@pytest.mark.parametrize("voice", TIMBRES)
def test_the_attack_takes_as_long_as_it_says(voice: str) -> None:
    """Silence before, half of full level at half of the time."""
    begin = RATE // 2
    samples = heard(tone(Fraction(1, 2), 2, 69, voice))
    assert not samples[:begin].any()
    assert samples[begin] != 0
    count = round(TIMBRES[voice].attack * RATE)
    full = np.abs(samples[begin + 2 * count : begin + 3 * count + 400]).max()
    assert np.abs(samples[begin : begin + count // 3]).max() < 0.4 * full
    around = samples[begin + count - 60 : begin + count + 60]
    assert np.abs(around).max() > 0.7 * full


@pytest.mark.parametrize("voice", TIMBRES)
def test_a_tone_is_silent_from_its_end_on(voice: str) -> None:
    samples = heard(tone(0, 1, 69, voice))
    assert not samples[RATE:].any()
    assert np.abs(samples[RATE - 30 : RATE]).max() < 0.01 * np.abs(samples).max()


@pytest.mark.parametrize("voice", TIMBRES)
def test_notes_join_without_a_click(voice: str) -> None:
    """Nowhere does the wave bend more sharply than within a note."""
    keys = (60, 64, 64, 71, 53, 60)
    events = [tone(Fraction(i, 3), Fraction(i + 1, 3), key, voice) for i, key in enumerate(keys)]
    joined = np.abs(np.diff(heard(*events), 3)).max()
    alone = max(
        np.abs(np.diff(heard(tone(0, 2, key, voice))[RATE // 4 : RATE], 3)).max() for key in keys
    )
    assert joined < 1.2 * alone


@pytest.mark.parametrize("samples", [0, 1, 2, 5, 40])
def test_a_very_short_tone(samples: int) -> None:
    """It speaks if it has a sample at all, and ends."""
    found = heard(tone(1, 1 + Fraction(samples, RATE), 69))
    assert np.flatnonzero(found).tolist() == list(range(RATE, RATE + samples))


def test_a_tone_too_high_for_the_rate_is_silent() -> None:
    assert not heard(tone(0, 1, 140)).any()


def test_voices_can_be_told_apart() -> None:
    """Line, section and drones: their spectra at one pitch differ by 2 dB or more somewhere."""
    spectra = {}
    for voice in TIMBRES:
        samples = heard(tone(0, 2, 57, voice))[RATE // 4 : RATE // 4 + RATE]
        power = np.abs(np.fft.rfft(samples * np.hanning(RATE)))
        spectra[voice] = 20 * np.log10(power[220 * np.arange(1, 7)] / power[220])
    for (one, first), (other, second) in combinations(spectra.items(), 2):
        assert np.abs(first - second).max() > 2, (one, other)
