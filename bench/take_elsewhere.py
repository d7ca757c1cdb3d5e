"""How well takes of another maker are heard: fonts, rooms with walls, codecs, real tunes.

    python bench/take_elsewhere.py FOLDER [--takes 9] [--first 88000] [--rows dry,living 1 m]

FOLDER keeps the rooms, which take a second each.  Needs fluidsynth and fluid-soundfont-gm
(Debian), pyroomacoustics and pretty_midi (PyPI).  Nothing of tests/listening/takes.py makes
the sound: see font_player.py, font_takes.py and walls.py; the music is that of real_music.py.
Times are those of the direct sound.  The listener is told the notes
and a tempo 8 % off.  A take is scored as in takes.py, and by mir_eval's notes (50 ms, 50
cents, no ends) besides.  Printed: a line for each row; then, for each row, the error of
onsets by kind of attack and by instrument: bias (median) and 95th percentile in
milliseconds, positive where the listener is late.
"""

from __future__ import annotations

import argparse
import os
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import mir_eval
import numpy as np

from bench.font_player import Faults, perform
from bench.font_takes import INSTRUMENTS, RATE, rises, sounded
from bench.real_music import music
from bench.takes import Row, score
from bench.walls import CODECS, Room, by_phone, echoes, hum_and_hiss, in_room, kept
from drills.listening.played import Played, listen
from drills.listening.sound_file import open_recording
from drills.listening.states import NOTE
from drills.listening.wanted import Wanted
from tests.listening.takes import Manner, Samples, Take, Written

LIVING, LESSONS, TILES, HALL = (4, 5, 2.6), (7, 9, 3), (2, 2.5, 2.4), (12, 18, 7)
NONE = Faults()
MANY = Faults(wrong=0.02, missed=0.015, added=0.015, twice=0.01, restarts=1)


@dataclass(frozen=True, slots=True)
class Setting:
    """What a row is made of."""

    room: Room | None = None
    faults: Faults = NONE
    soft: bool = False
    phone: bool = False
    ending: str = ".wav"
    noise: float = 45.0


ROWS: dict[str, Setting] = {
    "dry": Setting(),
    "dry, softly": Setting(soft=True),
    "dry, noise 15 dB": Setting(noise=15.0),
    "dry, faults": Setting(faults=MANY),
    "living 0.5 m": Setting(Room(LIVING, 0.4, 0.5)),
    "living 1 m": Setting(Room(LIVING, 0.4, 1.0)),
    "living 2 m": Setting(Room(LIVING, 0.4, 2.0)),
    "living 1 m, softly": Setting(Room(LIVING, 0.4, 1.0), soft=True),
    "classroom 1 m": Setting(Room(LESSONS, 0.7, 1.0)),
    "bathroom 1 m": Setting(Room(TILES, 0.8, 1.0)),
    "hall 2 m": Setting(Room(HALL, 1.2, 2.0)),
    "phone m4a": Setting(Room(LIVING, 0.3, 0.5), phone=True, ending=".m4a", noise=35.0),
    "phone opus": Setting(Room(LIVING, 0.3, 0.5), phone=True, ending=".opus", noise=35.0),
    "mp3": Setting(ending=".mp3"),
    "everyday": Setting(Room(LIVING, 0.4, 1.0), MANY, phone=True, ending=".m4a", noise=30.0),
}


# --- the takes ---------------------------------------------------------------------


def made(row: str, seed: int, folder: Path) -> tuple[str, Take, Wanted]:
    """A take of a row (its samples at RATE), and what the listener is told."""
    setting, rng = ROWS[row], np.random.default_rng(seed)
    instrument = list(INSTRUMENTS)[seed % len(INSTRUMENTS)]
    font = "fluid" if seed % 2 else "tim"
    keys = rises(instrument, font)
    wanted, pace = music(rng, instrument, keys)
    cents = float(rng.uniform(-40, 40))
    deeds = perform(rng, wanted, pace, setting.faults, keys, soft=setting.soft)
    vibrato = int(rng.choice([0, 0, 25]))
    dry, played = sounded(rng, deeds, instrument, font, cents=cents, vibrato=vibrato)
    wet = dry if setting.room is None else in_room(dry, echoes(setting.room, folder))
    wet = hum_and_hiss(rng, wet, setting.noise)
    samples = by_phone(wet) if setting.phone else wet
    written = tuple(Written(n.at, n.length, n.key) for n in wanted.notes)
    take = Take(samples, written, tuple(played), Manner(bpm=60 / pace, detune=cents))
    return f"{instrument} ({font})", take, replace(wanted, pace=pace * 1.08)


