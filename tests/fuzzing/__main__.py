"""``python -m tests.fuzzing COUNT [FIRST]``: damaged files, one line of JSON for each."""

from __future__ import annotations

import json
import random
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path
from typing import Final

from tests.apart import Outcome, apart
from tests.fuzzing.mutations import damaged
from tests.fuzzing.work import use

SECONDS: Final = 10.0
MEGABYTES: Final = 1_500


@dataclass(frozen=True, slots=True)
class Tried:
    """A file, by its number, and what became of it."""

    number: int
    outcome: Outcome


def tried(count: int, first: int = 0) -> Iterator[Tried]:
    """That many files, each made and used in a process of its own."""
    with tempfile.TemporaryDirectory() as name:
        path = Path(name, "score.musicxml")
        for number in range(first, first + count):
            dice = random.Random(number)
            path.write_bytes(damaged(dice))
            yield Tried(number, apart(partial(use, path, dice), SECONDS, MEGABYTES))


def main() -> None:
    """Print what became of each."""
    count, first = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0
    for one in tried(count, first):
        print(json.dumps({"number": one.number, **asdict(one.outcome)}), flush=True)


if __name__ == "__main__":
    main()
