"""LilyPond's processes: one for each text, bounded in time and memory, all ended together.

Each leads a group of its own, which is ended as a whole: a LilyPond that is a script may
have gone and left a child that holds its output.  Where the system has it (Linux,
prctl(2), PR_SET_PDEATHSIG) a process is ended by the system when this program dies,
however it dies; elsewhere it works on to its own end.
"""

from __future__ import annotations

import contextlib
import ctypes
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from threading import Lock
from typing import Final

from drills.errors import EngraveError, NoEngraverError
from drills.output.engrave.faces import with_faces
from drills.output.engrave.log import failure, no_room, ran_out_of_memory, ran_out_of_room
from drills.output.engrave.program import HOW_TO_GET_ONE
from drills.output.engrave.results import Engraving

try:
    import resource
except ImportError:  # Windows has no such limits
    resource = None  # type: ignore[assignment]

SHORT: Final = 250_000
"""Characters of a text that is engraved without tidying up memory: it takes about half
a gigabyte.  A longer one takes its time; see portions.py, which cuts them shorter."""
_LEAST_ROOM: Final = 4096
"""Bytes that are free on a disk that is not full."""
_UNTIDY: Final = {"GC_DONT_GC": "1"}
"""Tells the collector that LilyPond uses (Boehm, Demers, Weiser) never to collect; its
documentation, README.environment."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """A process that waits for its text, and the folder that it writes to."""

    folder: Path
    process: subprocess.Popen[bytes]


@dataclass(slots=True)
class Ahead:
    """Processes that wait for their texts; they never tidy up memory."""

    command: tuple[str, ...]
    waiting: list[Waiting] = field(default_factory=list)

    def take(self, command: tuple[str, ...], text: str) -> Waiting | None:
        """One that was started with the same command, for a text that is short enough."""
        if not self.waiting or command != self.command or len(text) > SHORT:
            return None
        return self.waiting.pop(0)

    def end(self) -> None:
        """End those that were never used."""
        for waiting in self.waiting:
            _end(waiting.process)
            _bury(waiting.process)


@dataclass(frozen=True, slots=True)
class Job:
    """One text to engrave."""

    folder: Path
    command: tuple[str, ...]
    text: str
    started: subprocess.Popen[bytes] | None = None
    """A process that waits for it already."""
    tidy: bool = False
    """Tidying up memory."""


def job_of(text: str, folder: Path, command: tuple[str, ...], ahead: Ahead | None) -> Job:
    """The job of a text: in a folder of its own, or with a process that waits."""
    found = ahead.take(command, text) if ahead is not None else None
    if found is not None:
        return Job(found.folder, command, text, found.process)
    folder.mkdir()
    return Job(folder, command, text, tidy=len(text) > SHORT)


@dataclass(slots=True)
class Running:
    """The processes of one call, so that all can be stopped from one place."""

    limits: Engraving
    processes: list[subprocess.Popen[bytes]] = field(default_factory=list)
    stopped: bool = False
    lock: Lock = field(default_factory=Lock)

    def start(
        self, folder: Path, command: Sequence[str], *, tidy: bool = False
    ) -> subprocess.Popen[bytes]:
        """Start a process in a group of its own; raises EngraveError."""
        with self.lock:
            if self.stopped:
                raise EngraveError("LilyPond was stopped")
            try:
                process = subprocess.Popen(
                    command,
                    cwd=folder,
                    stdin=subprocess.PIPE,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.STDOUT,
                    env={
                        **os.environ,
                        **({} if tidy else _UNTIDY),
                        "LC_ALL": "C",
                        "LANGUAGE": "C",
                    },
                    start_new_session=os.name == "posix",
                    preexec_fn=_dying_with(os.getpid()),  # noqa: PLW1509 - one call of the system
                )
            except OSError as error:
                raise NoEngraverError(
                    f"{command[0]} cannot be run ({error.strerror}); {HOW_TO_GET_ONE}"
                ) from error
            self.processes.append(process)
        _limit_memory(process, self.limits.memory_limit)
        return process

    def adopt(self, process: subprocess.Popen[bytes]) -> subprocess.Popen[bytes]:
        """Take over a process that was started elsewhere."""
        with self.lock:
            self.processes.append(process)
        return process

    def forget(self, process: subprocess.Popen[bytes]) -> None:
        """A process that has ended: its number may be somebody else's from now on."""
        with self.lock, contextlib.suppress(ValueError):
            self.processes.remove(process)

    def stop(self) -> None:
        """End every process with all that it started."""
        with self.lock:
            self.stopped = True
            for process in self.processes:
                _end(process)


