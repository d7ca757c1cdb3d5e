"""A score of many players at a glance: what ``drills show`` prints before one is chosen.

A line for each player, then what is the same for all: bars, times, tempos, marks.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Final

from drills.cli import describe
from drills.music.lines import voice_lines
from drills.music.score import Part
from drills.places.finding import marked_spans

_NAME: Final = 26
_INSTRUMENT: Final = 30
"""Columns of a player's name and of what they play."""


def table(parts: Sequence[tuple[int, Part]], file: str) -> str:
    """The players of a score, each with the number that chooses them; see the module.

    ``file`` is the score as the player named it.
    """
    first = parts[0][1]
    lines = [_line(number, part) for number, part in parts]
    shared = [describe.entry(label, text) for label, text in describe.for_all(first) if text]
    marked = "; ".join(
        f"{span.asked} in {number}" for number, part in parts for span in marked_spans(part)
    )
    shared += [describe.entry("marked", marked)] if marked else []
    told = [str(number) for number, part in parts if part.remarks]
    shared += [describe.entry("remarks", f"about part {', '.join(told)}")] if told else []
    more = f"More about one of them: --part {parts[0][0]}, or --part with a name"
    return "\n\n".join((describe.heading(parts, file), "\n".join(lines), "\n".join(shared), more))


def _line(number: int, part: Part) -> str:
    """Number, name, instrument and how many notes there are to play."""
    count = sum(len(line.sounds) for line in voice_lines(part).values())
    played = part.instrument.name if part.instrument.name != part.name else ""
    name, instrument = _short(part.name, _NAME), _short(played, _INSTRUMENT)
    return f"{number:>3} {name:<{_NAME}} {instrument:<{_INSTRUMENT}} {count:>6} notes"


def _short(text: str, width: int) -> str:
    return textwrap.shorten(text, width, placeholder="...")
