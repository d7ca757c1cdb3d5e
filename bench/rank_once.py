"""Read one part and rank it, once, in a process of its own; prints the seconds of each.

    python bench/rank_once.py part.musicxml

A second ranking in one process would find much prepared; a player's never does.
"""

from __future__ import annotations

import gc
import sys
import time
from pathlib import Path

from drills.jobs.spots import Judging, rank
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_part


def main() -> None:
    """Time both, tidying up as seldom as the program itself does."""
    gc.set_threshold(100_000)
    began = time.perf_counter()
    part = read_part(open_score(Path(sys.argv[1]), Limits()), "1")
    read = time.perf_counter()
    rank(part, Judging(), top=10)
    print(read - began, time.perf_counter() - read)


if __name__ == "__main__":
    main()
