"""What attacks are known to: how far the times that were told lie off, kind by kind.

    python bench/takes.py FOLDER --rows FILE ...
    python bench/take_known.py FILE [FILE ...]

Printed for each condition and each kind of attack: how many; within how many milliseconds 19
of 20 were told; the middle of the errors (a bias); how many lay within what the verdict says
they are known to.  Then, for each condition: how many attacks were called late or early, and
how many of these were within what is called late in truth.
"""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

from bench.takes import Row
from drills.listening.thresholds import USUAL


def lines(rows: Sequence[Row]) -> Iterator[str]:
    """The table."""
    for condition in dict.fromkeys(row.condition for row in rows):
        own = [one for row in rows if row.condition == condition for one in row.attacks]
        for kind, room in sorted({one[:2] for one in own}):
            errors = np.array([one[2] for one in own if one[:2] == (kind, room)])
            known = np.array([one[3] for one in own if one[:2] == (kind, room)])
            within = 100 * np.mean(np.abs(errors) <= known)
            yield (
                f"{condition:24s} {kind:14s} {'room' if room else 'dry ':5s} {len(errors):5d}  "
                f"19 of 20 {np.percentile(np.abs(errors), 95):5.1f} ms  middle "
                f"{np.median(errors):5.1f} ms  as known {within:.0f} %"
            )
        called = [one for one in own if one[5]]
        wrongly = sum(abs(one[4]) <= USUAL("late") for one in called)
        yield f"{condition:24s} {len(called)} of {len(own)} called late or early, {wrongly} wrongly"


def main() -> None:
    """Read and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("files", nargs="+", type=Path)
    rows: list[Row] = []
    for file in parser.parse_args().files:
        rows += pickle.loads(file.read_bytes())  # our own, written by bench/takes.py
    print("\n".join(lines(rows)))


if __name__ == "__main__":
    main()
