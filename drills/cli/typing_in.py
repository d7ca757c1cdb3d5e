"""Bars asked for one by one, where a player sits at both ends of a terminal.

Asked on standard error, as every question is.  After each line what was understood is shown
in words; a line that cannot be read is asked for again, with the word that is wrong.
"""

from __future__ import annotations

import sys
from typing import Final

from drills.cli.screen import clean, complain
from drills.errors import DrillsError
from drills.instruments.table import find_fact
from drills.jobs.written_part import read_source
from drills.output.typed import words_of
from drills.reading.limits import Limits
from drills.reading.source import Typed

_HOW: Final = """Type a bar in words, such as
  4/4 F major: 16ths c5 bb4 c5 e5 | dotted quarter f5 eighth r half a4
(c4 is middle C, bb4 is B flat, r a rest), or in ABC. An empty line ends."""


def typed_at_terminal(instrument: str | None, limits: Limits) -> Typed | None:
    """What the player types, bar by bar; None where nothing was typed."""
    name = instrument if instrument is not None else _instrument()
    _tell(_HOW)
    lines: list[str] = []
    shown = 0
    while (line := _asked(f"Bar {shown + 1}: ")) is not None and line.strip():
        typed = Typed("\n".join([*lines, line]), name)
        try:
            part = read_source(typed, None, limits)
        except DrillsError as error:
            complain(str(error).removeprefix("--notes: "))
            continue
        lines.append(line)
        words = words_of(part)
        for number, bar in list(enumerate(words, start=1))[max(0, shown - 1) :]:
            _tell(f"  bar {number}: {bar}")
        shown = len(words)
    return Typed("\n".join(lines), name) if lines else None


def _instrument() -> str:
    """The player's instrument; empty where they name none."""
    while (line := _asked("Instrument (Enter for none): ")) is not None and line.strip():
        try:
            return find_fact(line.strip()).name
        except DrillsError as error:
            complain(str(error))
    return ""


def _asked(question: str) -> str | None:
    print(question, end="", file=sys.stderr, flush=True)
    line = sys.stdin.readline()
    if not line:
        print(file=sys.stderr)
        return None
    return line.rstrip("\n")


def _tell(text: str) -> None:
    for line in text.splitlines():
        print(clean(line), file=sys.stderr)