@cache
def delay(ending: str) -> float:
    """Seconds by which a codec moves the sound."""
    if ending not in CODECS:
        return 0.0
    knock = np.zeros(2 * RATE)
    knock[RATE : RATE + 200] = np.random.default_rng(3).normal(size=200)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"knock{ending}"
        kept(knock, path)
        samples, rate = decoded(path)
    energy = np.convolve(samples**2, np.ones(200 * rate // RATE), "valid")
    return float(np.argmax(energy)) / rate - 1.0


def decoded(path: Path) -> tuple[Samples, int]:
    """Samples and rate as the program has them."""
    with open_recording(path) as recording:
        return np.asarray(recording.samples[0 : len(recording.samples)]), recording.rate


def heard(samples: Samples, wanted: Wanted, ending: str) -> Played:
    """What the listener makes of the file; times without the codec's delay."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"take{ending}"
        kept(samples, path)
        played = listen(*decoded(path), wanted)
    off = delay(ending)
    notes = tuple(replace(n, at=n.at - off, end=n.end - off) for n in played.notes)
    return replace(played, notes=notes)


@dataclass(frozen=True, slots=True)
class Judged:
    """A take with all that is printed of it."""

    row: Row
    notes_f1: float
    errors: tuple[tuple[str, float], ...]
    """Kind of attack, milliseconds late."""


def judged(row: str, seed: int, folder: Path) -> Judged:
    """Make a take and hear it."""
    name, take, wanted = made(row, seed, folder)
    played = heard(take.samples, wanted, ROWS[row].ending)
    found = Row(row, seed, name, len(take.samples) / RATE, 0.0)
    score(found, take, played, wanted)
    errors = []
    for one in played.notes:
        due = [p for p in take.played if p.of == one.note and p.call == "right"]
        if one.kind == NOTE and due:
            near = min(due, key=lambda p: abs(one.at - p.at))
            errors.append((near.how, 1000 * (one.at - near.at)))
    return Judged(found, _notes_f1(take, played), tuple(errors))


def _notes_f1(take: Take, played: Played) -> float:
    if not played.notes:
        return 0.0
    real = np.array([(p.at, max(p.end, p.at + 0.02)) for p in take.played])
    pitch = 440 * 2 ** (
        (np.array([p.key for p in take.played]) - 69 + take.manner.detune / 100) / 12
    )
    times = np.array([(max(n.at, 0.0), max(n.end, n.at + 0.02)) for n in played.notes])
    keys = np.array([n.key for n in played.notes])
    hertz = 440 * 2 ** ((keys - 69 + played.tuning / 100) / 12)
    both = mir_eval.transcription.precision_recall_f1_overlap(
        real, pitch, times, hertz, offset_ratio=None
    )
    return float(both[2])


# --- what is printed ---------------------------------------------------------------


def line(name: str, takes: Sequence[Judged]) -> str:
    """One row of the table."""
    rows = [take.row for take in takes]
    errors = np.abs([ms for take in takes for _, ms in take.errors])
    called = max(sum(r.called for r in rows), 1)
    return (
        f"{name:20s} {sum(r.written for r in rows):5d} {called:6d} "
        f"{100 * sum(r.right for r in rows) / called:6.2f} {sum(r.false for r in rows):5d} "
        f"{sum(r.found for r in rows):4d}/{sum(r.planted for r in rows):<3d} "
        f"{sum(r.named for r in rows):4d} "
        f"{sum(r.restarts_found for r in rows):3d}/{sum(r.restarts for r in rows):<2d} "
        f"{np.median(errors):6.1f} {np.percentile(errors, 95):6.1f} "
        f"{np.mean([take.notes_f1 for take in takes]):6.3f} {sum(r.refused for r in rows):4d}"
    )


HEAD = (
    "row                  notes called right% false found   named restarts  med    p95"
    "  notesF1 refused"
)


def details(name: str, takes: Sequence[Judged]) -> Iterator[str]:
    """Bias and 95th percentile by kind of attack and by instrument."""
    for what, split in (("attack", False), ("instrument", True)):
        groups: dict[str, list[float]] = {}
        for take in takes:
            for how, ms in take.errors:
                groups.setdefault(take.row.instrument if split else how, []).append(ms)
        said = (
            f"{group} {np.median(ms):+.1f} / {np.percentile(np.abs(ms), 95):.0f} ({len(ms)})"
            for group, ms in sorted(groups.items())
        )
        yield f"  {name}, by {what}: " + "; ".join(said)
    for take in takes:
        wrong = [d[:3] for d in take.row.details if d[1] != d[2] and d[2] != "unclear"]
        if wrong or take.row.false or take.row.refused:
            refused = ", refused" if take.row.refused else ""
            yield (
                f"  {name}, seed {take.row.seed}, {take.row.instrument}: called wrongly "
                f"{wrong}, false {take.row.false}{refused}"
            )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path, help="where rooms are kept")
    parser.add_argument("--takes", type=int, default=9)
    parser.add_argument("--first", type=int, default=88_000)
    parser.add_argument("--rows", default=None, help="names of rows, with semicolons between")
    given = parser.parse_args()
    names = list(ROWS) if given.rows is None else [n.strip() for n in given.rows.split(";")]
    print(HEAD, flush=True)
    for name in names:
        takes = [judged(name, given.first + n, given.folder) for n in range(given.takes)]
        print(line(name, takes), flush=True)
        print("\n".join(details(name, takes)), flush=True)


if __name__ == "__main__":
    main()
