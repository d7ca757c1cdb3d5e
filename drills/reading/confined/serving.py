"""The inside of a process with limits: one question after another.

Messages go through standard input and output: eight bytes of length, then the message.  The
process ends when the input does, and in the middle of its work when the program that wants
it is gone.
"""

from __future__ import annotations

import os
import signal
import sys
import time
from collections.abc import Callable
from threading import Thread
from typing import IO, Final

_LENGTH: Final = 8
_LOOK: Final = 1.0
"""Seconds between two looks at the parent."""


def put(stream: IO[bytes], message: bytes) -> None:
    """Write a message with its length before it."""
    stream.write(len(message).to_bytes(_LENGTH, "big"))
    stream.write(message)
    stream.flush()


def get(stream: IO[bytes]) -> bytes:
    """Read a message; empty where the stream ends before it does."""
    length = int.from_bytes(stream.read(_LENGTH), "big")
    message = stream.read(length)
    return message if len(message) == length else b""


def questions(answer: Callable[[bytes], bytes]) -> None:
    """Answer until the input ends."""
    answers = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not stand between the answers
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the other side decides
    Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    while question := get(sys.stdin.buffer):
        put(answers, answer(question))


def _end_with(parent: int) -> None:
    """End in the middle of a file when the program that wants it is gone.

    Not by the system's own signal, which comes when the thread ends that started us.
    """
    while os.getppid() == parent:
        time.sleep(_LOOK)
    os._exit(1)
