"""How much memory and time a take needs, by its length.

    python bench/take_memory.py [--minutes 2,10,60] [--command]

A melody of computed tones is repeated until the recording is as long as asked, written as
FLAC, and heard by a process of its own.  Each row: minutes, peak memory of the process in MB
(decoding is in another), notes called rightly of those played, times real time.  With
``--command`` the recording is a bar of the demo's march, again and again, and goes through
``drills take`` itself: minutes, peak memory in MB, seconds of processor time (decoding and the
program's start included), times through and right notes that it tells, times real time.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
import soundfile

from bench.takes import wanted_of
from drills.jobs.request import Settings
from drills.jobs.take_material import Asked, materials_of
from tests.listening.takes import RATE, Computed, Manner, Place, Written, make_take

MARCH = Path(__file__).parents[1] / "scores" / "march.musicxml"
GAP = 1.3
"""Seconds between two times through."""


def one_time() -> tuple[np.ndarray, int]:
    """Samples of one time through, and how many notes it has."""
    take = make_take(600_001, Computed(), Manner(), Place(noise=30.0), beats=32)
    return np.concatenate([take.samples, np.zeros(int(GAP * RATE))]), len(take.written)


def heard(path: Path) -> None:
    """Hear the file; print peak memory, notes, seconds."""
    import resource  # noqa: PLC0415 - not on every system

    from drills.listening.played import listen  # noqa: PLC0415 - counts for the child only
    from drills.listening.sound_file import open_recording  # noqa: PLC0415
    from drills.listening.states import NOTE  # noqa: PLC0415

    take = make_take(600_001, Computed(), Manner(), Place(noise=30.0), beats=32)
    with open_recording(path) as recording:
        begin = time.process_time()
        played = listen(recording.samples, recording.rate, wanted_of(take))
        cost = time.process_time() - begin
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        right = sum(one.kind == NOTE for one in played.notes)
        print(f"{peak:.0f} {right} {len(played.notes)} {recording.seconds / cost:.1f}")


def one_bar() -> np.ndarray:
    """Bar 29 of the first clarinet of the demo's march, with a pause after it."""
    notes = materials_of(MARCH, Asked("29", "2"), Settings())[1][0].wanted.notes
    written = tuple(Written(n.at, n.length, n.key, n.slurred) for n in notes)
    take = make_take(600_002, Computed(), Manner(bpm=92), Place(noise=30.0), written=written)
    return np.concatenate([take.samples, np.zeros(int(GAP * RATE))])


def commanded(path: Path, minutes: str, times: int) -> str:
    """What the command needs for a file in which the bar is played so often."""
    command = [sys.executable, "-m", "drills", "take", str(path), str(MARCH)]
    with (
        tempfile.TemporaryFile("w+") as told,
        subprocess.Popen([*command, "--part", "2", "--at", "29", "--json"], stdout=told) as run,
    ):
        _, code, used = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(code)
        told.seek(0)
        (take,) = json.load(told)["takes"]
    notes = [note["call"] for time in take["times"] for note in time["notes"]]
    cost = used.ru_utime + used.ru_stime
    return (
        f"{minutes:>7s} {used.ru_maxrss / 1024:5.0f}   {cost:.0f} s   {len(take['times'])} of "
        f"{times} times through, {notes.count('right')} of {len(notes)} notes   "
        f"{float(minutes) * 60 / cost:.1f}"
    )


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", default="2,10,60")
    parser.add_argument("--hear", type=Path)
    parser.add_argument("--command", action="store_true")
    given = parser.parse_args()
    if given.hear is not None:
        heard(given.hear)
        return
    print("minutes   MB   right of heard of played   x real time")
    piece, notes = (one_bar(), 0) if given.command else one_time()
    with tempfile.TemporaryDirectory() as folder:
        for minutes in given.minutes.split(","):
            times = max(round(float(minutes) * 60 * RATE / len(piece)), 1)
            path = Path(folder) / "long.flac"
            with soundfile.SoundFile(path, "w", RATE, 1) as file:
                for _ in range(times):
                    file.write(piece)
            if given.command:
                print(commanded(path, minutes, times), flush=True)
                continue
            command = [sys.executable, __file__, "--hear", str(path)]
            found = subprocess.run(command, check=True, capture_output=True, text=True)
            memory, right, all_of_it, speed = found.stdout.split()
            print(
                f"{minutes:>7s} {memory:>5s}   {right} of {all_of_it} of {times * notes}   {speed}"
            )


if __name__ == "__main__":
    main()
