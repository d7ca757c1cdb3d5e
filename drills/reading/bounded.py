"""The bytes of a file that may be anything: endless, a pipe, a name that is none.

Problem: a name may lead to a device without end, to a pipe that nobody writes
into (opening one waits for ever), or hold a null character, which Python reports
unlike every other name that the system refuses.  Method: no more is read than is
asked for; a pipe is opened without waiting and given a second for its writer; and
whatever is wrong is an OSError whose ``strerror`` can be shown.
"""

from __future__ import annotations

import contextlib
import errno
import os
import stat
import time
from pathlib import Path
from typing import Final

PATIENCE: Final = 1.0
"""Seconds in which somebody must have begun to write into a pipe."""
_PAUSE: Final = 0.02
_CHUNK: Final = 1 << 20


def first_bytes(path: Path, most: int) -> bytes:
    """The first ``most`` bytes of a file, or all of a shorter one; raises OSError."""
    try:
        handle = os.open(path, os.O_RDONLY | _flag("O_NONBLOCK") | _flag("O_BINARY"))
    except ValueError as error:
        raise OSError(errno.EINVAL, "the name holds a null character") from error
    try:
        chunk = _begun(handle) if stat.S_ISFIFO(os.fstat(handle).st_mode) else None
        if os.name == "posix":
            os.set_blocking(handle, True)
        return _rest(handle, most, chunk)
    finally:
        os.close(handle)


def _begun(handle: int) -> bytes | None:
    """What a pipe holds first; None where its writer is there but has written nothing yet."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        with contextlib.suppress(BlockingIOError):
            if chunk := os.read(handle, _CHUNK):
                return chunk
            time.sleep(_PAUSE)  # an end of file: no writer yet
            continue
        return None
    raise OSError(errno.EPIPE, "it is a pipe that nobody writes into")


def _rest(handle: int, most: int, chunk: bytes | None) -> bytes:
    chunks = [] if chunk is None else [chunk]
    left = most - sum(map(len, chunks))
    while left > 0 and (more := os.read(handle, min(left, _CHUNK))):
        chunks.append(more)
        left -= len(more)
    return b"".join(chunks)[:most]


def _flag(name: str) -> int:
    """A flag of ``open``; 0 where the system has none of that name."""
    value: int = getattr(os, name, 0)
    return value
