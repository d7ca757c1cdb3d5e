"""Teach the network that places attacks (drills/listening/attack_net.py).

    python bench/attack_training.py FOLDER [--takes 1000] [--first 100000] [--jobs 2] [--out FILE]

FOLDER holds the recorded tones (bench/take_tones.py fetches them); the takes are those of
bench/attack_material.py, seeds 100000 to 199999, which nothing is measured on.  One take in
eight is kept back and tells how well the network does on takes it was not taught with; the
last line says how many milliseconds 50, 90 and 95 in 100 attacks are off at most.  The
weights are written to ``--out``, beside the module unless given.  About a second a take, and
five minutes of teaching.

Method.  Cross entropy of the candidate moments, Adam (Kingma and Ba 2015, from memory) with a
step that falls as half a cosine, weight decay.
"""

from __future__ import annotations

import argparse
import os
from dataclasses import asdict, dataclass, field
from multiprocessing import Pool
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "2")

import numpy as np

from bench import takes
from bench.attack_material import NAMES, Attacks, Floats, attacks_of
from drills.listening.attack_net import (
    FARTHEST,
    LOOKED_AT,
    SCALE,
    WEIGHTS,
    Net,
    candidates,
    likely,
    moment_of,
    patches,
)
from drills.listening.attack_views import CHANNELS, FACTS, GRID_STEP

HIDDEN = (64, 16)
BATCH = 256
EPOCHS = 20
STEP = 2e-3
WARM_UP = 100
"""Batches in which the step grows."""
DECAY = 0.01
KEPT_BACK = 8
FEWEST = 128
"""Takes of which some are kept back whatever the first seed is."""
FINAL = 900_000
"""Seeds from here on belong to measurements."""


def fresh(seed: int) -> Net:
    """A network that knows nothing."""
    rng = np.random.default_rng(seed)
    size, (wide, narrow) = CHANNELS * (2 * LOOKED_AT + 1), HIDDEN

    def drawn(*shape: int, spread: float) -> Floats:
        return rng.normal(0, spread, shape).astype(np.float32)

    return Net(
        drawn(size, wide, spread=size**-0.5),
        drawn(FACTS, wide, spread=0.3),
        np.zeros(wide, np.float32),
        drawn(wide, narrow, spread=wide**-0.5),
        np.zeros(narrow, np.float32),
        drawn(narrow, spread=narrow**-0.5),
        np.zeros((FACTS + 1, 2), np.float32),
        np.zeros(2 * FARTHEST + 1, np.float32),
    )


def wished(moments: Floats) -> Floats:
    """The true distribution: each moment shared by the two candidates about it."""
    place = np.clip(moments / (1000 * GRID_STEP) + FARTHEST, 0, 2 * FARTHEST - 1e-4)
    low = place.astype(int)
    found = np.zeros((len(moments), 2 * FARTHEST + 1), np.float32)
    rows = np.arange(len(moments))
    found[rows, low] = 1 - (place - low)
    found[rows, low + 1] = place - low
    return found


def slopes(net: Net, curves: Floats, facts: Floats, moments: Floats) -> dict[str, Floats]:
    """The gradient of the mean cross entropy."""
    seen = patches(curves)
    wide = np.tanh(seen @ net.looks + (facts @ net.facts + net.first)[:, None, :])
    narrow = np.tanh(wide @ net.mixes + net.second)
    off = (likely(net.scores(curves, facts)) - wished(moments)).astype(np.float32) / len(moments)
    away = candidates()
    more = np.concatenate([facts, np.ones_like(facts[:, :1])], axis=1)
    back = SCALE * off[:, :, None] * net.score * (1 - narrow**2)
    down = (back @ net.mixes.T) * (1 - wide**2)
    return {
        "looks": seen.reshape(-1, seen.shape[2]).T @ down.reshape(-1, down.shape[2]),
        "facts": facts.T @ down.sum(axis=1),
        "first": down.sum(axis=(0, 1)),
        "mixes": wide.reshape(-1, wide.shape[2]).T @ back.reshape(-1, back.shape[2]),
        "second": back.sum(axis=(0, 1)),
        "score": SCALE * np.einsum("bt,bth->h", off, narrow),
        "lean": more.T @ np.stack([(off * away).sum(1), (off * away**2).sum(1)], axis=1),
        "prior": off.sum(axis=0),
    }