def _limit_memory(process: subprocess.Popen[bytes], limit: int) -> None:
    """Bound the address space, where the system can do that from outside."""
    if resource is not None and hasattr(resource, "prlimit"):
        with contextlib.suppress(OSError):  # it may have ended by now
            resource.prlimit(process.pid, resource.RLIMIT_AS, (limit, limit))


def _dying_with(parent: int) -> Callable[[], None] | None:
    """What a child does first, so that it ends when its parent does; None where it cannot.

    It must do nothing but call the system: other threads may have held locks when it
    was forked.
    """
    if not sys.platform.startswith("linux"):
        return None
    prctl = ctypes.CDLL(None).prctl

    def ask() -> None:
        prctl(_PR_SET_PDEATHSIG, signal.SIGKILL)
        if os.getppid() != parent:  # it died before we asked
            os._exit(1)

    return ask


_PR_SET_PDEATHSIG: Final = 1
"""Linux, include/uapi/linux/prctl.h."""


def _end(process: subprocess.Popen[bytes]) -> None:
    """End the whole group of a process at once, even where the process itself is gone."""
    with contextlib.suppress(OSError):  # macOS says EPERM of a group of the dead
        if os.name == "posix":
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()


def _bury(process: subprocess.Popen[bytes]) -> None:
    """Take leave of an ended process; something that left its group may still hold its output."""
    with contextlib.suppress(subprocess.TimeoutExpired):
        process.communicate(timeout=_LAST_WORDS)
        return
    for stream in (process.stdin, process.stdout):
        if stream is not None:
            with contextlib.suppress(OSError):
                stream.close()


_LAST_WORDS: Final = 2.0
"""Seconds for the output of a group that was ended to reach its end."""


def command_of(program: str, formats: Sequence[str], running: Engraving) -> tuple[str, ...]:
    """The argument list; MIDI is written whenever the text asks for it."""
    pages = [name for name in formats if name != "midi"]
    return (
        program,
        "-dbackend=cairo",
        "-dno-point-and-click",
        f"--formats={','.join(pages)}" if pages else "-dno-print-pages",
        f"-dresolution={running.resolution}",
        "-o",
        "sheets",
        "-",
    )


def run(job: Job, running: Running) -> str:
    """Run one job to its end and return what it said; raises EngraveError.

    One that runs out of memory is tried once more, with tidying up.
    """
    code, log = _ended(job, running)
    if code != 0 and not job.tidy and ran_out_of_memory(log) and not running.stopped:
        code, log = _ended(replace(job, started=None, tidy=True), running)
    if (code != 0 or ran_out_of_room(log)) and not running.stopped:
        raise EngraveError(failure(code, log))
    if shutil.disk_usage(job.folder).free < _LEAST_ROOM and not running.stopped:
        raise EngraveError(no_room())  # LilyPond may say nothing of a page that it cut short
    return log


def _ended(job: Job, running: Running) -> tuple[int, str]:
    """The exit code of a job and what it said; raises EngraveError when it takes too long."""
    limit = running.limits.time_limit
    process = (
        running.adopt(job.started)
        if job.started
        else running.start(job.folder, job.command, tidy=job.tidy)
    )
    try:
        output, _ = process.communicate((with_faces() + job.text).encode(), timeout=limit)
    except subprocess.TimeoutExpired:
        _end(process)
        _bury(process)
        running.forget(process)
        raise EngraveError(
            f"LilyPond took longer than {limit:g} seconds and was stopped; raise --time-limit, or "
            "ask for fewer bars at once"
        ) from None
    running.forget(process)
    return process.returncode, output.decode("utf-8", "replace")
