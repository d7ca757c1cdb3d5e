"""How well the ratio of swung eighths and the tempo are told, against the attacks that sounded.

    python bench/take_swing.py FOLDER [--takes 120] [--first 900000] [--conditions clean,room]

FOLDER holds the recorded tones (bench/take_tones.py fetches them).  Melodies of 8 to 32 beats
of eighths, among them some quarters, are played with a ratio of 1 to 3.5 at 80 to 160 a minute
and with 8 ms of unevenness; the listener is told even eighths and a tempo that is a tenth off.
Each row: of how many takes a ratio was told; the median and the 95th percentile of its error,
and of the error in milliseconds of the offbeat; how often the error lay within what the ratio
was said to be known to, and the errors of those that were said to be known well; then the error
of the tempo in per cent, against the line through all attacks that sounded.  The ratio that
sounded is that of the sums of all eighths on the beat and off it.  Seeds below 900000 are for
development.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from bench.take_tones import INSTRUMENTS, Recorded
from bench.takes import SOURCES, prepare, wanted_of
from drills.listening.judging import judge
from drills.listening.played import listen
from tests.listening.takes import RATE, Manner, Place, Take, make_take, melody

CONDITIONS = {
    "clean": Place(),
    "phone": Place(phone=True, noise=30.0),
    "room 0.45 s": Place(reverb=0.45),
}
WELL = 0.1
"""What a ratio is known to that is looked at by itself."""
PATTERNS = ((0.5, 0.5),) * 5 + ((1.0,),)
MANNERS = ("mixed", "tongued", "legato")


@dataclass(frozen=True, slots=True)
class Row:
    """What one take gave; a ratio is None where none was told."""

    condition: str
    ratio: float
    told: float | None
    known: float | None
    tempo: float
    """Seconds a beat that sounded ..."""
    off: float
    """... and per cent that the tempo is off."""


def swung_take(seed: int, place: Place, sources: dict[str, Recorded]) -> Take:
    """A take of swung eighths."""
    rng = np.random.default_rng(seed + 11)
    names = list(INSTRUMENTS) if seed >= 900_000 else list(INSTRUMENTS)[:6]
    source = sources[names[seed % len(names)]]
    low = int(rng.integers(source.lowest, max(source.highest - 20, source.lowest + 1)))
    high = min(low + 20, source.highest)
    beats = int(rng.choice([8, 12, 16, 24, 32]))
    written = melody(rng, low, high, beats, patterns=PATTERNS, rests=0.03)
    how = Manner(
        bpm=float(rng.uniform(80, 160)),
        swing=float(rng.uniform(1.0, 3.5)),
        manner=MANNERS[seed % len(MANNERS)],
    )
    return make_take(seed, source, how, place, written=written)


def sounded(take: Take) -> dict[int, float]:
    """Half beat -> when its attack sounded."""
    return {round(2 * take.written[p.of].at): p.at for p in take.played if p.of is not None}


def ratio_sounded(at: dict[int, float]) -> float:
    """The eighths on the beat against those off it, sums of all beats that have both."""
    beats = [n for n in at if n % 2 == 0 and n + 1 in at and n + 2 in at]
    return sum(at[n + 1] - at[n] for n in beats) / sum(at[n + 2] - at[n + 1] for n in beats)


def pace_sounded(at: dict[int, float], ratio: float) -> float:
    """Seconds a beat: the slope of the line through all attacks, offbeats where they were due."""
    half = ratio / (1 + ratio) - 0.5
    return float(np.polyfit([n / 2 + half * (n % 2) for n in at], list(at.values()), 1)[0])


def row(condition: str, take: Take) -> Row | None:
    """Hear a take; None where it was refused."""
    wanted = wanted_of(take)
    verdict = judge(wanted, listen(take.samples.astype(np.float32), RATE, wanted))
    if verdict.refused or verdict.timing is None:
        return None
    at = sounded(take)
    ratio = ratio_sounded(at)
    pace = pace_sounded(at, ratio)
    timing = verdict.timing
    return Row(
        condition,
        ratio,
        timing.swing,
        timing.swing_uncertain,
        pace,
        100 * abs(timing.tempo * pace / 60 - 1),
    )


def lines(rows: Sequence[Row | None], condition: str, takes: int) -> Iterator[str]:
    """The table's row."""
    own = [one for one in rows if one is not None and one.condition == condition]
    told = [one for one in own if one.told is not None]
    off = np.array([abs((one.told or 0.0) - one.ratio) for one in told])
    ms = np.array([1000 * one.tempo / (1 + one.ratio) ** 2 for one in told]) * off
    within = np.mean([miss <= (one.known or 0.0) for miss, one in zip(off, told, strict=True)])
    well = np.array([(one.known or 0.0) <= WELL for one in told])
    tempo = np.array([one.off for one in own])
    yield (
        f"{condition:14s} {len(told):4d} of {takes:4d}  ratio {np.median(off):.3f} / "
        f"{np.percentile(off, 95):.3f}  offbeat {np.median(ms):.1f} / "
        f"{np.percentile(ms, 95):.1f} ms  within what was said {100 * within:.0f} %"
        f"  of {well.sum()} known to {WELL} {np.median(off[well]):.3f} / "
        f"{np.percentile(off[well], 95):.3f}  tempo {np.median(tempo):.3f} / "
        f"{np.percentile(tempo, 95):.3f} %"
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--takes", type=int, default=120)
    parser.add_argument("--first", type=int, default=900_000)
    parser.add_argument("--conditions", default=",".join(CONDITIONS))
    given = parser.parse_args()
    prepare(given.folder)
    for condition in given.conditions.split(","):
        seeds = range(given.first, given.first + given.takes)
        takes = (swung_take(seed, CONDITIONS[condition], SOURCES) for seed in seeds)
        rows = [row(condition, take) for take in takes]
        print("\n".join(lines(rows, condition, given.takes)), flush=True)


if __name__ == "__main__":
    main()
