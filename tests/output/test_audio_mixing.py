"""The mix: no clipping, no seams, no memory, and the balance that was asked for."""

from __future__ import annotations

import tracemalloc
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
import soundfile

from drills.output.audio import FADE_SECONDS, AudioSettings, Tags, audio_writer
from drills.output.audio.encode import sound
from drills.output.audio.level import REFERENCE, amplitudes
from drills.output.audio.mixing import Terms, scenes
from drills.output.audio.truepeak import PHASES
from drills.output.audio.truepeak import true_peak as own_true_peak
from drills.sound.practice.events import Event
from drills.sound.practice.voices import VOICES
from tests.output.fixtures_sound import (
    Made,
    Seconds,
    clicks,
    climbing,
    drums,
    ladder,
    line,
    of,
    strike,
    together,
    tone,
)
from tests.output.sound_readers import Wave, true_peak

RATE = 44_100


def heard(made: Made, gains: dict[str, float] | None = None, size: int = 16_384) -> Wave:
    terms = Terms(RATE, amplitudes(gains or {}), made.a4)
    return np.concatenate(list(sound(made, terms, size)))


def thick(number: int, seconds: Seconds, quarter: Fraction) -> Iterator[Event]:
    """A section of seven and a held chord of four, on every beat."""
    begin, end = seconds(quarter), seconds(quarter + 1)
    for place in range(7):
        yield tone(begin, end, 43 + 5 * place + number, "section")
    for key in (36, 48, 55, 64):
        yield tone(begin, end, key, "chord")


DENSE = climbing(ladder(2, [66, 160]), together(clicks, drums, line, thick))
LOUD = {"click": 9.0, "groove": 9.0, "line": 12.0, "section": 12.0, "chord": 12.0}


@pytest.mark.parametrize("gains", [{}, LOUD], ids=["usual", "loud"])
@pytest.mark.parametrize("bits", [16, 24])
def test_nothing_clips(tmp_path: Path, gains: dict[str, float], bits: int) -> None:
    """The true peak of the file, four times oversampled by scipy, stays at -1 dB and below."""
    settings = AudioSettings("wav", RATE, bits, gains)
    audio_writer(DENSE, Tags(), settings)(tmp_path / "dense.wav")
    samples, _ = soundfile.read(tmp_path / "dense.wav")
    assert 20 * np.log10(true_peak(samples)) < -0.9
    assert np.abs(samples).max() < 0.9


def test_a_loud_mix_comes_up_to_the_ceiling_and_no_further() -> None:
    assert 20 * np.log10(true_peak(heard(DENSE, LOUD))) == pytest.approx(-1, abs=0.2)


def test_a_loud_mix_is_turned_down_as_a_whole() -> None:
    """The balance stays: it is the usual sum of its voices, times one factor."""
    whole = heard(DENSE, LOUD)
    sum_of_voices = np.zeros(len(whole))
    for beat in (clicks, drums, line, thick):
        sum_of_voices += heard(
            climbing(ladder(2, [66, 160]), beat), {v: g - 30 for v, g in LOUD.items()}
        )
    factor = float(whole @ sum_of_voices / (sum_of_voices @ sum_of_voices))
    assert np.abs(whole - factor * sum_of_voices).max() < 1e-9


@pytest.mark.parametrize("voice", VOICES)
def test_gains_are_decibels_against_the_click(voice: str) -> None:
    event = strike(0, "claves", voice)
    for gain in (0.0, -12.0):
        peak = np.abs(heard(of(event), {voice: gain})).max()
        assert 20 * np.log10(peak) == pytest.approx(REFERENCE + VOICES[voice].gain + gain)


def test_a_level_is_linear() -> None:
    assert np.abs(heard(of(strike(0, "claves", level=0.25)))).max() == pytest.approx(
        np.abs(heard(of(strike(0, "claves")))).max() / 4
    )


@pytest.mark.parametrize("size", [1, 777, 4096, 65_536, 10_000_000])
def test_the_size_of_a_block_changes_no_sample(size: int) -> None:
    made = DENSE if size > 1 else of(strike(0, "snare"), tone(0, Fraction(1, 9), 69), duration=1)
    assert np.array_equal(heard(made, LOUD, size), heard(made, LOUD))


