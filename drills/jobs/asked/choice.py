"""What a row of the table says: one thing that a player can ask for.

A face (the command line, a page) makes its own form of a row: an option, a field.  What a
player wrote is text; ``read_as`` turns it into the value that fills a field of the data.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, Final

from drills.jobs.asked.values import whole_number

COMMANDS: Final = (
    *("sheet", "spots", "click", "take", "section", "book", "open"),
    *("plan", "today", "done", "log", "ready", "hand-out", "show", "write", "demo"),
)
"""Who can be asked, in the order of the job."""


class Heading(StrEnum):
    """What kinds of choice there are, in the order in which they are told."""

    WHERE = "Where"
    DAYS = "Days"
    LOG = "The log"
    HARD = "What is hard"
    DRILLED = "What is drilled"
    PLAN = "Time and paper"
    CHORDS = "Chords"
    INSTRUMENT = "For another instrument"
    SOUNDS = "What sounds"
    CLICKS = "Clicks"
    TEMPO = "Tempo"
    TAKE = "What was played"
    PAGE = "Page"
    FILES = "Files"
    RUNNING = "Running"


class Kind(StrEnum):
    """What is written for a choice."""

    TEXT = "text"
    """Any text that the row can read."""
    COUNT = "whole number"
    """Within the row's limits."""
    WORD = "one of its words"
    PATH = "a file or a folder"
    FLAG = "given or not"
    SWITCH = "yes or no"
    """``--landing`` or ``--no-landing``."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that a player can ask for."""

    name: str
    """Of the value, in Python: "cell_end"."""
    says: str
    """What it is for, as the help page tells it."""
    heading: Heading
    commands: tuple[str, ...]
    """Of COMMANDS, those that know it as this row says it; other rows of the same name may
    say it of others (``but`` makes them)."""
    into: str = ""
    """The group of values that it goes to, where the command takes such a group: "drill"."""
    fills: str = ""
    """The field of that group; ``name`` unless given."""
    flags: tuple[str, ...] = ()
    """How it is written; ``--cell-end`` for ``cell_end`` unless given."""
    kind: Kind = Kind.TEXT
    unit: str = ""
    """What is counted or named, in capitals: "NOTES"; for a flag nothing."""
    limits: tuple[int, int] | None = None
    """The least and the most of a COUNT, both allowed."""
    usual: str | tuple[str, ...] | bool | None = None
    """As the player would write it; None where nothing is chosen."""
    usually: str = ""
    """The same in words, where ``usual`` is none or would say little."""
    words: tuple[str, ...] = ()
    """All that a WORD may be; for other kinds, names that a shell can complete."""
    read: Callable[[Any], object] | None = None
    """From text (from several texts, where ``several``) to the value; raises UsageError."""
    several: bool = False
    """It may be given again."""
    first: tuple[str, ...] = ()
    """The commands of which it is one of the few choices that most players need."""
    book: str = ""
    """Its key in a book; the reader of books is in drills/project/."""
    data: str = ""
    """The place in the data (--json) that tells what came of it, after the name of its schema:
    "sheet:sheets.tempo.number"."""

    def __post_init__(self) -> None:
        unknown = {*self.commands, *self.first} - set(COMMANDS)
        if unknown:
            raise ValueError(f"{self.name}: no such command: {', '.join(sorted(unknown))}")
        if (self.kind is Kind.COUNT) != (self.limits is not None):
            raise ValueError(f"{self.name}: limits are for a whole number, which has them")
        if self.kind is Kind.WORD and not self.words:
            raise ValueError(f"{self.name}: says none of its words")

    @property
    def field(self) -> str:
        """The field that it fills."""
        return self.fills or self.name

    @property
    def written(self) -> tuple[str, ...]:
        """How it is written: ``("-o", "--output")``, ``("--landing", "--no-landing")``."""
        if self.flags:
            return self.flags
        long = self.name.replace("_", "-")
        return (f"--{long}", f"--no-{long}") if self.kind is Kind.SWITCH else (f"--{long}",)

    @property
    def read_as(self) -> Callable[[Any], object] | None:
        """From what was written to the value; None where it is taken as it is."""
        return whole_number(*self.limits) if self.limits else self.read

    @property
    def told(self) -> str:
        """What the help page says: what it is for, what is usual, and within which limits."""
        usual = self.usually or _shown(self.usual, self)
        notes = [f"default: {usual}"] if usual else []
        notes += [f"{self.limits[0]} to {self.limits[1]}"] if self.limits else []
        return f"{self.says} [{'; '.join(notes)}]" if notes else self.says

    def but(self, *commands: str, **changes: Any) -> Choice:  # noqa: ANN401 - as replace()
        """The same choice as other commands know it."""
        return replace(self, commands=commands, **changes)


def _shown(usual: str | tuple[str, ...] | bool | None, choice: Choice) -> str:
    """A usual value for a help page."""
    if isinstance(usual, bool):
        return choice.written[0 if usual else 1].lstrip("-") if len(choice.written) > 1 else ""
    return usual if isinstance(usual, str) else ", ".join(usual or ())
