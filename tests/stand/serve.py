"""A stand in a process of its own, for the tests: ``python -m tests.stand.serve FOLDER``.

A first argument ``--hasty`` makes it lose patience soon.
"""

from __future__ import annotations

import sys
from pathlib import Path

from drills.stand import door, serving


def main() -> None:
    """Serve, and say the address."""
    arguments = sys.argv[1:]
    if arguments[0] == "--hasty":
        arguments.pop(0)
        serving.HEADERS_WITHIN = 1  # type: ignore[misc]
        door.PATIENCE = 1  # type: ignore[misc]
    tablets = "--lan" in arguments
    told = (lambda words: print(words, file=sys.stderr, flush=True)) if tablets else None
    serving.serve(Path(arguments[0]), 0, lambda at: print(at, flush=True), on_network=told)


if __name__ == "__main__":
    main()
