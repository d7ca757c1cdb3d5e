"""Long or dangerous work in processes of its own, with limits, one task at a time each.

Problem.  A score is a file from a stranger; reading one must not stop the server, eat the
memory of the machine, or go on after the player has turned away.  Method.  A few processes
wait, warm, each with a limit of memory; a task goes to one that is free.  A task that takes
longer than it may, or that is cancelled, ends with its process, and a fresh one takes its
place.  What a task raises of our own errors comes back as that error.
"""

from __future__ import annotations

import asyncio
import contextlib
import multiprocessing
import os
import signal
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any, Final

from drills.errors import DrillsError

MEMORY: Final = 2_000_000_000
"""Bytes of address space of a process."""
TIME: Final = 60.0
"""Seconds that a task may take."""
_SPAWN: Final = multiprocessing.get_context("spawn")
"""A fresh interpreter: nothing of the server, its sockets least, goes into it."""


class TaskFailedError(DrillsError):
    """A task that ended without an answer: too long, too much memory, cancelled."""

    exit_code = 70


@dataclass(slots=True)
class _Worker:
    process: BaseProcess
    pipe: Connection


class Workers:
    """A few warm processes."""

    def __init__(self, count: int = 2) -> None:
        self._count = count
        self._free: asyncio.Queue[_Worker] = asyncio.Queue()
        self._all: set[int] = set()

    async def start(self) -> None:
        """Start them all; they warm up while the first page is read."""
        for _ in range(self._count):
            self._free.put_nowait(_started())

    async def stop(self) -> None:
        """End them all."""
        while not self._free.empty():
            _ended(self._free.get_nowait())

    async def run(self, task: Callable[..., Any], *given: object, seconds: float = TIME) -> Any:  # noqa: ANN401 - what the task returns
        """``task(*given)`` in a free process; a module's own function, its values picklable.

        Raises what of DrillsError the task raises, TaskFailedError where it ends otherwise.  When
        the caller is cancelled the work ends too.
        """
        worker = await self._free.get()
        try:
            answer = await asyncio.wait_for(_asked(worker, task, given), seconds)
        except (asyncio.CancelledError, TimeoutError, EOFError, OSError) as error:
            _ended(worker)
            self._free.put_nowait(_started())
            if isinstance(error, asyncio.CancelledError):
                raise
            raise TaskFailedError(_why(error, seconds)) from error
        self._free.put_nowait(worker)
        failed, value = answer
        if failed:
            raise value
        return value


def _why(error: Exception, seconds: float) -> str:
    if isinstance(error, TimeoutError):
        return f"this took more than {seconds:.0f} seconds and was ended"
    return "this needed more than it may have of this machine, and was ended"


async def _asked(worker: _Worker, task: Callable[..., Any], given: tuple[object, ...]) -> Any:  # noqa: ANN401
    loop = asyncio.get_running_loop()
    worker.pipe.send((task, given))
    answered: asyncio.Future[None] = loop.create_future()

    def ready() -> None:
        if not answered.done():
            answered.set_result(None)

    loop.add_reader(worker.pipe.fileno(), ready)
    try:
        await answered
    finally:
        loop.remove_reader(worker.pipe.fileno())
    return worker.pipe.recv()


def _started() -> _Worker:
    ours, theirs = _SPAWN.Pipe()
    process = _SPAWN.Process(target=_serve, args=(theirs,), daemon=True)
    process.start()
    theirs.close()
    return _Worker(process, ours)


def _ended(worker: _Worker) -> None:
    worker.pipe.close()
    with contextlib.suppress(ProcessLookupError, PermissionError):
        if worker.process.pid is not None and hasattr(os, "killpg"):
            os.killpg(worker.process.pid, signal.SIGKILL)  # LilyPond included
    worker.process.kill()
    worker.process.join(5)


def _serve(pipe: Connection) -> None:
    """The life of a process: one task after another until the pipe closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(os, "setsid"):
        os.setsid()
    _limit()
    from drills.stand import tasks  # noqa: PLC0415 - here, so that it is warm

    tasks.warm()
    while True:
        try:
            task, given = pipe.recv()
        except (EOFError, OSError):
            return
        pipe.send(_done(task, given))


def _done(task: Callable[..., Any], given: tuple[object, ...]) -> tuple[bool, object]:
    try:
        return False, task(*given)
    except DrillsError as error:
        return True, type(error)(str(error))
    except MemoryError:
        return True, TaskFailedError("this needed more memory than it may have")
    except Exception as error:  # a fault of the program: told without its inside
        return True, TaskFailedError(f"this went wrong inside the program ({type(error).__name__})")


def _limit() -> None:
    try:
        import resource  # noqa: PLC0415 - not on Windows
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
