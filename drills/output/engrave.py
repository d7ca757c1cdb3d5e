"""LilyPond text -> pages.  The only module that starts programs.

Problem.  LilyPond takes a while, may be missing, may fail or hang, and runs what
it reads.  Method.  Only text of our own writing comes here (output/lilypond).
Each text goes to the standard input of one process: an argument list and no
shell, the cairo backend, a temporary folder that goes whatever happens, a limit
of time and, where the system has it, of memory.  Several texts run side by side, one process
a core.  What LilyPond says is read and told in a player's words.

Formats are LilyPond's: "pdf", "png", "svg", and "midi" for the MIDI files that
the text asks for.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import signal
import subprocess
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock
from typing import Final

from drills.errors import EngraveError

try:
    import resource
except ImportError:  # Windows has no such limits
    resource = None  # type: ignore[assignment]

ENVIRONMENT_VARIABLE: Final = "DRILLS_LILYPOND"
"""Names the LilyPond to use, unless one is given."""

_HOW_TO_GET_ONE: Final = (
    "install LilyPond 2.24 (lilypond.org), then put it on the PATH, name it with --lilypond or in "
    f"{ENVIRONMENT_VARIABLE}"
)
_NO_GLYPH: Final = re.compile(r"warning: no glyph for character U\+([0-9A-F]+)")
_PAGES: Final = re.compile(r"^drills: pages (\d+)$", re.MULTILINE)
_FIRST_ERROR: Final = re.compile(r"^(?:\S+?:(\d+):\d+: |)(?:fatal |)error: (.*)$", re.MULTILINE)
_WARNING: Final = re.compile(r"^.*warning: .*$", re.MULTILINE)
_SQUEEZED: Final = re.compile(
    r"warning: (compressing over-full page by (\d+\.\d) staff-spaces|page \d+ has been compressed)"
)
_HARMLESS_SQUEEZE: Final = 8.0
"""Staff spaces.  LilyPond fills pages by an estimate of heights and then takes the
rest from all gaps alike: so little, shared by twenty gaps, brings nothing together."""
_NUMBER: Final = re.compile(r"(\d+)(?=\.\w+$)")


@dataclass(frozen=True, slots=True)
class Engraving:
    """How LilyPond is run."""

    program: Path | None = None
    """The LilyPond to use; found where it usually is unless given."""
    time_limit: float = 300.0
    """Seconds for all texts together."""
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


def find_lilypond(program: Path | None = None) -> str:
    """The LilyPond to run: the one given, else the one that the environment
    variable DRILLS_LILYPOND names, else the installed package's, else the PATH's.

    Raises EngraveError with what to do where there is none.
    """
    asked = str(program) if program else os.environ.get(ENVIRONMENT_VARIABLE)
    if asked:
        found = shutil.which(asked)
        if found is None:
            raise EngraveError(f"{asked} is not a program that can be run; {_HOW_TO_GET_ONE}")
        return found
    found = _packaged() or shutil.which("lilypond")
    if found is None:
        raise EngraveError(f"LilyPond, which engraves the pages, is missing; {_HOW_TO_GET_ONE}")
    return found


def _packaged() -> str | None:
    """The binary of the package ``lilypond``, which exists for some systems only."""
    if find_spec("lilypond") is None:
        return None
    program = Path(import_module("lilypond").executable())
    return str(program) if program.is_file() else None


def cores() -> int:
    """Processor cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


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
                    f"{command[0]} cannot be run ({error.strerror}); {_HOW_TO_GET_ONE}"
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
        raise EngraveError(_failure(process.returncode, log))
    return log


def _failure(code: int, log: str) -> str:
    """One line about a run that failed."""
    found = _FIRST_ERROR.search(log)
    if re.search("out of memory|not enough memory", log, re.IGNORECASE):
        said, advice = "it ran out of memory", "ask for fewer bars at once"
    elif found:
        place = f"line {found[1]}: " if found[1] else ""
        said = f"{place}{found[2].strip()}"
        advice = "keep its text with --also ly to look at the line, or leave out some choices"
    elif code < 0:
        said, advice = f"it was stopped by signal {-code}", "try again, with fewer bars at once"
    else:
        said = (log.strip().splitlines() or ["it said nothing"])[-1][:200]
        advice = "check that it is LilyPond 2.24 or newer"
    return f"LilyPond failed: {said} ({advice})"


def _collected(folders: Sequence[Path], logs: Sequence[str], formats: Sequence[str]) -> Engraved:
    """Everything that the processes left in their folders, in the order of the texts."""
    files = {
        name: [_in_order(folder, ending) for folder in folders]
        for name, ending in (("pdf", "pdf"), ("png", "png"), ("svg", "svg"), ("midi", "mid*"))
        if name in formats
    }
    for name, found in files.items():
        if not all(found):
            raise EngraveError(f"LilyPond made no {name.upper()}; {_HOW_TO_GET_ONE}")
    content = {
        name: tuple(path.read_bytes() for paths in found for path in paths)
        for name, found in files.items()
    }
    text = "\n".join(logs)
    warnings = tuple(found for found in _WARNING.findall(text) if not _is_told_otherwise(found))
    return Engraved(
        pdfs=content.get("pdf", ()),
        pages=tuple(tuple(int(count) for count in _PAGES.findall(log)) for log in logs),
        pngs=content.get("png", ()),
        svgs=content.get("svg", ()),
        midis=content.get("midi", ()),
        remarks=_remarks(text),
        warnings=tuple(dict.fromkeys(warnings)),
        said=text,
    )


def _is_told_otherwise(warning: str) -> bool:
    """True for a warning that becomes a remark, or that means nothing to anyone."""
    squeezed = _SQUEEZED.search(warning)
    if squeezed:
        return float(squeezed[2] or 0) <= _HARMLESS_SQUEEZE
    return _NO_GLYPH.search(warning) is not None


def _in_order(folder: Path, ending: str) -> list[Path]:
    """The files of one kind by the number in their name."""

    def number(path: Path) -> int:
        found = _NUMBER.search(path.name)
        return int(found[1]) if found else 0

    return sorted(folder.glob(f"sheets*.{ending}"), key=number)


def _remarks(log: str) -> tuple[str, ...]:
    """Signs that were left blank, told once."""
    missing = dict.fromkeys(chr(int(code, 16)) for code in _NO_GLYPH.findall(log))
    if not missing:
        return ()
    return (f"no font at hand has these signs, which are left blank: {' '.join(missing)}",)
