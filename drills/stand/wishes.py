"""What a page asks for, in the words of the command line -> settings of the jobs.

A page sends the name of a choice and what the player chose, as text: ``{"staff_size": "22",
"for_instrument": "horn", "student": true}``.  Rows of the table of what can be asked for
(drills/jobs/asked/) read it, so that a page knows no more and no less than a command.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any, Final

from drills.errors import UsageError
from drills.jobs.asked.choice import Choice, Kind
from drills.jobs.asked.planning import MINUTES
from drills.jobs.asked.table import CHOICES
from drills.jobs.request import Settings
from drills.jobs.sheet_files import Style
from drills.output.engrave import Engraving
from drills.output.lilypond.page import Page
from drills.rewriting.asked import How, rewriting_for
from drills.sheet.choices import Choices
from drills.stand.work import MEMORY

Words = Mapping[str, object]
_MOST: Final = 40
_LONGEST: Final = 200
_TIME: Final = 50.0
"""Seconds that LilyPond may take for a page."""


def read(command: str, words: Words) -> dict[str, dict[str, Any]]:
    """The values that were chosen, by group and field; raises UsageError with the name of one."""
    if len(words) > _MOST:
        raise UsageError("too many choices at once")
    rows = {one.name: one for one in CHOICES if command in one.commands and one.kind != Kind.PATH}
    found: dict[str, dict[str, Any]] = {}
    for name, given in words.items():
        if given in ("", None, False):
            continue
        row = rows.get(name)
        if row is None:
            raise UsageError(f"there is no choice {name[:40]!r}")
        found.setdefault(row.into, {})[row.field] = _value(row, given)
    return found


def _value(row: Choice, given: object) -> object:
    if row.kind in (Kind.FLAG, Kind.SWITCH):
        return given in (True, "yes", "on")
    texts = given if isinstance(given, list) else [given]
    if not all(isinstance(one, str) and len(one) <= _LONGEST for one in texts) or len(texts) > 20:
        raise UsageError(f"{row.written[-1]}: this is not a choice")
    if row.kind is Kind.WORD and texts[0] not in row.words:
        raise UsageError(f"{row.written[-1]}: choose of {', '.join(row.words)}")
    text: Any = tuple(texts) if row.several else str(texts[0])
    return text if row.read_as is None else row.read_as(text)


def settings_of(words: Words) -> tuple[Settings, Style]:
    """What ``drills sheet`` makes of the same choices."""
    groups = read("sheet", words)
    choices = Choices(**groups.get("drill", {}))
    loose = groups.get("", {})
    if loose.get("tempo") is not None:
        beat, number = loose["tempo"]
        choices = replace(choices, tempo=number, tempo_beat=beat, tempo_source="--tempo")
    plan = groups.get("plan", {})
    choices = _planned(choices, plan)
    wanted = groups.get("wanted", {})
    name, pitch = wanted.get("for_instrument"), wanted.get("for_pitch")
    rewriting = None if name is None else rewriting_for(name, How(pitch or How.SOUNDING))
    run = groups.get("run", {})
    page = Page(run["paper"]) if run.get("paper") else Page()
    if run.get("staff_size") is not None:
        page = replace(page, staff_size=run["staff_size"])
    settings = Settings(
        choices,
        rewriting=rewriting,
        functions=bool(groups.get("chords", {}).get("functions")),
        page=page,
        pages=plan.get("pages") or 0,
    )
    return settings, Style(page, Engraving(time_limit=_TIME, memory_limit=MEMORY))


def _planned(choices: Choices, plan: Mapping[str, Any]) -> Choices:
    """A practice of so many minutes, as a command plans it unless everything is asked for."""
    everything = bool(plan.get("everything"))
    if everything and (plan.get("minutes") or plan.get("pages")):
        raise UsageError("everything that can be made has no minutes and no number of pages")
    return replace(
        choices,
        minutes=None if everything else plan.get("minutes") or Fraction(MINUTES),
        every_cell=bool(plan.get("every_cell")),
        fingerings=bool(plan.get("fingerings")),
    )
