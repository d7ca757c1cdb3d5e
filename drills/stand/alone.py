"""Nobody else of us writes the book meanwhile, another server on the folder neither.

A lock on a file of the folder: flock(2), on Windows a locked byte (_locking of its C library).
It goes with its process, so one that was killed holds nobody up.
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Final

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_LOCK: Final = ".book.lock"


@contextlib.contextmanager
def alone() -> Iterator[None]:
    """Wait until the others are done, and keep them waiting; in the player's folder."""
    with Path(_LOCK).open("ab") as stream:
        _take(stream)
        yield


def _take(stream: IO[bytes]) -> None:
    if sys.platform == "win32":
        stream.seek(0)
        msvcrt.locking(stream.fileno(), msvcrt.LK_LOCK, 1)
    else:
        fcntl.flock(stream, fcntl.LOCK_EX)
