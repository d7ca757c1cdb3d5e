"""Tasks that take too much; in a module of their own, so that a process has little to import."""

from __future__ import annotations

import time


def greedy(_: str) -> int:
    """More memory than there may be."""
    return len(bytearray(8_000_000_000))


def endless(_: str) -> None:
    """More time."""
    time.sleep(1000)


def answering(words: str) -> str:
    """Nothing much."""
    return words
