"""What a process may take, held by the system (POSIX ``setrlimit``; Windows has no such limits).

A limit is lowered and never raised over what the process was started with.
"""

from __future__ import annotations

import os
import time
from pathlib import Path

try:
    import resource
except ImportError:  # Windows has no such limits
    resource = None  # type: ignore[assignment]


def confine(
    *, seconds: int | None = None, memory: int | None = None, written: int | None = None
) -> None:
    """Bound this process from now on; a second call takes the place of the first.

    ``seconds`` of processor time beside what was used already, bytes of address space
    (``memory``), and bytes of a file that is ``written``; None leaves a limit as it is.
    """
    if resource is None:
        return
    if seconds is not None:
        _lower(resource.RLIMIT_CPU, int(time.process_time()) + seconds + 1)
    if memory is not None:
        _lower(resource.RLIMIT_AS, memory)
    if written is not None:
        _lower(resource.RLIMIT_FSIZE, written)


def _lower(kind: int, value: int) -> None:
    hard = resource.getrlimit(kind)[1]
    most = value if hard == resource.RLIM_INFINITY else min(value, hard)
    resource.setrlimit(kind, (most, hard))


def address_space() -> int:
    """Bytes in use; 0 beyond Linux, where no limit of them helps."""
    try:
        pages = Path("/proc/self/statm").read_text(encoding="ascii").split()[0]
        return int(pages) * os.sysconf("SC_PAGE_SIZE")
    except OSError:
        return 0
