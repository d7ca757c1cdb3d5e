"""Imports all that the tasks of the stand need, before somebody waits for it."""

from __future__ import annotations

import contextlib

from drills.output import midi, musicxml, pdf
from drills.stand import (
    book_tasks,
    day_tasks,
    lesson_tasks,
    play_tasks,
    sheet_tasks,
    take_tasks,
    tasks,
)

with contextlib.suppress(ImportError):  # without it a task says what is missing
    import verovio  # noqa: F401

__all__ = [
    "book_tasks",
    "day_tasks",
    "lesson_tasks",
    "midi",
    "musicxml",
    "pdf",
    "play_tasks",
    "sheet_tasks",
    "take_tasks",
    "tasks",
]
