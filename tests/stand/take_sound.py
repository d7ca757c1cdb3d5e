"""What the tests' microphone hears."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import numpy as np
import soundfile

from drills.listening.sound_file import Recording
from drills.resources import scores_folder
from drills.stand import play_tasks
from tests.stand.standing import MARCH

RATE: Final = 48_000
EVERY: Final = 0.6
"""Seconds from click to click."""
BEFORE: Final = 2.0
"""Seconds of silence at the beginning of a take."""


def late_clicks(seconds: float = 12.0) -> bytes:
    """A WAV file with a short click every EVERY seconds."""
    samples = np.zeros(round(seconds * RATE))
    shape = np.sin(2 * np.pi * 1500 * np.arange(192) / RATE)
    for number in range(int(seconds / EVERY)):
        first = round(number * EVERY * RATE)
        samples[first : first + len(shape)] = 0.5 * shape
    out = io.BytesIO()
    soundfile.write(out, samples, RATE, format="WAV", subtype="PCM_16")
    return out.getvalue()


def late_note(
    tones: list[tuple[float, float, float]], late: int, by: float, after: float = 1.0
) -> bytes:
    """Somebody plays tones, after BEFORE seconds; the one of index ``late`` comes late.

    After the last there are ``after`` seconds of silence.

    ``tones``: seconds at which each begins and ends, and its hertz.
    """
    samples = np.zeros(round((BEFORE + tones[-1][1] + after) * RATE))
    for index, (at, end, hertz) in enumerate(tones):
        first = round((BEFORE + at + (by if index == late else 0)) * RATE)
        count = round((BEFORE + end) * RATE) - first
        time = np.arange(count) / RATE
        wave = sum(np.sin(2 * np.pi * hertz * n * time) / n for n in (1, 2, 3, 4, 5))
        edge = np.minimum(1, np.minimum(time, time[::-1]) / 0.012)
        samples[first : first + count] += 0.12 * wave * edge
    noise = np.random.default_rng(1).normal(0, 0.0004, len(samples))
    out = io.BytesIO()
    soundfile.write(out, samples + noise, RATE, format="WAV", subtype="PCM_16")
    return out.getvalue()


def tones_of(
    place: str, number: str = "", *, score: str = MARCH, part: str = "2"
) -> list[tuple[float, float, float]]:
    """The notes of a place of a score of ours at a number of its ladder, its goal unless said."""
    path = str(scores_folder() / score)
    asked = {
        **{"full": False, "block": 1, "item": 0, "click": "", "groove": ""},
        **{"voices": ("line",), "count_in": 0, "first": 0, "rounds": 1},
        "number": number or play_tasks.blocks(path, part, place)["goal"],
    }
    (events,) = play_tasks.loop(path, part, place, asked)["rounds"]
    return [(event[0], event[4], event[3]) for event in events if len(event) > 3]


@contextlib.contextmanager
def opened_here(path: Path) -> Iterator[Recording]:
    """A recording read in this process: the tests' own file needs no other to be safe."""
    samples, rate = soundfile.read(path, dtype="float32")
    yield Recording(path, samples, rate)
