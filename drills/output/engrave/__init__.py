"""LilyPond text -> pages.  The only module that starts programs.

Problem.  LilyPond takes a while, may be missing, may fail or hang, and runs what
it reads.  Method.  Only text of our own writing comes here (output/lilypond).
Each text goes to the standard input of one process: an argument list and no
shell, the cairo backend, a temporary folder that goes whatever happens, a limit
of time and, where the system has it, of memory.  Several texts run side by
side, one process a core.

LilyPond spends two fifths of its time on tidying up memory that a few pages do not
need: a short text is engraved without that (about 2 MB for each kB of text, measured).

Formats are LilyPond's: "pdf", "png", "svg", and "midi" for the MIDI files that
the text asks for.
"""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from dataclasses import dataclass, field, replace
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock
from typing import Final, Self

from drills.errors import EngraveError
from drills.output.engrave.log import failure, ran_out_of_memory
from drills.output.engrave.program import (
    ENVIRONMENT_VARIABLE,
    HOW_TO_GET_ONE,
    cores,
    find_lilypond,
)
from drills.output.engrave.results import Engraved, Engraving, collected

__all__ = [
    "ENVIRONMENT_VARIABLE",
    "Ahead",
    "Engraved",
    "Engraver",
    "Engraving",
    "cores",
    "engrave",
    "find_lilypond",
    "lilypond_ahead",
]

try:
    import resource
except ImportError:  # Windows has no such limits
    resource = None  # type: ignore[assignment]

SHORT: Final = 250_000
"""Characters of a text that is engraved without tidying up memory: it takes about half
a gigabyte.  A longer one takes its time; see portions.py, which cuts them shorter."""
_UNTIDY: Final = {"GC_DONT_GC": "1"}
"""Tells the collector that LilyPond uses (Boehm, Demers, Weiser) never to collect; its
documentation, README.environment."""


@contextlib.contextmanager
def lilypond_ahead(
    running: Engraving | None = None, formats: Sequence[str] = ("pdf",), count: int = 1
) -> Iterator[Ahead | None]:
    """LilyPonds that start while a score is still being read, and wait for their texts.

    Starting takes about a third of the time of a page.  None where they cannot be
    started: why is told when something is engraved.  Gone when the block ends.
    """
    running = running or Engraving()
    with contextlib.ExitStack() as stack:
        ahead = None
        with contextlib.suppress(EngraveError, OSError):
            base = Path(stack.enter_context(TemporaryDirectory(prefix="drills-")))
            command = _command(find_lilypond(running.program), formats, running)
            ahead = Ahead(command)
            stack.callback(ahead.end)
            for number in range(count):
                folder = base / str(number)
                folder.mkdir()
                ahead.waiting.append(_Waiting(folder, _Running(running).start(folder, command)))
        yield ahead


def engrave(
    texts: Iterable[str],
    formats: Sequence[str] = ("pdf",),
    running: Engraving | None = None,
    ahead: Ahead | None = None,
) -> Engraved:
    """Engrave every text; raises EngraveError when one cannot be.

    ``ahead`` takes the first texts, if it was started in the same way and is not used
    up.  Nothing stays behind, not even after an interrupt.
    """
    with Engraver(formats, running, ahead) as engraver:
        for text in texts:
            engraver.add(text)
        return engraver.finish()


class Engraver:
    """Engraves texts while others are still being written.

    Used as a context, at whose end nothing stays behind: whatever still works, because
    of an error or an interrupt, is ended.
    """

    def __init__(
        self,
        formats: Sequence[str] = ("pdf",),
        running: Engraving | None = None,
        ahead: Ahead | None = None,
    ) -> None:
        self._formats = tuple(formats)
        limits = running or Engraving()
        self._running = _Running(limits)
        self._command = _command(find_lilypond(limits.program), formats, limits)
        self._ahead = ahead
        self._workers = limits.workers or cores()
        self._folders: list[Path] = []
        self._begun: list[Future[str]] = []

    def __enter__(self) -> Self:
        with _translated():
            self._base = TemporaryDirectory(prefix="drills-")
        self._pool = ThreadPoolExecutor(self._workers)
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if kind is not None:
            self._running.stop()
        self._pool.shutdown(cancel_futures=True)
        self._base.cleanup()

    def add(self, text: str) -> None:
        """Begin to engrave a text, as soon as a core is free."""
        with _translated():
            own = Path(self._base.name, str(len(self._folders)))
            job = _job(text, own, self._command, self._ahead)
            self._folders.append(job.folder)
            self._begun.append(self._pool.submit(_run, job, self._running))

    def finish(self) -> Engraved:
        """What became of all texts; raises EngraveError when one could not be engraved."""
        with _translated():
            for done in as_completed(self._begun):
                done.result()
            logs = [done.result() for done in self._begun]
            return collected(self._folders, logs, self._formats)


