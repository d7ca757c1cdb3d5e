"""How rightly takes are judged: recordings whose truth is known, condition by condition.

    python bench/takes.py FOLDER [--takes 48] [--first 900000] [--conditions clean,room]
                          [--jobs 1] [--against]

FOLDER holds the recorded tones (bench/take_tones.py fetches them).  Each row: the share of
written notes that were called rightly, of those that were called at all; how many were
called; planted errors found, and named rightly; calls of added notes that were none; the
median and the 95th percentile of the onset error of notes called right, in milliseconds; F1
by mir_eval at 50 ms; how far the cents that were told are off those of the tones themselves, each
against the player's own A (bench/take_pitch.py); times real time by processor time.  Seeds below
900000 are for development.  With
``--against`` the same takes are also heard by librosa's pYIN and onset detection, matched
to the written notes by mir_eval's own matching.
"""

from __future__ import annotations

import argparse
import os
import pickle
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from multiprocessing import Pool
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import mir_eval
import numpy as np

from bench.take_pitch import cents_off
from bench.take_tones import INSTRUMENTS, Recorded
from drills.listening.judging import judge
from drills.listening.played import Played, listen
from drills.listening.states import NOTE, WRONG
from drills.listening.verdict import Verdict
from drills.listening.wanted import Wanted, WantedNote
from tests.listening.takes import RATE, Manner, Place, Take, make_take

CONDITIONS: dict[str, tuple[dict[str, object], dict[str, object]]] = {
    "clean": ({}, {}),
    "noise 20 dB": ({}, {"noise": 20.0}),
    "noise 10 dB": ({}, {"noise": 10.0}),
    "room 0.45 s": ({}, {"reverb": 0.45}),
    "phone": ({}, {"phone": True, "noise": 30.0}),
    "click": ({}, {"click": 0.0, "noise": 30.0}),
    "errors": (
        {"wrong": 0.02, "missed": 0.015, "added": 0.015, "twice": 0.005, "restarts": 1},
        {"noise": 30.0},
    ),
    "soft tonguing in a room": ({"manner": "soft"}, {"reverb": 0.45, "noise": 30.0}),
    "everyday": (
        {"wrong": 0.02, "missed": 0.015, "added": 0.015, "twice": 0.005, "drift": 0.03},
        {"reverb": 0.45, "phone": True, "noise": 30.0},
    ),
    "struck twice": ({"twice": 0.05}, {"noise": 30.0}),
    "softly struck twice": ({"twice": 0.05, "manner": "soft"}, {"noise": 30.0}),
    "struck twice in a room": ({"twice": 0.05}, {"reverb": 0.45, "noise": 30.0}),
    "hall 2 s": ({}, {"reverb": 2.0, "direct": 0.0, "noise": 30.0}),
    "second player": ({}, {"other": -12.0, "noise": 30.0}),
    "hall 2 s with errors": (
        {"wrong": 0.04, "missed": 0.03, "added": 0.03},
        {"reverb": 2.0, "direct": 0.0, "noise": 30.0},
    ),
    "second player with errors": (
        {"wrong": 0.04, "missed": 0.03, "added": 0.03},
        {"other": -12.0, "noise": 30.0},
    ),
}
MIXED = {"clean", "noise 20 dB", "noise 10 dB", "room 0.45 s", "errors"}


@dataclass
class Row:
    """What one take gave."""

    condition: str
    seed: int
    instrument: str
    seconds: float
    cost: float
    written: int = 0
    called: int = 0
    right: int = 0
    planted: int = 0
    found: int = 0
    named: int = 0
    false: int = 0
    errors: list[float] = field(default_factory=list)
    f1: float = 0.0
    restarts: int = 0
    restarts_found: int = 0
    tempo: float = 0.0
    cents: list[float] = field(default_factory=list)
    attacks: list[tuple[str, bool, float, float, float, str]] = field(default_factory=list)
    """Of each note called right: kind of attack, whether there was a room, error and what it was
    said to be known to, how late it was (truly, all in ms), what it was called."""
    refused: bool = False
    details: list[tuple[object, ...]] = field(default_factory=list)


def made(condition: str, seed: int, sources: dict[str, Recorded]) -> tuple[str, Take]:
    """A take of a condition."""
    manner, place = CONDITIONS[condition]
    rng = np.random.default_rng(seed + 7)
    names = list(INSTRUMENTS) if seed >= 900_000 else list(INSTRUMENTS)[:6]
    name = names[seed % len(names)]
    how = replace(
        Manner(bpm=float(rng.uniform(66, 112)), vibrato=float(rng.choice([0, 0, 12]))),
        detune=float(rng.uniform(-40, 40)) if seed % 2 else 0.0,
        **manner,
    )
    if condition in MIXED:
        how = replace(
            how, drift=float(rng.uniform(-0.06, 0.06)), rubato=float(rng.uniform(0, 0.04))
        )
        if condition != "errors":
            how = replace(how, manner=("mixed", "tongued", "legato")[seed % 3])
    where = replace(Place(), **place)
    if condition == "click":
        where = replace(where, click=float(rng.uniform(-12, 6)))
    repeats = 0.35 if condition.startswith("soft") else 0.12
    return name, make_take(seed, sources[name], how, where, 16, repeats)


def wanted_of(take: Take) -> Wanted:
    """What the model is told: the notes, and a tempo that is a tenth off."""
    return Wanted(
        tuple(
            WantedNote(w.at, w.length, w.key, w.slurred, beat=abs(w.at - round(w.at)) < 1e-6)
            for w in take.written
        ),
        60 / take.manner.bpm * 1.1,
    )


