"""Practice sound played along and recorded with its bleed: is each rung's verdict right?

    python bench/take_practice.py FOLDER [--takes 60] [--first 60000] [--by plan,marks,alone]

FOLDER holds the recorded tones (bench/take_tones.py fetches them).  For spots of the demo's
music ``drills click`` makes a practice: a ladder of a few rungs with repetitions, clicks that
help less or drums, bars counted in.  A player of recorded tones plays along, clean up to a
known rung; on the next one or two notes break in most of the times through, elsewhere come
slips and late moves.  The practice sound bleeds in at -12 to +6 dB (peak against peak), in a
room, through a phone, and the recorder starts at any moment.  Then ``--practice`` is asked by
the plan, by the marks inside the sound file, and the recording alone.

Each row: takes; rungs and those whose verdict (clean or not) is right; of the rungs that break,
those whose breaking notes are named exactly; late moves found, and rungs with others called
late; sentences that name the right rung to stay on; times through found as many as were played
(a row of its own for each of the three ways).  Seeds below 900000 are for development.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
import soundfile
from scipy.signal import resample_poly

from bench.takes import SOURCES, prepare
from drills.cli import run
from drills.errors import DrillsError
from drills.jobs.judged_take import JudgedTake
from drills.jobs.request import Settings
from drills.jobs.take_material import Asked, materials_of
from drills.jobs.takes import judge_takes
from drills.listening.wanted import Wanted
from drills.sheets.choices import Choices
from tests.listening.takes import (
    RATE,
    Manner,
    Place,
    Played,
    Samples,
    Written,
    in_order,
    perform,
    recorded,
    sounded,
)

SCORES = Path(__file__).parents[1] / "scores"
SPOTS = (
    ("march", "2", "29", ("clarinet", "saxophone", "trumpet")),
    ("march", "2", "33", ("clarinet", "trumpet")),
    ("march", "2", "32@2#1-33", ("clarinet", "trumpet")),
    ("march", "2", "42-43", ("clarinet", "saxophone")),
    ("march", "2", "46-47", ("clarinet", "trumpet")),
    ("march", "4", "14-15", ("saxophone", "clarinet", "trumpet")),
    ("march", "4", "33", ("saxophone", "trumpet")),
    ("march", "1", "14-15", ("flute",)),
    ("march", "1", "30-31", ("flute",)),
    ("swing", "2", "8-9", ("clarinet", "trumpet", "saxophone")),
    ("swing", "2", "28-29", ("clarinet", "trumpet")),
    ("swing", "3", "27-28@3", ("saxophone", "trumpet")),
    ("swing", "4", "8-9", ("bassoon", "trombone")),
    ("swing", "4", "24-25", ("bassoon", "trombone")),
    ("air", "2", "12-13", ("clarinet", "trumpet")),
    ("air", "3", "5-6", ("saxophone", "clarinet")),
    ("air", "4", "20-21", ("bassoon", "trombone")),
)
"""Score, part, place, and who can play it."""
GROOVES = {"march": "march-cut", "swing": "swing", "air": "straight"}
CLICKS = (
    ("--click", "beats"),
    ("--click", "beats", "--click", "2,4", "--click", "1"),
    ("--click", "beats", "--click", "offbeats"),
    ("--click", "beats", "--click", "2,4", "--click", "none"),
    ("--click", "fading"),
    ("--click", "2"),
    ("--click", "1 with 1 without"),
)


@dataclass(frozen=True, slots=True)
class Case:
    """One practice, and what is planted in it."""

    seed: int
    score: str
    part: str
    place: str
    instrument: str
    choices: tuple[str, ...]
    rungs: int
    start: str
    bleed: float
    where: Place
    manner: Manner
    shift: float
    """Seconds of recording before the practice sound begins."""

    @property
    def path(self) -> Path:
        """The score."""
        return SCORES / f"{self.score}.musicxml"

    @property
    def settings(self) -> Settings:
        """The same choices as for the sound."""
        return Settings(Choices(start=Fraction(self.start), rungs=self.rungs))


@dataclass(frozen=True, slots=True)
class Truth:
    """What was played on one rung."""

    words: str
    clean: bool
    breaks: frozenset[int]
    """Numbers of the notes that were wrong or missed, in most of the times through."""
    slips: frozenset[int]
    late: frozenset[int]
    times: int


def case_of(seed: int) -> Case:
    """A practice by chance."""
    rng = np.random.default_rng(seed)
    score, part, place, players = SPOTS[seed % len(SPOTS)]
    groove = rng.random() < 0.3
    pattern = CLICKS[int(rng.integers(len(CLICKS)))]
    if groove:
        pattern = ("--groove", GROOVES[score], "--click", ("none", "drums")[int(rng.integers(2))])
    rungs = int(rng.integers(3, 5))
    start = str(int(rng.choice([40, 44, 50] if score == "air" else [52, 60, 66, 72])))
    choices = (
        *pattern,
        *("--times", str(int(rng.choice([1, 2, 3])))),
        *("--count-in", str(int(rng.choice([1, 1, 2])))),
        *("--rest", str(int(rng.choice([0, 0, 1])))),
        *("--start", start, "--rungs", str(rungs)),
    )
    where = Place(
        reverb=(0.0, 0.3, 0.45)[seed % 3],
        phone=bool(seed % 2),
        noise=30.0,
    )
    return Case(
        seed,
        score,
        part,
        place,
        players[int(rng.integers(len(players)))],
        choices,
        rungs,
        start,
        float(rng.uniform(-12, 6)),
        where,
        Manner(jitter=0.008, detune=float(rng.uniform(-25, 25))),
        float(rng.uniform(-2.0, 4.0)),
    )


def practice_of(case: Case, folder: Path) -> tuple[dict[str, Any], Samples]:
    """The plan and the sound that ``drills click`` makes; both are left in the folder."""
    command = ["click", str(case.path), "--part", case.part, "--at", case.place, *case.choices]
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(io.StringIO()):
        code = run([*command, "--json"]) or run([*command, "-o", str(folder / "practice.wav")])
    if code:
        raise RuntimeError(f"drills {' '.join(command)} ended with {code}")
    text = said.getvalue()
    plan = json.JSONDecoder().raw_decode(text)[0]
    (folder / "plan.json").write_text(json.dumps(plan))
    sound, rate = soundfile.read(folder / "practice.wav")
    mono = sound if sound.ndim == 1 else sound.mean(axis=1)
    return plan, np.asarray(resample_poly(mono, RATE, rate))


# --- who plays along -------------------------------------------------------------------


def performance(
    case: Case, plan: dict[str, Any], wanted: Wanted
) -> tuple[list[Played], list[Truth]]:
    """What is played on all rungs, and what is true of each; seconds of the plan."""
    rng = np.random.default_rng(case.seed + 1)
    stages = plan["spots"][0]["files"][0]["stages"]
    good = int(rng.integers(0, len(stages) + 1))
    notes, count = wanted.notes, len(wanted.notes)
    weak = sorted(int(n) for n in rng.choice(np.arange(1, count), 2, replace=False))
    weak = weak[: int(rng.integers(1, 3))]
    late = int(rng.choice([n for n in range(1, count) if n not in weak]))
    wide = _wide(wanted, late)
    behind = float(rng.uniform(-0.012, 0.02))
    recovers = rng.random() < 0.25
    played: list[Played] = []
    truths: list[Truth] = []
    for number, stage in enumerate(stages):
        number_words = f"{float(Fraction(stage['tempo']['number'])):g}"
        pace = 60 / float(Fraction(stage["tempo"]["number"]) * Fraction(stage["tempo"]["beat"]))
        times = [float(Fraction(one["exact"])) for one in stage["times"]]
        broken = number >= good and not (recovers and number > good)
        lags = rng.random() < 0.35 and wide * pace > 0.14
        slipping = int(rng.integers(count)) if len(times) > 2 and rng.random() < 0.4 else None
        slipped = int(rng.integers(len(times)))
        fails = rng.permutation(len(times))[: len(times) // 2 + 1]
        for again, begin in enumerate(times):
            at_fault = set(weak) if broken and again in fails else set()
            if slipping is not None and again == slipped and not broken:
                at_fault = {slipping}
            written = [Written(n.at, n.length, n.key, n.slurred) for n in notes]
            own = perform(rng, written, replace(case.manner, bpm=60 / pace), begin + behind)
            played += _with_faults(rng, own, notes_around(wanted), at_fault, late if lags else None)
        slips = frozenset() if slipping is None or broken else frozenset({slipping + 1})
        truths.append(
            Truth(
                number_words,
                not broken,
                frozenset(n + 1 for n in weak) if broken else frozenset(),
                slips,
                frozenset({late + 1}) if lags else frozenset(),
                len(times),
            )
        )
    return in_order(played, case.manner), truths


def _wide(wanted: Wanted, note: int) -> float:
    """Quarters around a note in which it can come late without a word about its neighbours."""
    own = wanted.notes[note]
    return min(own.at - wanted.notes[note - 1].at, own.length)


def notes_around(wanted: Wanted) -> list[set[int]]:
    """For each note the keys that are written near it."""
    keys = [note.key for note in wanted.notes]
    return [set(keys[max(n - 2, 0) : n + 3]) for n in range(len(keys))]


def _with_faults(
    rng: np.random.Generator,
    played: Sequence[Played],
    near: Sequence[set[int]],
    faults: set[int],
    late: int | None,
) -> Iterator[Played]:
    for one in played:
        note = one
        if note.of == late:
            by = float(rng.uniform(0.055, 0.08))
            note = replace(note, at=note.at + by, end=max(note.end, note.at + by + 0.07))
        if note.of in faults:
            written = int(note.key)
            twin = written in {int(p.key) for p in played if p.of in (note.of - 1, note.of + 1)}
            if rng.random() < 0.35 and not twin:
                continue
            steps = [s for s in (-1, 1, -2, 2, -3, 3, -4, 4) if written + s not in near[note.of]]
            note = replace(note, key=written + int(rng.choice(steps[:3])), call="wrong")
        yield note


def recording_of(case: Case, played: Sequence[Played], sound: Samples) -> Samples:
    """The performance with the practice sound beside it, as the phone hears both."""
    rng = np.random.default_rng(case.seed + 2)
    lead = max(case.shift, 0.0)
    moved = [replace(one, at=one.at + lead, end=one.end + lead) for one in played]
    dry = sounded(rng, moved, SOURCES[case.instrument], case.manner, moved[-1].end)
    bleed = np.zeros(max(len(dry), len(sound) + int(lead * RATE)))
    bleed[int(lead * RATE) :][: len(sound)] = sound
    bleed *= 10 ** (case.bleed / 20) * np.max(np.abs(dry)) / np.max(np.abs(sound))
    dry = np.pad(dry, (0, len(bleed) - len(dry))) + bleed
    return recorded(rng, dry[max(int(-case.shift * RATE), 0) :], case.where)


# --- what is said of it ------------------------------------------------------------------


@dataclass
class Row:
    """What one take gave in one way."""

    seed: int
    way: str
    rungs: int = 0
    right: int = 0
    broken: int = 0
    named: int = 0
    late: int = 0
    late_found: int = 0
    late_false: int = 0
    stays: bool = False
    times: bool = False
    cost: float = 0.0
    seconds: float = 0.0
    said: str = ""


def expected_words(truths: Sequence[Truth]) -> str:
    """How the sentence must begin."""
    good = next((n for n, one in enumerate(truths) if not one.clean), len(truths))
    if good == len(truths):
        return f"Clean on every rung, up to {truths[-1].words}"
    head = f"Clean up to {truths[good - 1].words}; at " if good else "At "
    return f"{head}{truths[good].words} note"


def score(row: Row, take: JudgedTake, truths: Sequence[Truth]) -> None:
    """Compare what is said of each rung with what was planted."""
    row.rungs = len(truths)
    row.stays = take.sentence.startswith(expected_words(truths))
    row.times = [len(r.verdicts) for r in take.rungs] == [t.times for t in truths]
    details = []
    for truth, rung in zip(truths, take.rungs, strict=False):
        right = rung.clean == truth.clean and rung.words == truth.words
        row.right += right
        row.broken += not truth.clean
        named = set(rung.breaks) == truth.breaks
        row.named += not truth.clean and named
        row.late += len(truth.late)
        row.late_found += len(truth.late & set(rung.late))
        row.late_false += bool(set(rung.late) - truth.late)
        if not right or (not truth.clean and not named) or set(rung.late) != truth.late:
            extras = [(e.call, e.after, e.key) for v in rung.verdicts for e in v.extras]
            calls = [
                "".join(n.call[0] for n in v.notes) + ("R" if v.refused else "") + v.doubt[:4]
                for v in rung.verdicts
            ]
            details.append(
                f"{truth.words}: {truth.clean} {sorted(truth.breaks)} slip {sorted(truth.slips)} "
                f"late {sorted(truth.late)}; said {rung.words} {rung.clean} {list(rung.faults)} "
                f"late {list(rung.late)} {extras} {' '.join(calls)}"
            )
    row.said = "\n      ".join([take.sentence, *details])


def ways(case: Case, folder: Path, wanted: Sequence[str]) -> Iterator[Row]:
    """One case, asked in every way."""
    plan, sound = practice_of(case, folder)
    asked = Asked(case.place, case.part)
    _, materials = materials_of(case.path, asked, case.settings)
    played, truths = performance(case, plan, materials[0].wanted)
    samples = recording_of(case, played, sound)
    path = folder / "evening.wav"
    soundfile.write(path, samples, RATE)
    for way in wanted:
        given = {"plan": "plan.json", "marks": "practice.wav"}.get(way)
        practice = None if given is None else folder / given
        row = Row(case.seed, way, seconds=len(samples) / RATE)
        begin = time.process_time()
        try:
            (take,) = judge_takes(
                [path], case.path, replace(asked, practice=practice), case.settings
            )
            score(row, take, truths)
        except DrillsError as error:
            row.rungs, row.said = len(truths), str(error)
        row.cost = time.process_time() - begin
        yield row


def told(case: Case, row: Row) -> str:
    """What was wrong with a take, for the log."""
    return (
        f"{case.seed} {row.way}: {case.score} {case.part} {case.place} {case.instrument} "
        f"{' '.join(case.choices)} bleed {case.bleed:.0f} room {case.where.reverb}\n"
        f"      {row.said}"
    )


def line(way: str, rows: Sequence[Row]) -> str:
    """One line of the table."""

    def total(name: str) -> int:
        return int(sum(getattr(row, name) for row in rows))

    speed = sum(row.seconds for row in rows) / max(sum(row.cost for row in rows), 1e-9)
    return (
        f"{way:6s} takes {len(rows)}  rungs right {total('right')} of {total('rungs')}  "
        f"breaking notes named {total('named')} of {total('broken')}  "
        f"late moves {total('late_found')} of {total('late')}, rungs with others "
        f"{total('late_false')}  right rung to stay on {total('stays')}  "
        f"times through {total('times')}  x real time {speed:.1f}"
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--takes", type=int, default=60)
    parser.add_argument("--first", type=int, default=60_000)
    parser.add_argument("--by", default="plan,marks,alone")
    parser.add_argument("--bleed", type=float, help="dB, in place of -12 to +6; -200 for none")
    given = parser.parse_args()
    prepare(given.folder)
    rows: list[Row] = []
    for seed in range(given.first, given.first + given.takes):
        case = case_of(seed)
        if given.bleed is not None:
            case = replace(case, bleed=given.bleed)
        with tempfile.TemporaryDirectory() as folder:
            own = list(ways(case, Path(folder), given.by.split(",")))
        rows += own
        for row in own:
            if row.right != row.rungs or row.named != row.broken or not row.stays or row.late_false:
                print(told(case, row), flush=True)
    for way in given.by.split(","):
        print(line(way, [row for row in rows if row.way == way]))


if __name__ == "__main__":
    main()
