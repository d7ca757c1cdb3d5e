"""Damaged files of the other formats: ``python -m bench.fuzz_formats [COUNT] [FIRST] [KIND ...]``.

COUNT files of each kind (tests/fuzzing/formats.py) are read as any file is: the reader of the
format in its own process with its limits, here of 10 seconds and 500 MB, the rest in this one.
Printed are how many were read, refused, refused for a limit, and what ended otherwise; the
number of a file makes it again.  The goal is none of the last.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from pathlib import Path
from time import perf_counter
from typing import Final

from drills.errors import DrillsError, LimitError
from drills.reading.limits import Limits
from drills.reading.musicxml import open_score, read_all
from tests.fuzzing.formats import KINDS, damaged

LIMITS: Final = Limits(seconds=10, megabytes=500)


def main() -> None:
    """Read the files and print what became of them."""
    words = sys.argv[1:]
    count = int(words[0]) if words else 1_000
    first = int(words[1]) if len(words) > 1 else 0
    for kind in words[2:] or KINDS:
        _try(kind, count, first)


def _try(kind: str, count: int, first: int) -> None:
    outcomes: Counter[str] = Counter()
    slowest = 0.0
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, f"damaged.{kind}")
        for number in range(first, first + count):
            path.write_bytes(damaged(kind, random.Random(f"{kind} {number}")))
            began = perf_counter()
            outcome, said = _outcome(path)
            slowest = max(slowest, perf_counter() - began)
            outcomes[outcome] += 1
            if outcome in ("ended", "foreign") or "without a word" in said:
                print(f"{kind} {number}: {said}", flush=True)
    told = ", ".join(f"{name} {outcomes[name]:,}" for name in ("read", "refused", "limit"))
    print(
        f"{kind}: {count:,} files from number {first}: {told}, another error "
        f"{outcomes['foreign']}; slowest {slowest:.1f} s",
        flush=True,
    )


def _outcome(path: Path) -> tuple[str, str]:
    try:
        read_all(open_score(path, LIMITS))
    except LimitError as error:
        return "limit", str(error)
    except DrillsError as error:
        return "refused", str(error)
    except Exception as error:  # whatever it is, it is told
        return "foreign", f"{type(error).__name__}: {error}"
    return "read", ""


if __name__ == "__main__":
    main()
