"""Every click and every stroke at its sample, over half an hour of changing tempo."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import mir_eval
import numpy as np
import pytest
import soundfile

from drills.output.audio import AudioSettings, Tags, audio_writer
from drills.sound.practice.events import Event
from tests.output.fixtures_sound import (
    BeatEvents,
    Made,
    Seconds,
    clicks,
    climbing,
    drums,
    ladder,
    of,
    strike,
)
from tests.output.sound_readers import onsets_after_silence, strokes_by_peeling

CLIMB = (58, 63, 69, Fraction(271, 2), 104, 207, 112, 176, Fraction(200, 3), 63, 144, 60)
RATE = 44_100


def half_an_hour(beat: BeatEvents) -> Made:
    made = climbing(ladder(64, CLIMB), beat)
    assert made.duration > 1800
    return made


def written(path: Path, made: Made, bits: int = 16) -> Path:
    audio_writer(made, Tags(), AudioSettings("wav", RATE, bits))(path)
    return path


def test_every_click_is_at_its_sample(tmp_path: Path) -> None:
    """At most half a sample from the exact time; and F = 1 within a millisecond (mir_eval)."""
    made = half_an_hour(clicks)
    found = onsets_after_silence(written(tmp_path / "clicks.wav", made))
    wanted = [event.at for event in made.events()]
    assert len(found) == len(wanted) == 64 * 4 * len(CLIMB)
    off = [abs(sample - at * RATE) for sample, at in zip(found, wanted, strict=True)]
    assert max(off) <= Fraction(1, 2)
    reference = np.array([float(at) for at in wanted])
    scores = mir_eval.onset.f_measure(reference, np.array(found) / RATE, window=0.001)
    assert scores == (1.0, 1.0, 1.0)


def test_the_reader_would_notice_a_click_that_is_late(tmp_path: Path) -> None:
    late = strike(1 + Fraction(2, RATE), "claves")
    path = written(tmp_path / "late.wav", of(strike(0, "claves"), late))
    assert onsets_after_silence(path) == [0, RATE + 2]
    times = np.array(onsets_after_silence(path)) / RATE
    assert mir_eval.onset.f_measure(np.array([0.0, 1.002]), times, window=0.001)[0] == 0.5


def only(sound: str) -> BeatEvents:
    """The strokes of one drum."""

    def beat(number: int, seconds: Seconds, quarter: Fraction) -> Iterator[Event]:
        for event in drums(number, seconds, quarter):
            if getattr(event, "sound", "") == sound:
                yield event

    return beat


@pytest.mark.parametrize(
    ("sound", "strokes"), [("ride", 8), ("side-stick", 4), ("bass-drum", 2), ("pedal-hi-hat", 2)]
)
def test_every_stroke_is_at_its_sample(tmp_path: Path, sound: str, strokes: int) -> None:
    """The ride rings over the next five strokes and more: they are peeled off one by one."""
    single = of(strike(0, sound, "groove"))
    one, _ = soundfile.read(written(tmp_path / "one.wav", single, bits=24))
    made = half_an_hour(only(sound))
    path = written(tmp_path / "all.wav", made, bits=24)
    found = strokes_by_peeling(path, one[: 2 * RATE], round(made.duration * RATE))
    wanted = [event.at for event in made.events()]
    assert len(found) == len(wanted) == 64 * strokes * len(CLIMB)
    off = [abs(sample - at * RATE) for sample, at in zip(found, wanted, strict=True)]
    assert max(off) <= Fraction(1, 2)
