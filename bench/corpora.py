"""Files of other formats against other readers: ``python -m bench.corpora [KIND ...]``.

All fifty and more files of each kind (tests/reading/other/corpora.py): how many have exactly
the attacks that another reader hears, which do not, and why.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from time import perf_counter

from tests.reading.other.corpora import DIFFERENT, KINDS, compared


def main() -> None:
    """Print what was found."""
    for kind in sys.argv[1:] or KINDS:
        began = perf_counter()
        with tempfile.TemporaryDirectory() as folder:
            files = list(compared(kind, Path(folder)))
        same = sum(file.agreement == 1 for file in files)
        attacks = sum(file.attacks for file in files)
        print(
            f"{kind}: {same} of {len(files)} files agree in every attack ({attacks:,} attacks), "
            f"{perf_counter() - began:.0f} s",
            flush=True,
        )
        for file in files:
            if file.agreement < 1:
                why = DIFFERENT.get(file.name, "NOT EXPLAINED")
                print(f"  {file.name}: {file.agreement:.1%} of {file.attacks}; {why}", flush=True)


if __name__ == "__main__":
    main()
