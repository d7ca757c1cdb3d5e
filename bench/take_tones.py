"""Recorded tones of real instruments, for takes whose truth is known.

    python bench/take_tones.py FOLDER        fetches the samples into FOLDER

Source.  The npm packages tonejs-instrument-*-mp3, version 1.1.2 (code MIT, samples
CC-BY 3.0, says their README), fetched by npm and never kept with the project.  Names of
files are pitches; those that are another pitch than their name are left out, and so are
tones that swell for longer than a tongued note lasts.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tarfile
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

import numpy as np
import soundfile
from scipy.signal import resample_poly

from tests.listening.takes import RATE, Samples

INSTRUMENTS = {
    "clarinet": (50, 86),
    "saxophone": (49, 81),
    "trumpet": (54, 84),
    "flute": (60, 91),
    "bassoon": (43, 68),
    "trombone": (44, 68),
    "french-horn": (43, 77),
    "tuba": (34, 60),
}
"""Keys that the takes use, lowest and highest."""

LEFT_OUT = {("clarinet", "Fs6"), ("trumpet", "As3"), ("trumpet", "C3"), ("tuba", "F1")}
STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
LONGEST_RISE = 0.075
"""Seconds from a tenth to half of the plateau."""


def fetch(folder: Path) -> None:
    """Fetch and unpack what is missing."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in INSTRUMENTS:
        package = f"tonejs-instrument-{name}-mp3"
        target = folder / package
        if target.exists():
            continue
        subprocess.run(["npm", "pack", f"{package}@1.1.2", "--silent"], cwd=folder, check=True)
        with tarfile.open(folder / f"{package}-1.1.2.tgz") as archive:
            archive.extractall(target, filter="data")


@dataclass
class Recorded:
    """One instrument from its recorded tones."""

    name: str
    folder: Path
    lowest: int = 0
    highest: int = 0
    tones: dict[int, tuple[Samples, int, float]] = field(default_factory=dict)
    made: dict[tuple[int, int], tuple[Samples, int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.lowest, self.highest = INSTRUMENTS[self.name]
        files = sorted((self.folder / f"tonejs-instrument-{self.name}-mp3/package").glob("*.mp3"))
        for file in files:
            found = re.fullmatch(r"([A-G])(s?)(\d)", file.stem)
            if found is None or (self.name, file.stem) in LEFT_OUT:
                continue
            key = 12 * (int(found[3]) + 1) + STEPS[found[1]] + bool(found[2])
            samples, rate = soundfile.read(file)
            samples = samples if samples.ndim == 1 else samples.mean(1)
            samples = resample_poly(samples[: 6 * rate], RATE, rate)
            begins, rise = beginning(samples)
            if rise <= LONGEST_RISE:
                samples = samples[: begins + 3 * RATE]
                self.tones[key] = (samples, begins, _mistuned(samples[begins:], key))

    def tone(self, key: float, seconds: float, rng: np.random.Generator) -> tuple[Samples, int]:
        """See tests.listening.takes.Source; the sample moved to the pitch, in tune."""
        near = sorted(self.tones, key=lambda k: abs(k - key))[:1]
        chosen = near[int(rng.integers(len(near)))]
        samples, begins, off = self.tones[chosen]
        cents = round((key - chosen) * 100 - off)
        if (chosen, cents) not in self.made:
            share = Fraction(2 ** (-cents / 1200)).limit_denominator(180)
            moved = resample_poly(samples, share.numerator, share.denominator)
            start = round(begins * share.numerator / share.denominator)
            level = np.sqrt((moved[start : start + int(0.4 * RATE)] ** 2).mean())
            self.made[chosen, cents] = (moved / level * 0.1, start)
        moved, start = self.made[chosen, cents]
        wanted = start + int((seconds + 0.3) * RATE)
        if len(moved) < wanted:
            moved = _longer(moved, wanted)
        return moved[:wanted].copy(), start


def beginning(samples: Samples) -> tuple[int, float]:
    """Where a recorded tone comes within 6 dB of its plateau, and how long it rises to there."""
    size = int(0.01 * RATE)
    level = np.sqrt(np.convolve(samples**2, np.hanning(size) / np.hanning(size).sum(), "same"))
    first = int(np.argmax(level > 0.1 * level.max()))
    plateau = np.median(level[first + int(0.06 * RATE) : first + int(0.3 * RATE)])
    tenth = int(np.argmax(level > 0.1 * plateau))
    half = tenth + int(np.argmax(level[tenth:] > 0.5 * plateau))
    return half, (half - tenth) / RATE


def _mistuned(samples: Samples, key: int) -> float:
    """Cents that a recorded tone is off, by its autocorrelation over many periods."""
    part = samples[int(0.1 * RATE) : int(0.1 * RATE) + 16384]
    spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part)), 1 << 17)) ** 2
    bins = np.fft.rfftfreq(1 << 17, 1 / RATE)
    keep = bins < 5000
    cents = np.arange(-60, 61, 1.0)
    lags = 8 / (440 * 2 ** ((key - 69 + cents / 100) / 12))
    score = np.cos(2 * np.pi * lags[:, None] * bins[keep][None, :]) @ spectrum[keep]
    return float(cents[int(np.argmax(score))])


def _longer(samples: Samples, size: int) -> Samples:
    """A tone made longer by repeating its end, crossfaded."""
    join = int(0.2 * RATE)
    ramp = np.linspace(0, 1, join)
    out = samples
    while len(out) < size:
        more = samples[-int(1.2 * RATE) :]
        middle = out[-join:] * np.sqrt(1 - ramp) + more[:join] * np.sqrt(ramp)
        out = np.concatenate([out[:-join], middle, more[join:]])
    return out


if __name__ == "__main__":
    fetch(Path(sys.argv[1]))