def score(row: Row, take: Take, played: Played, wanted: Wanted) -> None:
    """Compare what was heard with what was played."""
    verdict = judge(wanted, played)
    truth = take.calls()
    row.written = len(truth)
    for number, (note, call) in enumerate(zip(verdict.notes, truth, strict=True)):
        right = note.call == call
        row.called += note.call != "unclear"
        row.right += note.call != "unclear" and right
        if call != "right":
            row.planted += 1
            row.found += note.call not in ("right",)
            row.named += right
        row.details.append((number, call, note.call, note.fit, note.certainty))
    pairs = []
    for one in played.notes:
        if one.kind == NOTE and verdict.notes[one.note].call == "right":
            due = [p.at for p in take.played if p.of == one.note and p.call == "right"]
            if due:
                pairs.append(min((one.at - at for at in due), key=abs))
    row.errors = pairs
    row.attacks = list(_attacks(take, played, verdict))
    extra = [p for p in take.played if p.of is None]
    heard = list(verdict.extras)
    used: set[int] = set()
    for p in extra:
        row.planted += 1
        near = [
            i for i, one in enumerate(heard) if i not in used and abs(one.seconds - p.at) < 0.08
        ]
        other = any(one.kind == WRONG and abs(one.at - p.at) < 0.08 for one in played.notes)
        if near:
            used.add(near[0])
            row.found += 1
            row.named += heard[near[0]].call == p.call
        elif other:
            row.found += 1
    # a wrong note before a restart may as well be called an added one
    row.false = sum(
        i not in used
        and not any(abs(one.seconds - p.at) < 0.08 and p.call == "wrong" for p in take.played)
        for i, one in enumerate(heard)
    )
    reference = np.array(sorted(p.at for p in take.played))
    estimate = np.array(sorted(one.at for one in played.notes))
    row.f1 = float(mir_eval.onset.f_measure(reference, np.maximum(estimate, 0), 0.05)[0])
    row.refused = bool(verdict.refused)
    row.restarts = max(p.run for p in take.played)
    row.restarts_found = min(len(verdict.restarts), row.restarts)
    row.cents = cents_off(take, played)


def _attacks(
    take: Take, played: Played, verdict: Verdict
) -> Iterator[tuple[str, bool, float, float, float, str]]:
    for one in played.notes:
        note = verdict.notes[one.note] if one.kind == NOTE else None
        if note is None or note.call != "right" or note.seconds != one.at:
            continue
        errors = [one.at - p.at for p in take.played if p.of == one.note and p.call == "right"]
        if errors and note.late is not None and note.uncertain is not None:
            error = 1000 * min(errors, key=abs)
            late = note.late - error
            yield one.attack.value, played.room, error, note.uncertain, late, note.timed


SOURCES: dict[str, Recorded] = {}


def prepare(folder: Path) -> None:
    """Have the recorded tones at hand."""
    cache = folder / "tones.pickle"  # our own, made a moment ago: decoding takes long
    if not cache.exists():
        cache.write_bytes(pickle.dumps({n: Recorded(n, folder) for n in INSTRUMENTS}))
    SOURCES.update(pickle.loads(cache.read_bytes()))


def one(job: tuple[str, int]) -> Row:
    """Make a take and judge it."""
    condition, seed = job
    name, take = made(condition, seed, SOURCES)
    wanted = wanted_of(take)
    samples = take.samples.astype(np.float32)
    begin = time.process_time()
    played = listen(samples, RATE, wanted)
    row = Row(condition, seed, name, len(samples) / RATE, time.process_time() - begin)
    score(row, take, played, wanted)
    return row


def lines(rows: Sequence[Row]) -> Iterator[str]:
    """The table."""
    yield (
        "condition             notes  called  right%  planted found named  false   med   p95"
        "   F1   restarts  cents med/p95  x real time"
    )
    for condition in dict.fromkeys(row.condition for row in rows):
        own = [row for row in rows if row.condition == condition]
        errors = 1000 * np.abs(np.concatenate([row.errors for row in own]))
        cents = np.concatenate([row.cents for row in own])
        called = sum(r.called for r in own)
        yield (
            f"{condition:20s} {sum(r.written for r in own):6d} {called:7d} "
            f"{100 * sum(r.right for r in own) / called:7.2f} {sum(r.planted for r in own):8d} "
            f"{sum(r.found for r in own):5d} {sum(r.named for r in own):5d} "
            f"{sum(r.false for r in own):6d} {np.median(errors):5.1f} "
            f"{np.percentile(errors, 95):5.1f} {np.mean([r.f1 for r in own]):.3f} "
            f"{sum(r.restarts_found for r in own):4d}/{sum(r.restarts for r in own)} "
            f"{np.median(cents):6.1f}/{np.percentile(cents, 95):.1f} "
            f"{sum(r.seconds for r in own) / sum(r.cost for r in own):8.1f}"
        )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--takes", type=int, default=48)
    parser.add_argument("--first", type=int, default=900_000)
    parser.add_argument("--conditions", default=",".join(CONDITIONS))
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--against", action="store_true")
    parser.add_argument("--rows", type=Path, help="keep every take's row in this file (pickle)")
    given = parser.parse_args()
    prepare(given.folder)
    wanted = [c for c in CONDITIONS if c in given.conditions.split(",")]
    jobs = [(c, given.first + n) for c in wanted for n in range(given.takes)]
    with Pool(given.jobs, prepare, (given.folder,)) as pool:
        rows = pool.map(one, jobs, chunksize=1)
    print("\n".join(lines(rows)))
    if given.against:
        from bench.take_against import against  # noqa: PLC0415 - librosa is slow to import

        print("\n".join(against(jobs, SOURCES)))
    if given.rows is not None:
        given.rows.write_bytes(pickle.dumps(rows))


if __name__ == "__main__":
    main()
