"""The words of a sheet around its music: how to use it, what its signs mean, what was left out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from drills.output.lilypond import functions, rows
from drills.sheets.blocks import LeftOut, seconds_of
from drills.sheets.sheet import Sheet
from drills.sheets.telling import HOW_TO, halves, minute_words

DAY_HEIGHT: Final = 5.4
"""Millimetres of a row to write into."""
DAY_LABEL: Final = 23.0
"""Millimetres before the rows, for what is written there; seven days share the rest."""


def how_to(sheet: Sheet) -> str:
    """One line at the head of a planned sheet."""
    if sheet.plan is None:
        return ""
    spent = halves(seconds_of(sheet.blocks) + sheet.plan.breaks)
    rest = " with half a minute of rest between the blocks" if sheet.plan.breaks else ""
    time = f"This page takes about {minute_words(spent)}{rest}."
    return f"{HOW_TO} {time}"


def day_rows(sheet: Sheet) -> tuple[str, ...]:
    """What is written down each day; a student's days are named already."""
    return (*(() if sheet.student else ("date",)), "number reached", "minutes")


def small_print(sheet: Sheet) -> tuple[str, ...]:
    """The foot of a sheet, paragraph by paragraph."""
    signs = _legend(sheet.hard[0]) if sheet.hard else ""
    told = left_out(sheet.plan.left_out) if sheet.plan is not None else ""
    why = sheet.plan.why if sheet.plan is not None else ""
    plan = " ".join(filter(None, (signs, why, told)))
    return tuple(filter(None, (plan, *sheet.cautions, *sheet.remarks, " ".join(legends(sheet)))))


def _legend(number: int) -> str:
    """What the sign under the excerpt means, by the first number that has it."""
    return f"{rows.HARD_SIGN}{number}: the move from {number - 1} to {number} is a hard one."


def legends(sheet: Sheet) -> tuple[str, ...]:
    """What the functions and numbers under the notes mean, as far as they stand there."""
    drills = [drill for block in sheet.blocks for drill in block.drills]
    tuned = any(under.cents for drill in drills for under in drill.under)
    named = [one for tones in sheet.functions for one in tones]
    named += [one for held in sheet.held for one in held.tones]
    return functions.legend(named, tuned=tuned, where="the notes")


def left_out(left: Sequence[LeftOut]) -> str:
    """What had no room, as a sentence; nothing where nothing was left out."""
    if not left:
        return ""
    cells = sum(one.count for one in left if not one.key.startswith("line"))
    lines = [one.title for one in left if one.key.startswith("line")]
    told = [f"{cells} short drill{'s' * (cells > 1)}"] if cells else []
    told += [line[:1].lower() + line[1:] for line in lines]
    return f"Left out for want of time or room: {'; '.join(told)}."
