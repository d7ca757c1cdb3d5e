"""Long or dangerous work in processes of its own, with limits, one task at a time each.

Problem.  A score is a file from a stranger; reading one must not stop the server, eat the
memory of the machine, or go on after the player has turned away.  Method.  A few processes
wait, warm, each with a limit of memory and with the player's folder as its own; a task goes to
one that is free and may tell its stages.  A task that takes longer than it may, or that is
cancelled, ends with its process and the programs that this has started, and a fresh process
takes its place.  What a task raises of our own errors comes back as that error.

All are forked from one process that has imported everything once (multiprocessing's fork
server: itself a fresh interpreter, into which nothing of this server goes, its sockets least), so
that a fresh one is there at once.  Where there is none (Windows), each is a fresh interpreter.
"""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import os
import signal
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from importlib import import_module
from multiprocessing.connection import Connection
from multiprocessing.context import BaseContext
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any, Final

from drills.errors import DrillsError
from drills.reading.confined import confine

MEMORY: Final = 2_000_000_000
"""Bytes of address space of a process."""
TIME: Final = 60.0
"""Seconds that a task may take."""
WAITING: Final = 64
"""Tasks that may wait for a process; more are refused, so that a flood fills no memory."""
WARM: Final = "warm"
"""The module beside the tasks that imports all that they need."""

Tell = Callable[[str], None]
Outcome = tuple[bool, Any]
"""Whether it failed, and the value or the error."""


class TaskFailedError(DrillsError):
    """A task that ended without an answer: too long, too much memory, cancelled."""

    exit_code = 70


def _context(room: str) -> BaseContext:
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    found = multiprocessing.get_context("forkserver")
    found.set_forkserver_preload(["__main__", f"{room}.{WARM}"])
    return found


@dataclass(slots=True)
class _Worker:
    process: BaseProcess
    pipe: Connection
    ear: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1))
    """One thread that waits for its answers; event loops of Windows wait for no pipe."""


class Workers:
    """A few warm processes that work in one folder."""

    def __init__(self, folder: Path, count: int = 2, room: str = "drills.stand") -> None:
        self._folder = folder
        self._count = count
        self._room = room
        """The package in which tasks are looked up."""
        self._free: asyncio.Queue[_Worker] = asyncio.Queue()
        self._all: list[_Worker] = []
        self._waiting = 0
        self._starter = ThreadPoolExecutor(1)
        self._starting: set[asyncio.Task[None]] = set()

    async def start(self) -> None:
        """Start them all; they warm up while the first page is read."""
        for _ in range(self._count):
            self._begin()

    async def stop(self) -> None:
        """End them all, those that are at work too."""
        await asyncio.gather(*self._starting)
        while self._all:
            self._end(self._all[0])
        self._starter.shutdown()

    def _begin(self) -> None:
        """Start one, without waiting until it is there."""

        async def started() -> None:
            loop = asyncio.get_running_loop()
            worker = await loop.run_in_executor(self._starter, _started, self._folder, self._room)
            self._all.append(worker)
            self._free.put_nowait(worker)

        task = asyncio.create_task(started())
        self._starting.add(task)
        task.add_done_callback(self._starting.discard)

    def _end(self, worker: _Worker) -> None:
        self._all.remove(worker)
        _ended(worker)

    async def run(
        self,
        task: str,
        *given: object,
        seconds: float = TIME,
        tell: Tell | None = None,
    ) -> Any:  # noqa: ANN401 - what the task returns
        """A task in a free process: ``"day_tasks.tonight"`` is that function of this package.

        What is ``given`` can be pickled.  With ``tell`` the task gets one more value, a function
        that it calls with each stage.  Raises what of DrillsError the task raises,
        TaskFailedError where it ends otherwise.  When the caller is cancelled the work ends too.
        """
        if self._waiting >= WAITING:
            raise TaskFailedError("too much is going on at once; try again in a moment")
        self._waiting += 1
        try:
            worker = await self._free.get()
        finally:
            self._waiting -= 1
        try:
            failed, value = await asyncio.wait_for(_asked(worker, task, given, tell), seconds)
        except (asyncio.CancelledError, TimeoutError, EOFError, OSError) as error:
            if worker in self._all:  # else the whole program ends
                self._end(worker)
                self._begin()
            if isinstance(error, asyncio.CancelledError):
                raise
            raise TaskFailedError(_why(error, seconds)) from error
        self._free.put_nowait(worker)
        if failed:
            raise value
        return value


def _why(error: Exception, seconds: float) -> str:
    if isinstance(error, TimeoutError):
        return f"this took more than {seconds:.0f} seconds and was ended"
    return "this needed more than it may have of this machine, and was ended"


async def _asked(
    worker: _Worker, task: str, given: tuple[object, ...], tell: Tell | None
) -> Outcome:
    worker.pipe.send((task, given, tell is not None))
    loop = asyncio.get_running_loop()
    while True:
        kind, value = await loop.run_in_executor(worker.ear, worker.pipe.recv)
        if kind != "stage":
            return kind == "failed", value
        if tell is not None:
            tell(value)


def _started(folder: Path, room: str) -> _Worker:
    context: Any = _context(room)  # what its kinds have in common is untyped
    ours, theirs = context.Pipe()
    process = context.Process(target=_serve, args=(theirs, folder, room))  # it may have children
    process.start()
    theirs.close()
    return _Worker(process, ours)


def _ended(worker: _Worker) -> None:
    with contextlib.suppress(ProcessLookupError, PermissionError):
        if worker.process.pid is not None and hasattr(os, "killpg"):
            os.killpg(worker.process.pid, signal.SIGKILL)  # LilyPond included
    worker.process.kill()
    worker.process.join(5)
    worker.ear.submit(worker.pipe.close)  # after the end of the process has been heard
    worker.ear.shutdown(wait=False)


def _serve(pipe: Connection, folder: Path, room: str) -> None:
    """The life of a process: one task after another until the pipe closes."""
    if hasattr(os, "setsid"):
        os.setsid()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.chdir(folder)
    import_module(f"{room}.{WARM}")  # where it was not forked from one that has it
    confine(memory=MEMORY)  # LilyPond gets a limit of its own
    while True:
        try:
            task, given, telling = pipe.recv()
        except (EOFError, OSError):
            return
        more = (lambda words: pipe.send(("stage", words)),) if telling else ()
        pipe.send(_done(f"{room}.{task}", (*given, *more)))


def _done(task: str, given: tuple[object, ...]) -> tuple[str, object]:
    module, _, name = task.rpartition(".")
    try:
        return "done", getattr(import_module(module), name)(*given)
    except DrillsError as error:
        return "failed", type(error)(str(error))
    except MemoryError:
        return "failed", TaskFailedError("this needed more memory than it may have")
    except Exception as error:  # a fault of the program: told without its inside
        why = f"this went wrong inside the program ({type(error).__name__})"
        return "failed", TaskFailedError(why)
