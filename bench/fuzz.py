"""Damaged files by the thousand: ``python bench/fuzz.py [COUNT] [FIRST]``.

Each file (tests/fuzzing) is used in a process of its own with 10 seconds of processor
time and 1.5 GB.  Printed are the numbers of files that were done, refused by an error of
ours, ended by another error or by a limit, and which: the number of a file makes it again.
The goal is none of the last two kinds in 10,000.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from tests.fuzzing.__main__ import SECONDS, tried


def main() -> None:
    """Try the files and print what became of them."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    first = int(sys.argv[2]) if len(sys.argv) > 2 else 0
    kinds: Counter[str] = Counter()
    slowest, largest = 0.0, 0.0
    for one in tried(count, first):
        kinds[one.outcome.kind] += 1
        slowest = max(slowest, one.outcome.seconds)
        largest = max(largest, one.outcome.megabytes)
        if one.outcome.kind in ("foreign", "ended"):
            print(f"{one.number}: {one.outcome.kind}: {one.outcome.said}", flush=True)
    print(f"{count} files from number {first}, at most {SECONDS:g} seconds each")
    for kind in ("done", "refused", "foreign", "ended"):
        print(f"  {kind:8} {kinds[kind]:6}")
    print(f"  slowest {slowest:.1f} s, most memory {largest:.0f} MB")


if __name__ == "__main__":
    main()