def test_the_file_lasts_as_long_as_the_practice_and_a_fade() -> None:
    assert len(heard(of(duration=Fraction(5, 3)))) == round(5 / 3 * RATE) + FADE_SECONDS * RATE


def test_what_rings_at_the_end_fades() -> None:
    """A crash on the last beat falls smoothly to nothing within the fade."""
    samples = heard(of(strike(Fraction(19, 10), "crash")))
    assert samples[2 * RATE : 2 * RATE + 441].any()
    unfaded = heard(of(strike(Fraction(19, 10), "crash"), duration=6))[: len(samples)]
    assert np.array_equal(samples[: 2 * RATE], unfaded[: 2 * RATE])
    inside = np.abs(unfaded[2 * RATE :]) > 1e-6
    ratio = samples[2 * RATE :][inside] / unfaded[2 * RATE :][inside]
    assert np.all(np.diff(ratio) < 1e-9)
    assert ratio[0] == pytest.approx(1, abs=1e-3)
    assert abs(samples[-1]) < 1e-6


def test_a_closing_hi_hat_stops_the_open_one() -> None:
    opened, closed = strike(0, "open-hi-hat"), strike(Fraction(1, 4), "pedal-hi-hat")
    both = heard(of(opened, closed))
    alone = heard(of(opened)) + heard(of(closed))
    end = RATE // 4 + round(0.008 * RATE)
    assert np.array_equal(both[: RATE // 4], alone[: RATE // 4])
    assert np.array_equal(both[end:], heard(of(closed))[end:])
    assert np.abs(heard(of(opened))[end:]).max() > 0.01


def test_events_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="comes after later ones"):
        heard(of(strike(1, "claves"), strike(0, "claves")))


def test_no_event_sounds_after_the_end_of_the_file() -> None:
    late = heard(of(strike(0, "claves"), strike(10, "claves")))
    assert np.array_equal(late, heard(of(strike(0, "claves"))))


def rare(minutes: int) -> Made:
    """A stroke, a note and a click every few seconds; a chord all the time."""

    def make() -> Iterator[Event]:
        yield tone(0, minutes * 60, 48, "chord")
        for second in range(0, minutes * 60, 5):
            yield strike(second, "ride", "groove")
            yield tone(second, second + 1, 60 + second % 12)
            yield strike(second + 2, "claves")

    return Made(Fraction(minutes * 60), make)


def test_memory_does_not_grow_with_length() -> None:
    """At a rate of 8,000, so that it does not take long; every block is thrown away."""

    def peak(minutes: int) -> int:
        tracemalloc.start()
        for _ in sound(rare(minutes), Terms(8000, amplitudes({}))):
            pass
        _, highest = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        return highest

    peak(6)  # fills what is kept: finished sounds, cycles, ramps
    short = peak(6)
    assert peak(60) < 1.05 * short
    assert short < 3_000_000


def test_scenes_tell_how_loud_they_can_get() -> None:
    """The bound by which blocks are not measured holds for every block of a dense mix."""
    terms = Terms(RATE, amplitudes(LOUD))
    for scene in scenes(DENSE.events(), terms, terms.sample(DENSE.duration), 4096):
        samples = scene.mixed()
        assert np.abs(samples).max() <= scene.bound()
        assert true_peak(samples) <= 1.02 * scene.bound()


def test_the_true_peak_filter_is_that_of_the_recommendation() -> None:
    """ITU-R BS.1770-5, Annex 2: the four phases are one symmetric filter of 48 coefficients,
    each passing a constant within half a per cent or so; a sine between two samples is found."""
    whole = PHASES.T.ravel()
    assert np.array_equal(whole, whole[::-1])
    assert np.abs(PHASES.sum(axis=1) - 1).max() < 0.03
    quarter_rate = np.sin(np.pi / 2 * np.arange(400) + np.pi / 4)
    assert np.abs(quarter_rate).max() == pytest.approx(np.sqrt(0.5))
    assert 20 * np.log10(own_true_peak(quarter_rate)) == pytest.approx(0, abs=0.4)
    assert own_true_peak(np.zeros(0)) == 0
