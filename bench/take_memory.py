"""How much memory and time a take needs, by its length.

    python bench/take_memory.py [--minutes 2,10,60]

A melody of computed tones is repeated until the recording is as long as asked, written as
FLAC, and heard by a process of its own.  Each row: minutes, peak memory of the process in MB
(decoding is in another), notes called rightly of those played, times real time.
"""

from __future__ import annotations

import argparse
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
from tests.listening.takes import RATE, Computed, Manner, Place, make_take

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


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", default="2,10,60")
    parser.add_argument("--hear", type=Path)
    given = parser.parse_args()
    if given.hear is not None:
        heard(given.hear)
        return
    print("minutes   MB   right of heard of played   x real time")
    piece, notes = one_time()
    with tempfile.TemporaryDirectory() as folder:
        for minutes in given.minutes.split(","):
            times = max(round(float(minutes) * 60 * RATE / len(piece)), 1)
            path = Path(folder) / "long.flac"
            with soundfile.SoundFile(path, "w", RATE, 1) as file:
                for _ in range(times):
                    file.write(piece)
            command = [sys.executable, __file__, "--hear", str(path)]
            found = subprocess.run(command, check=True, capture_output=True, text=True)
            memory, right, all_of_it, speed = found.stdout.split()
            print(
                f"{minutes:>7s} {memory:>5s}   {right} of {all_of_it} of {times * notes}   {speed}"
            )


if __name__ == "__main__":
    main()
