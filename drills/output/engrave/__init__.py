"""LilyPond text -> pages.  What starts LilyPond, and ends it, is processes.py.

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
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from pathlib import Path
from typing import Self

from drills.errors import EngraveError
from drills.output.alive import temporary_folder, temporary_place
from drills.output.engrave.log import MAKE_ROOM
from drills.output.engrave.processes import (
    SHORT,
    Ahead,
    Running,
    Waiting,
    command_of,
    job_of,
    run,
)
from drills.output.engrave.program import ENVIRONMENT_VARIABLE, cores, find_lilypond
from drills.output.engrave.results import Engraved, Engraving, collected

__all__ = [
    "ENVIRONMENT_VARIABLE",
    "SHORT",
    "Ahead",
    "Engraved",
    "Engraver",
    "Engraving",
    "cores",
    "engrave",
    "find_lilypond",
    "lilypond_ahead",
]


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
            base = stack.enter_context(temporary_folder())
            command = command_of(find_lilypond(running.program), formats, running)
            ahead = Ahead(command)
            stack.callback(ahead.end)
            for number in range(count):
                folder = base / str(number)
                folder.mkdir()
                ahead.waiting.append(Waiting(folder, Running(running).start(folder, command)))
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
        self._running = Running(limits)
        self._command = command_of(find_lilypond(limits.program), formats, limits)
        self._ahead = ahead
        self._workers = limits.workers or cores()
        self._folders: list[Path] = []
        self._begun: list[Future[str]] = []

    def __enter__(self) -> Self:
        self._stack = contextlib.ExitStack()
        with _translated():
            self._base = self._stack.enter_context(temporary_folder())
        self._pool = ThreadPoolExecutor(self._workers)
        return self

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        if kind is not None:
            self._running.stop()
        self._pool.shutdown(cancel_futures=True)
        self._stack.close()

    def add(self, text: str) -> None:
        """Begin to engrave a text, as soon as a core is free."""
        with _translated():
            own = self._base / str(len(self._folders))
            job = job_of(text, own, self._command, self._ahead)
            self._folders.append(job.folder)
            self._begun.append(self._pool.submit(run, job, self._running))

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
            f"the folder for temporary files, {temporary_place()}, cannot be used "
            f"({(error.strerror or str(error)).lower()}); {MAKE_ROOM}"
        ) from error
