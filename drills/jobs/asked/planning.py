"""How long is practised, and from how much paper."""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import values
from drills.jobs.asked.choice import Choice, Heading, Kind
from drills.sheets.choices import USUAL_MINUTES

_PLANNED: Final = ("sheet", "section", "book")
MINUTES: Final = str(USUAL_MINUTES)
"""For one spot, unless said otherwise."""
MOST_PAGES: Final = 20

_MINUTES: Final = Choice(
    "practice_minutes",
    "Time to practise a spot: the page has the drills that do most in it.",
    Heading.PLAN,
    ("sheet", "section"),
    "plan",
    "minutes",
    flags=("--minutes",),
    unit="MINUTES",
    usually=MINUTES,
    read=values.read_minutes,
    first=("sheet", "section"),
    data="sheet:sheets.plan.minutes",
)

CHOICES: Final = (
    _MINUTES,
    _MINUTES.but(
        "book",
        says="Time of an evening, for all spots together.",
        usually=f"{MINUTES} for each spot",
        first=("book",),
    ),
    Choice(
        "all",
        "Print every drill that can be made, on as many pages as it takes.",
        Heading.PLAN,
        _PLANNED,
        "plan",
        "everything",
        kind=Kind.FLAG,
        first=_PLANNED,
        data="sheet:sheets.plan",
    ),
    Choice(
        "pages",
        "Pages of a spot at most.",
        Heading.PLAN,
        _PLANNED,
        "plan",
        kind=Kind.COUNT,
        unit="COUNT",
        limits=(1, MOST_PAGES),
        usually="1, or 2 for a long spot",
        data="sheet:sheets.plan.left_out",
    ),
    Choice(
        "cells",
        "Which cells are chosen first: those around the hard moves, or all that overlap.",
        Heading.PLAN,
        _PLANNED,
        "plan",
        "every_cell",
        kind=Kind.WORD,
        unit="WHICH",
        usual="hard",
        words=("hard", "all"),
        read=values.read_whether_all,
        data="sheet:sheets.blocks",
    ),
    Choice(
        "fingerings",
        "Draw the fingerings of the hardest moves, besides the words.",
        Heading.PLAN,
        _PLANNED,
        "plan",
        kind=Kind.FLAG,
        data="sheet:sheets.blocks.fingerings",
    ),
    Choice(
        "whole_score",
        "Begin the section's page with the spot in score, all staves together.",
        Heading.CHORDS,
        ("section",),
        flags=("--score", "--no-score"),
        kind=Kind.SWITCH,
        usual=True,
    ),
    Choice(
        "no_cells",
        "No cells that all play together.",
        Heading.CHORDS,
        ("section",),
        kind=Kind.FLAG,
    ),
)
