"""Running a piece of work in a process of its own, bounded in time and memory.

Problem: what hangs or eats memory must fail one test, not the machine, and how much
it took must be told.  Method: the process that has everything imported forks a child
for each piece of work; the child is ended by timers and a limit that the system
keeps, and its figures come from the system (POSIX ``getrusage``).
Conventions: seconds of processor time, megabytes of resident memory at the peak,
the program itself included.
"""

from __future__ import annotations

import json
import os
import resource
import signal
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from drills.errors import DrillsError

MEGABYTE: Final = 1_000_000
_WALL: Final = 6
"""How many times longer than its processor time a piece of work may wait."""
_KILOBYTE: Final = 1 if sys.platform == "darwin" else 1024
"""What ``ru_maxrss`` counts in (getrusage(2) of macOS and of Linux)."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a piece of work."""

    kind: str
    """"done", "refused" (an error of ours), "foreign" (any other), or "ended": by a limit."""
    said: str
    """What it returned, the error's message, or the signal that ended it."""
    seconds: float
    megabytes: float


def apart(work: Callable[[], str], seconds: float, megabytes: int) -> Outcome:
    """Do a piece of work in a child; ``megabytes`` is what it may take beyond what is in use."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        _bound(seconds, megabytes)
        os.write(writing, json.dumps(_tried(work)).encode())
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as stream:
        told = stream.read()
    _, status, used = os.wait4(child, 0)
    if os.WIFSIGNALED(status):
        kind, said = "ended", signal.Signals(os.WTERMSIG(status)).name
    else:
        kind, said = json.loads(told)
    return Outcome(kind, said, used.ru_utime + used.ru_stime, used.ru_maxrss * _KILOBYTE / MEGABYTE)


def _bound(seconds: float, megabytes: int) -> None:
    signal.setitimer(signal.ITIMER_PROF, seconds)
    signal.setitimer(signal.ITIMER_REAL, seconds * _WALL)
    most = _address_space() + megabytes * MEGABYTE
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _address_space() -> int:
    """Bytes of address space in use; 0 beyond Linux, where no limit of it helps."""
    try:
        pages = Path("/proc/self/statm").read_text(encoding="ascii").split()[0]
        return int(pages) * os.sysconf("SC_PAGE_SIZE")
    except OSError:
        return resource.RLIM_INFINITY // 2


def _tried(work: Callable[[], str]) -> tuple[str, str]:
    try:
        return "done", work()
    except DrillsError as error:
        return "refused", str(error)
    except BaseException as error:  # whatever it is, it is told
        return "foreign", f"{type(error).__name__}: {error} ({_place(error)})"[:2000]


def _place(error: BaseException) -> str:
    """The file and line where an error arose."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    if trace is None:
        return "nowhere"
    name = trace.tb_frame.f_code.co_filename
    return f"{'/'.join(name.split('/')[-2:])}:{trace.tb_lineno}"