@dataclass
class Adam:
    """The way down."""

    net: Net
    steps: int = 0
    mean: dict[str, Floats] = field(default_factory=dict)
    square: dict[str, Floats] = field(default_factory=dict)

    def go(self, slope: dict[str, Floats], step: float) -> None:
        """One step."""
        self.steps += 1
        changed = {}
        for name, value in slope.items():
            mean = 0.9 * self.mean.get(name, np.float32(0)) + 0.1 * value
            square = 0.999 * self.square.get(name, np.float32(0)) + 0.001 * value**2
            self.mean[name], self.square[name] = mean, square
            size = np.sqrt(square / (1 - 0.999**self.steps)) + 1e-8
            weights = getattr(self.net, name) - step * mean / (1 - 0.9**self.steps) / size
            kept = 1 - step * DECAY if name in ("looks", "mixes") else 1.0
            changed[name] = (weights * kept).astype(np.float32)
        self.net = Net(**changed)


def teach(attacks: Attacks, seed: int = 0) -> Net:
    """A network that has seen every attack ``EPOCHS`` times."""
    way, rng = Adam(fresh(seed)), np.random.default_rng(seed)
    batches = len(attacks.moments) // BATCH
    for epoch in range(EPOCHS):
        order = rng.permutation(len(attacks.moments))
        for batch in range(batches):
            done = (epoch * batches + batch) / (EPOCHS * batches)
            step = STEP * min(1.0, (way.steps + 1) / WARM_UP) * (1 + np.cos(np.pi * done)) / 2
            some = order[batch * BATCH : (batch + 1) * BATCH]
            curves = attacks.curves[some].astype(np.float32)
            way.go(slopes(way.net, curves, attacks.facts[some], attacks.moments[some]), step)
    return way.net


def off(net: Net, attacks: Attacks) -> Floats:
    """By how many milliseconds the network is off, attack by attack."""
    found = []
    for begin in range(0, len(attacks.moments), BATCH):
        some = slice(begin, begin + BATCH)
        shares = likely(net.scores(attacks.curves[some].astype(np.float32), attacks.facts[some]))
        middle = [1000 * moment_of(row).after for row in shares]
        found.append(np.array(middle, np.float32) - attacks.moments[some])
    return np.concatenate(found)


def some_of(attacks: Attacks, chosen: np.ndarray) -> Attacks:
    """Those that are chosen."""
    return Attacks(
        attacks.curves[chosen],
        attacks.facts[chosen],
        attacks.moments[chosen],
        *(
            tuple(np.array(row)[chosen].tolist())
            for row in (attacks.how, attacks.instrument, attacks.seed)
        ),
    )


def joined(parts: list[Attacks]) -> Attacks:
    """All attacks of some takes; curves in half the space."""
    return Attacks(
        np.concatenate([part.curves.astype(np.float16) for part in parts]),
        np.concatenate([part.facts for part in parts]),
        np.concatenate([part.moments for part in parts]),
        tuple(one for part in parts for one in part.how),
        tuple(one for part in parts for one in part.instrument),
        tuple(one for part in parts for one in part.seed),
    )


def taken(seed: int) -> Attacks:
    """The attacks of one take."""
    return attacks_of(seed, takes.SOURCES)


def told(attacks: Attacks, errors: Floats) -> None:
    """Print how far off 50, 90 and 95 in 100 are."""
    for name, row in (("how", attacks.how), ("instrument", attacks.instrument)):
        for one in sorted(set(row)):
            own = np.abs(errors[np.array(row) == one])
            print(f"{name:10s} {one:12s} {len(own):6d}", np.percentile(own, (50, 90, 95)).round(1))
    print(f"all {len(errors)}", np.percentile(np.abs(errors), (50, 90, 95)).round(1))


def main() -> None:
    """Make takes, teach, say how well it went, write the weights."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--takes", type=int, default=1000)
    parser.add_argument("--first", type=int, default=100_000)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--out", type=Path, default=WEIGHTS)
    given = parser.parse_args()
    if given.first + given.takes > FINAL:
        parser.error(f"seeds from {FINAL} on belong to measurements")
    if given.takes < FEWEST:
        parser.error(f"too few takes to learn from; {FEWEST} at least")
    takes.prepare(given.folder)
    seeds = range(given.first, given.first + given.takes)
    with Pool(given.jobs, takes.prepare, (given.folder,)) as pool:
        attacks = joined(pool.map(taken, seeds, chunksize=4))
    back = np.array(attacks.seed) // len(NAMES) % KEPT_BACK == 0
    net = teach(some_of(attacks, ~back))
    kept = some_of(attacks, back)
    told(kept, off(net, kept))
    np.savez_compressed(
        given.out, **{name: value.astype(np.float16) for name, value in asdict(net).items()}
    )


if __name__ == "__main__":
    main()