@contextlib.contextmanager
def _translated() -> Iterator[None]:
    """Tell what is wrong with the folder for temporary files."""
    try:
        yield
    except OSError as error:
        raise EngraveError(
            f"the folder for temporary files cannot be used ({error.strerror or error}); make room "
            "there, or name another one in the environment variable TMPDIR"
        ) from error


@dataclass(frozen=True, slots=True)
class _Waiting:
    """A process that waits for its text, and the folder that it writes to."""

    folder: Path
    process: subprocess.Popen[bytes]


@dataclass(slots=True)
class Ahead:
    """Processes that wait for their texts; they never tidy up memory."""

    command: tuple[str, ...]
    waiting: list[_Waiting] = field(default_factory=list)

    def take(self, command: tuple[str, ...], text: str) -> _Waiting | None:
        """One that was started with the same command, for a text that is short enough."""
        if not self.waiting or command != self.command or len(text) > SHORT:
            return None
        return self.waiting.pop(0)

    def end(self) -> None:
        """End those that were never used."""
        for waiting in self.waiting:
            _end(waiting.process)
            waiting.process.communicate()


@dataclass(frozen=True, slots=True)
class _Job:
    """One text to engrave."""

    folder: Path
    command: tuple[str, ...]
    text: str
    started: subprocess.Popen[bytes] | None = None
    """A process that waits for it already."""
    tidy: bool = False
    """Tidying up memory."""


def _job(text: str, folder: Path, command: tuple[str, ...], ahead: Ahead | None) -> _Job:
    """The job of a text: in a folder of its own, or with a process that waits."""
    found = ahead.take(command, text) if ahead is not None else None
    if found is not None:
        return _Job(found.folder, command, text, found.process)
    folder.mkdir()
    return _Job(folder, command, text, tidy=len(text) > SHORT)


@dataclass(slots=True)
class _Running:
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
                )
            except OSError as error:
                raise EngraveError(
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


def _end(process: subprocess.Popen[bytes]) -> None:
    """End a process and its group at once."""
    if process.poll() is None:
        with contextlib.suppress(ProcessLookupError):
            if os.name == "posix":
                os.killpg(process.pid, signal.SIGKILL)
            else:
                process.kill()


def _command(program: str, formats: Sequence[str], running: Engraving) -> tuple[str, ...]:
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


def _run(job: _Job, running: _Running) -> str:
    """Run one job to its end and return what it said; raises EngraveError.

    One that runs out of memory is tried once more, with tidying up.
    """
    code, log = _ended(job, running)
    if code != 0 and not job.tidy and ran_out_of_memory(log) and not running.stopped:
        code, log = _ended(replace(job, started=None, tidy=True), running)
    if code != 0 and not running.stopped:
        raise EngraveError(failure(code, log))
    return log


def _ended(job: _Job, running: _Running) -> tuple[int, str]:
    """The exit code of a job and what it said; raises EngraveError when it takes too long."""
    limit = running.limits.time_limit
    process = (
        running.adopt(job.started)
        if job.started
        else running.start(job.folder, job.command, tidy=job.tidy)
    )
    try:
        output, _ = process.communicate(job.text.encode(), timeout=limit)
    except subprocess.TimeoutExpired:
        _end(process)
        process.communicate()
        raise EngraveError(
            f"LilyPond took longer than {limit:g} seconds and was stopped; raise --time-limit, or "
            "ask for fewer bars at once"
        ) from None
    return process.returncode, output.decode("utf-8", "replace")
