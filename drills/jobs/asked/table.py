"""All rows together, for what looks at every command: the documentation and the tests.

A command takes the modules that it needs (drills/cli/commands/), so that ``drills show``
does not import what only sound needs.
"""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import (
    climbing,
    drilled,
    files,
    music,
    planning,
    project,
    sound_files,
    sounding,
    takes,
)
from drills.jobs.asked.choice import Choice

CHOICES: Final[tuple[Choice, ...]] = (
    *music.CHOICES,
    *drilled.CHOICES,
    *planning.CHOICES,
    *sounding.CHOICES,
    *climbing.CHOICES,
    *takes.CHOICES,
    *files.CHOICES,
    *sound_files.CHOICES,
    *project.CHOICES,
)

BOOK_ONLY: Final = (
    *("title", "file", "note", "spot", "concert", "minutes-on", "days-off", "session-time"),
    *("time-zone", "weight", "id", "goal"),
)
"""Keys that only a book has: what the command line says by the place of a word, or not."""
