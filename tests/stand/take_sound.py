"""What the tests' microphone hears."""

from __future__ import annotations

import io
from typing import Final

import numpy as np
import soundfile

RATE: Final = 48_000
EVERY: Final = 0.6
"""Seconds from click to click."""


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
