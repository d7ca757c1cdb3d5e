"""How loud a finished sound file gets."""

from __future__ import annotations

import os
from math import log10
from pathlib import Path

import numpy as np

from drills.output.audio.mixing import BLOCK


def told(path: Path) -> str | bytes:
    """A file's name for the sound library: as bytes where names are bytes, since they need
    not be UTF-8."""
    return str(path) if os.name == "nt" else os.fsencode(path)


def peak(path: Path) -> float | None:
    """Decibels of full scale of the highest sample, read back block by block; None for silence.

    What a lossy format adds is in it; what lies between the samples is not, by which a
    true peak can be a little higher (truepeak.py keeps that under the ceiling).
    """
    import soundfile  # noqa: PLC0415 - a MIDI file needs none

    with soundfile.SoundFile(told(path)) as file:
        highest = max((float(np.abs(block).max()) for block in file.blocks(BLOCK)), default=0.0)
    return 20 * log10(highest) if highest else None
