"""LilyPond text -> pages.  The only module that starts programs.

Problem.  LilyPond takes a while, may be missing, may fail or hang, and runs what
it reads.  Method.  Only text of our own writing comes here (output/lilypond).
Each text goes to the standard input of one process: an argument list and no
shell, the cairo backend, a temporary folder that goes whatever happens, a limit
of time and, where the system has it, of memory.  Several texts run side by
side, one process a core.

Formats are LilyPond's: "pdf", "png", "svg", and "midi" for the MIDI files that
the text asks for.
"""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock
from typing import Final

from drills.errors import EngraveError
from drills.output.engrave.log import failure, page_counts, remarks, warnings
from drills.output.engrave.program import (
    ENVIRONMENT_VARIABLE,
    HOW_TO_GET_ONE,
    cores,
    find_lilypond,
)

__all__ = [
    "ENVIRONMENT_VARIABLE",
    "Ahead",
    "Engraved",
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

_NUMBER: Final = re.compile(r"(\d+)(?=\.\w+$)")


@dataclass(frozen=True, slots=True)
class Engraving:
    """How LilyPond is run."""

    program: Path | None = None
    """The LilyPond to use; found where it usually is unless given."""
    time_limit: float = 300.0
    """Seconds for each text."""
    memory_limit: int = 3 * 2**30
    """Bytes of address space for each process; a hundred sheets need less than 1 GB."""
    workers: int = 0
    """Processes at a time; 0 for one a core."""
    resolution: int = 150
    """Dots per inch of PNG pages."""


@dataclass(frozen=True, slots=True)
class Engraved:
    """What LilyPond made of some texts, in their order."""

    pdfs: tuple[bytes, ...]
    """One for each text, where asked for."""
    pages: tuple[tuple[int, ...], ...]
    """For each text, how many pages each of its book parts has."""
    pngs: tuple[bytes, ...] = ()
    """Every page, where asked for."""
    svgs: tuple[bytes, ...] = ()
    """Every page, where asked for."""
    midis: tuple[bytes, ...] = ()
    """One for each score that has a MIDI block, where asked for."""
    remarks: tuple[str, ...] = ()
    """What the player should know, such as signs that no font has."""
    warnings: tuple[str, ...] = ()
    """LilyPond's other warnings, word for word."""
    said: str = ""
    """Everything that LilyPond said."""


@contextlib.contextmanager
def lilypond_ahead(
    running: Engraving | None = None, formats: Sequence[str] = ("pdf",)
) -> Iterator[Ahead | None]:
    """A LilyPond that starts while a score is still being read, and waits for its text.

    Starting takes about a third of the time of a page.  None where it cannot be
    started: why is told when something is engraved.  Gone when the block ends.
    """
    running = running or Engraving()
    with contextlib.ExitStack() as stack:
        ahead = None
        with contextlib.suppress(EngraveError, OSError):
            folder = Path(stack.enter_context(TemporaryDirectory(prefix="drills-")))
            command = _command(find_lilypond(running.program), formats, running)
            ahead = Ahead(folder, command, _Running(running).start(folder, command))
            stack.callback(ahead.end)
        yield ahead


def engrave(
    texts: Sequence[str],
    formats: Sequence[str] = ("pdf",),
    running: Engraving | None = None,
    ahead: Ahead | None = None,
) -> Engraved:
    """Engrave every text; raises EngraveError when one cannot be.

    ``ahead`` takes the first text, if it was started in the same way and is not
    used up.  Nothing stays behind, not even after an interrupt.
    """
    running = running or Engraving()
    program = find_lilypond(running.program)
    try:
        with TemporaryDirectory(prefix="drills-") as folder:
            command = _command(program, formats, running)
            jobs = []
            for index, text in enumerate(texts):
                started = ahead.take(command) if ahead is not None and index == 0 else None
                own = ahead.folder if ahead is not None and started else Path(folder, str(index))
                own.mkdir(exist_ok=True)
                jobs.append(_Job(own, command, text, started))
            logs = _run_all(jobs, running)
            return _collected([job.folder for job in jobs], logs, formats)
    except OSError as error:
        raise EngraveError(
            f"the folder for temporary files cannot be used ({error.strerror or error}); make room "
            "there, or name another one in the environment variable TMPDIR"
        ) from error


@dataclass(slots=True)
class Ahead:
    """A process that waits for its text."""

    folder: Path
    command: tuple[str, ...]
    process: subprocess.Popen[bytes]
    used: bool = False

    def take(self, command: tuple[str, ...]) -> subprocess.Popen[bytes] | None:
        """The process, once, if it was started with the same command."""
        if self.used or command != self.command:
            return None
        self.used = True
        return self.process

    def end(self) -> None:
        """End it, if it was never used."""
        if not self.used:
            _end(self.process)
            self.process.communicate()


@dataclass(frozen=True, slots=True)
class _Job:
    """One text to engrave."""

    folder: Path
    command: tuple[str, ...]
    text: str
    started: subprocess.Popen[bytes] | None
    """A process that waits for it already."""


@dataclass(slots=True)
class _Running:
    """The processes of one call, so that all can be stopped from one place."""

    limits: Engraving
    processes: list[subprocess.Popen[bytes]] = field(default_factory=list)
    stopped: bool = False
    lock: Lock = field(default_factory=Lock)

    def start(self, folder: Path, command: Sequence[str]) -> subprocess.Popen[bytes]:
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
                    env={**os.environ, "LC_ALL": "C", "LANGUAGE": "C"},
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


def _run_all(jobs: Sequence[_Job], limits: Engraving) -> list[str]:
    """What LilyPond said to each job; the first failure or an interrupt stops all."""
    running = _Running(limits)
    workers = max(1, min(len(jobs), limits.workers or cores()))
    with ThreadPoolExecutor(workers) as pool:
        try:
            return list(pool.map(lambda job: _run(job, running), jobs))
        except BaseException:
            running.stop()
            raise


def _run(job: _Job, running: _Running) -> str:
    """Run one job to its end and return what it said; raises EngraveError."""
    limit = running.limits.time_limit
    process = running.adopt(job.started) if job.started else running.start(job.folder, job.command)
    try:
        output, _ = process.communicate(job.text.encode(), timeout=limit)
    except subprocess.TimeoutExpired:
        _end(process)
        process.communicate()
        raise EngraveError(
            f"LilyPond took longer than {limit:g} seconds and was stopped; raise --time-limit, or "
            "ask for fewer bars at once"
        ) from None
    log = output.decode("utf-8", "replace")
    if process.returncode != 0 and not running.stopped:
        raise EngraveError(failure(process.returncode, log))
    return log


def _collected(folders: Sequence[Path], logs: Sequence[str], formats: Sequence[str]) -> Engraved:
    """Everything that the processes left in their folders, in the order of the texts."""
    files = {
        name: [_in_order(folder, ending) for folder in folders]
        for name, ending in (("pdf", "pdf"), ("png", "png"), ("svg", "svg"), ("midi", "mid*"))
        if name in formats
    }
    for name, found in files.items():
        if not all(found):
            raise EngraveError(f"LilyPond made no {name.upper()}; {HOW_TO_GET_ONE}")
    content = {
        name: tuple(path.read_bytes() for paths in found for path in paths)
        for name, found in files.items()
    }
    text = "\n".join(logs)
    return Engraved(
        pdfs=content.get("pdf", ()),
        pages=tuple(page_counts(log) for log in logs),
        pngs=content.get("png", ()),
        svgs=content.get("svg", ()),
        midis=content.get("midi", ()),
        remarks=remarks(text),
        warnings=warnings(text),
        said=text,
    )


def _in_order(folder: Path, ending: str) -> list[Path]:
    """The files of one kind by the number in their name."""

    def number(path: Path) -> int:
        found = _NUMBER.search(path.name)
        return int(found[1]) if found else 0

    return sorted(folder.glob(f"sheets*.{ending}"), key=number)
