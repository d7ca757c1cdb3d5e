"""Readers of sound files for the tests; they know nothing of how the sound was made."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile
from scipy.signal import resample_poly

Wave = npt.NDArray[np.float64]

_AT_A_TIME = 1 << 17


def onsets_after_silence(path: Path, quiet: float = 0.001, silence: float = 0.01) -> list[int]:
    """Samples louder than ``quiet`` (of full scale) after ``silence`` seconds that are not.

    For clicks that do not ring into each other.
    """
    found: list[int] = []
    begin, last_loud = 0, -(1 << 60)
    with soundfile.SoundFile(path) as file:
        gap = silence * file.samplerate
        for block in file.blocks(_AT_A_TIME):
            loud = np.flatnonzero(np.abs(block) > quiet) + begin
            before = np.concatenate([[last_loud], loud[:-1]])
            found += loud[loud - before > gap].tolist()
            last_loud = int(loud[-1]) if len(loud) else last_loud
            begin += len(block)
    return found


def strokes_by_peeling(path: Path, one: Wave, end: int, quiet: float = 2e-4) -> list[int]:
    """Where a sound begins that rings over its own repetitions.

    ``one`` is a recording of a single stroke.  The first sample that is not silent begins
    a stroke; how loud it is follows from the next few; with that stroke taken away, the
    next one is the first sample that is not silent then.  Only what lies before sample
    ``end`` is read.
    """
    found: list[int] = []
    head = one[:6]
    with soundfile.SoundFile(path) as file:
        rest, begin = np.zeros(0), 0
        while len(block := file.read(min(_AT_A_TIME, end - file.tell()))):
            rest = np.concatenate([rest, block])
            at_end = file.tell() == end
            while True:
                loud = np.abs(rest) > quiet
                first = int(loud.argmax()) if loud.any() else len(rest)
                begin, rest = begin + first, rest[first:]
                if not len(rest) or (len(rest) < len(one) and not at_end):
                    break
                count = min(len(one), len(rest))
                level = float(rest[:6] @ head[: len(rest)] / (head @ head))
                rest[:count] -= level * one[:count]
                assert abs(rest[0]) <= quiet, "this is another sound"
                found.append(begin)
    return found


def pitch(samples: Wave, rate: int, near: float) -> float:
    """Hz of the strongest partial within 3 % of ``near``: the peak of a spectrum, interpolated.

    Method: Hann window, parabola through the logarithms of three bins (a common estimate);
    of a second of sound it is right to a hundredth of a Hz.
    """
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples)), 8 * len(samples)))
    step = rate / (8 * len(samples))
    low, high = int(near * 0.97 / step), int(near * 1.03 / step) + 2
    top = low + int(spectrum[low:high].argmax())
    a, b, c = np.log(spectrum[top - 1 : top + 2])
    return float((top + (a - c) / (2 * (a - 2 * b + c))) * step)


def true_peak(samples: Wave) -> float:
    """At four times the rate, by scipy's own filter."""
    return float(np.abs(resample_poly(samples, 4, 1)).max())
