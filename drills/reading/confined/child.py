"""A process of our own that serves, and how it is asked.

It is a plain Python with a module of ours, not a fork: a fork would take over locks that other
threads hold, and ``multiprocessing`` would run the player's own script a second time.  What goes
in and comes back is bytes, never objects.  It ends with this program, however that ends.
"""

from __future__ import annotations

import contextlib
import json
import os
import subprocess
import sys
from threading import Timer
from typing import IO, Final

from drills.reading.confined.serving import get, put

OUT_OF_TIME: Final = (-9, -24, 1)
"""Codes of a process that a clock ended: ours (SIGKILL; 1 on Windows) or the system's (SIGXCPU)."""
_START: Final = (
    "import json, sys; from importlib import import_module; sys.path[:] = json.loads(sys.argv[1]); "
    "getattr(import_module(sys.argv[2]), sys.argv[3])()"
)


class Child:
    """A process that answers questions."""

    def __init__(self, module: str, serve: str) -> None:
        """Start a function without parameters of a module of ours, which calls ``questions``.

        Raises OSError where no process can be started.
        """
        paths = json.dumps([path or os.curdir for path in sys.path])
        self._process = subprocess.Popen(
            [sys.executable, "-c", _START, paths, module, serve],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self.owner = os.getpid()
        self.used = 0

    def ask(self, question: bytes, seconds: float) -> bytes:
        """The answer; empty where the process ended instead, or took longer than ``seconds``."""
        self.used += 1
        clock = Timer(seconds, self._process.kill)
        clock.daemon = True
        clock.start()
        try:
            put(_pipe(self._process.stdin), question)
            return get(_pipe(self._process.stdout))
        except OSError:
            return b""
        finally:
            clock.cancel()

    def end(self) -> int:
        """End it; the code with which it ended."""
        with contextlib.suppress(OSError):
            self._process.kill()
        for stream in (self._process.stdin, self._process.stdout):
            with contextlib.suppress(OSError):
                _pipe(stream).close()
        return self._process.wait()


def _pipe(stream: IO[bytes] | None) -> IO[bytes]:
    if stream is None:
        raise OSError("no pipe")
    return stream
