"""Attacks whose moment is known, for the network that places attacks in a room to learn from.

Takes are made as for the other measurements, from recorded tones of eight instruments and from
computed tones whose rise, colour and breath differ from take to
take; with ends that are cut or die away, in rooms of 0.15 to 1.2 s with and without single
echoes of walls, through phones, in noise, beside a click.  The place where the model that
follows a take would have each attack is drawn at random about its true moment.

Conventions.  Those of tests/listening/takes.py; moments in milliseconds after the place.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bench.take_tones import INSTRUMENTS, Recorded
from drills.listening.attack_views import Around, Viewer
from drills.listening.hearing import frequency
from drills.listening.survey import survey_of
from tests.listening.takes import LEAD, RATE, Manner, Place, Played, Samples, Take, make_take

Floats = NDArray[np.float32]
NAMES = list(INSTRUMENTS)
COMPUTED = 0.3
"""Share of takes of computed tones."""
JOINED = 0.1
"""Seconds between two tones that still count as none."""
FARTHEST = 0.064
"""Seconds from its moment that an attack is taken to be at most."""


@dataclass(frozen=True, slots=True)
class Attacks:
    """Some attacks."""

    curves: Floats
    """Attacks x grid x channels."""
    facts: Floats
    """Attacks x facts."""
    moments: Floats
    """Milliseconds after the place."""
    how: tuple[str, ...]
    instrument: tuple[str, ...]
    seed: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Growing:
    """Tones that grow exponentially until they saturate, as a reed's or lip's oscillation does
    (the amplitude equation of Landau and Stuart; common knowledge, from memory)."""

    lowest: int
    highest: int
    growth: float
    """Seconds in which the energy grows e-fold while it is small."""
    spread: float
    """How much growth differs from tone to tone, as a share."""
    odd: float
    """How strong the even partials are against the odd ones."""
    slope: float
    """How strong each partial is against the one before."""
    darker: float
    """By how much more the energy of each further partial lags."""
    breath: float

    def tone(self, key: float, seconds: float, rng: np.random.Generator) -> tuple[Samples, int]:
        """See tests.listening.takes.Source."""
        f0 = 440 * 2 ** ((key - 69) / 12)
        size = int((LEAD + seconds + 0.2) * RATE)
        time = np.arange(size) / RATE - LEAD
        growth = self.growth * float(rng.uniform(1 - self.spread, 1 + self.spread))
        grown = 1 / (1 + 3 * np.exp(-np.clip(time / growth, -40, 40)))
        total, energy = np.zeros(size), np.zeros(size)
        for h in range(1, 25):
            if h * f0 > 0.45 * RATE:
                break
            weight = self.slope ** (h - 1) * (self.odd if h % 2 == 0 else 1.0)
            weight *= float(rng.uniform(0.7, 1.4))
            own = grown ** (1 + self.darker * (h - 1))
            energy += weight**2 * own
            phase = float(rng.uniform(0, 6.3))
            total += weight * np.sqrt(own) * np.sin(2 * np.pi * h * f0 * time + phase)
        total += self.breath * np.std(total) * rng.normal(size=size) * np.sqrt(grown)
        begins = int(np.argmax(energy > energy[-1] / 4))
        return total / np.std(total[begins + 500 :]) * 0.1, begins


def _growing(rng: np.random.Generator) -> Growing:
    lowest = int(rng.integers(34, 74))
    return Growing(
        lowest,
        lowest + 26,
        float(10 ** rng.uniform(np.log10(0.003), np.log10(0.028))),
        float(rng.uniform(0.1, 0.4)),
        float(rng.choice([1.0, 0.6, 0.15])),
        float(rng.uniform(0.6, 0.9)),
        float(rng.uniform(0, 0.25)),
        float(10 ** rng.uniform(-2.5, -1)),
    )


def made(seed: int, sources: dict[str, Recorded]) -> tuple[str, Take]:
    """A take to learn from: its instrument and itself."""
    rng = np.random.default_rng(seed + 99)
    name = NAMES[seed % len(NAMES)]
    computed = rng.random() < COMPUTED
    manners = ("mixed", "tongued", "legato", "soft", "staccato")
    how = Manner(
        bpm=float(rng.uniform(60, 132)),
        jitter=0.012,
        vibrato=float(rng.choice([0, 0, 12, 20])),
        detune=float(rng.uniform(-40, 40)),
        drift=float(rng.uniform(-0.06, 0.06)),
        rubato=float(rng.uniform(0, 0.04)),
        manner=str(rng.choice(manners, p=(0.32, 0.28, 0.15, 0.2, 0.05))),
        release=float(rng.choice([0, 1]) * 10 ** rng.uniform(np.log10(0.03), np.log10(0.25))),
    )
    reverb = float(10 ** rng.uniform(np.log10(0.15), np.log10(1.2)))
    place = Place(
        reverb=reverb if rng.random() < 0.92 else 0.0,
        direct=float(rng.uniform(-1, 8)),
        early=int(rng.choice([0, 6])),
        phone=bool(rng.random() < 0.4),
        noise=float(rng.uniform(12, 50)),
        click=float(rng.uniform(-12, 6)) if rng.random() < 0.1 else None,
    )
    repeats = float(rng.choice([0.12, 0.3]))
    source = _growing(rng) if computed else sources[name]
    return "computed" if computed else name, make_take(seed, source, how, place, 20, repeats)


def _off(rng: np.random.Generator) -> float:
    """Seconds from an attack to where the model has it: mostly near, sometimes far."""
    kind = rng.random()
    far = rng.normal(0.003, 0.010) if kind < 0.65 else rng.normal(0.006, 0.028)
    far = far if kind < 0.95 else rng.uniform(-FARTHEST, FARTHEST)
    return float(-np.clip(far, -FARTHEST, FARTHEST))


def arounds(played: tuple[Played, ...], rng: np.random.Generator) -> list[Around]:
    """Where the model would have each attack."""
    places = [one.at + _off(rng) for one in played]
    found = []
    for n, (one, place) in enumerate(zip(played, places, strict=True)):
        joined = n + 1 < len(played) and played[n + 1].at - one.end < JOINED
        end = places[n + 1] if joined else one.end + 0.02 + abs(float(rng.normal(0, 0.02)))
        before = played[n - 1] if n else None
        old = None if before is None or one.at - before.end >= JOINED else round(before.key)
        begun = 0.0 if before is None else before.end + 0.05 if old is None else places[n - 1]
        begun = min(begun, place - 0.035)
        found.append(Around(place, max(end, place + 0.04), round(one.key), old, begun))
    return found


def attacks_of(seed: int, sources: dict[str, Recorded]) -> Attacks:
    """All attacks of a take."""
    name, take = made(seed, sources)
    rng = np.random.default_rng(seed + 199)
    samples = take.samples.astype(np.float32)
    lowest = frequency(min(round(one.key) for one in take.played) - 9) * 0.6
    tuning = take.manner.detune + float(rng.normal(0, 2))
    viewer = Viewer(samples, RATE, tuning, survey_of(samples, RATE, lowest))
    around = arounds(take.played, rng)
    views = [viewer.views(one) for one in around]
    moments = [1000 * (p.at - a.place) for p, a in zip(take.played, around, strict=True)]
    return Attacks(
        np.stack([view.curves for view in views]),
        np.stack([view.facts for view in views]),
        np.array(moments, dtype=np.float32),
        tuple(one.how for one in take.played),
        (name,) * len(views),
        (seed,) * len(views),
    )
