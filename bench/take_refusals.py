"""Whether what is not the music is refused, and what is the music is not; tempo and swing.

    python bench/take_refusals.py FOLDER [--runs 100] [--beats 10] [--first 920000]
                                  [--kinds noise,silence]

FOLDER holds the recorded tones (bench/take_tones.py fetches them).  Every kind is a way to
make a recording; each run has a seed of its own.  Printed: how many of the runs were refused,
of those that should be and of those that should not; at the end the errors of the tempo in
per cent, as it is told of takes that do not drift (bench/take_swing.py has the swing ratio).
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from bench.take_tones import INSTRUMENTS
from bench.takes import SOURCES, prepare, wanted_of
from drills.listening.judging import judge
from drills.listening.played import listen
from drills.listening.verdict import Verdict
from drills.listening.wanted import Wanted
from tests.listening.takes import (
    RATE,
    Manner,
    Place,
    Samples,
    Take,
    click_sound,
    make_take,
    speech,
)

SECONDS = 8.0


def take_of(seed: int, beats: int, place: Place, name: str | None = None, **manner: float) -> Take:
    """A take of an instrument that the seed chooses, unless it is named."""
    rng = np.random.default_rng(seed + 7)
    chosen = name or list(INSTRUMENTS)[seed % len(INSTRUMENTS)]
    how = replace(Manner(bpm=float(rng.uniform(66, 112))), **manner)
    return make_take(seed, SOURCES[chosen], how, place, beats)


def verdict(samples: Samples, wanted: Wanted) -> Verdict:
    """What is said of a recording."""
    return judge(wanted, listen(samples.astype(np.float32), RATE, wanted))


def another_spot(seed: int, beats: int) -> tuple[Samples, Wanted]:
    """The same player, other music of the same range."""
    name = list(INSTRUMENTS)[seed % len(INSTRUMENTS)]
    one = take_of(seed, beats, Place(noise=30.0), name)
    other = take_of(seed + 50_000, beats, Place(), name)
    return one.samples, wanted_of(other)


def another_part(seed: int, beats: int) -> tuple[Samples, Wanted]:
    """Another instrument's music at the same tempo."""
    names = list(INSTRUMENTS)
    one = take_of(seed, beats, Place(noise=30.0), names[seed % len(names)])
    other = take_of(seed + 50_000, beats, Place(), names[(seed + 3) % len(names)])
    return one.samples, wanted_of(other)


def of_no_music(make: Callable[[np.random.Generator], Samples]) -> Callable[..., object]:
    """A kind that holds none."""

    def kind(seed: int, beats: int) -> tuple[Samples, Wanted]:
        return make(np.random.default_rng(seed)), wanted_of(take_of(seed, beats, Place()))

    return kind


def clicks(rng: np.random.Generator) -> Samples:
    """Only the click, and some noise."""
    out = 0.001 * rng.normal(size=int(SECONDS * RATE))
    apart = int(60 / rng.uniform(60, 120) * RATE)
    for number, at in enumerate(range(RATE // 2, len(out) - RATE // 10, apart)):
        piece = click_sound(accent=number % 4 == 0)
        out[at : at + len(piece)] += 0.5 * piece
    return out


def right_one(place: Place) -> Callable[..., object]:
    """A kind that is the music."""

    def kind(seed: int, beats: int) -> tuple[Samples, Wanted]:
        take = take_of(seed, beats, place)
        return take.samples, wanted_of(take)

    return kind


KINDS: dict[str, tuple[bool, Callable[..., object]]] = {
    "another spot": (True, another_spot),
    "another part": (True, another_part),
    "noise": (True, of_no_music(lambda rng: 0.1 * rng.normal(size=int(SECONDS * RATE)))),
    "speech": (True, of_no_music(lambda rng: 0.4 * speech(rng, SECONDS))),
    "silence": (True, of_no_music(lambda rng: 1e-4 * rng.normal(size=int(SECONDS * RATE)))),
    "only the click": (True, of_no_music(clicks)),
    "right, clean": (False, right_one(Place())),
    "right, phone": (False, right_one(Place(phone=True, noise=30.0))),
    "right, noise 20 dB": (False, right_one(Place(noise=20.0))),
}
"""Kind -> whether it is to be refused, and how it is made."""


def numbers(first: int, runs: int) -> Iterator[str]:
    """Errors of the tempo of takes that do not drift."""
    tempo = []
    for seed in range(first, first + runs):
        take = take_of(seed, 16, Place(noise=30.0))
        timing = verdict(take.samples, wanted_of(take)).timing
        if timing is not None:
            tempo.append(100 * abs(timing.tempo / take.manner.bpm - 1))
    median, most = np.percentile(tempo, [50, 95])
    yield (
        f"tempo, per cent      {len(tempo):4d} of {runs}  median {median:.3f}  "
        f"95th percentile {most:.3f}"
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--runs", type=int, default=100)
    parser.add_argument("--beats", type=int, default=10)
    parser.add_argument("--first", type=int, default=920_000)
    parser.add_argument("--kinds", default=",".join([*KINDS, "numbers"]))
    given = parser.parse_args()
    prepare(given.folder)
    asked = given.kinds.split(",")
    for name, (refuse, make) in KINDS.items():
        if not any(name == one or name.startswith(f"{one},") for one in asked):
            continue
        refused = []
        for seed in range(given.first, given.first + given.runs):
            samples, wanted = make(seed, given.beats)  # type: ignore[misc]
            refused.append(bool(verdict(samples, wanted).refused))
        good = sum(one == refuse for one in refused)
        print(f"{name:20s} {good:4d} of {given.runs} as it should be", flush=True)
    if "numbers" in asked:
        print("\n".join(numbers(given.first, given.runs // 2)))


if __name__ == "__main__":
    main()
