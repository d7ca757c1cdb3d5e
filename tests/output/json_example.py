"""The example of docs/json.md.  ``python -m tests.output.json_example`` writes it anew."""

from __future__ import annotations

from pathlib import Path

import drills
from drills.music.score import Credits, Part
from drills.output.data import json_text, sheets_data
from drills.places.finding import find_span
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from tests.output.fixtures_time import CLARINET, bars

DOCS = Path(drills.__file__).parent.parent / "docs"
PAGE = DOCS / "json.md"
OPENED, CLOSED = "```json\n", "```\n"


def example_part() -> Part:
    """One bar for a clarinet of the harbour town's band."""
    return Part(
        "Clarinet 2",
        CLARINET,
        bars("C5/8[ D5/8- C5/8- D5/8]", "2/4", CLARINET),
        Credits("Harbour March", "the town band", "free to copy"),
        "march.musicxml",
        "P2",
    )


def example_text() -> str:
    """Its sheet as data."""
    part = example_part()
    choices = Choices(sizes=(2,), rhythms=(), rungs=3)
    return json_text(sheets_data([make_sheet(part, find_span(part, "1"), choices)]))


def shown() -> str:
    """What the page shows."""
    return PAGE.read_text(encoding="utf-8").partition(OPENED)[2].partition(CLOSED)[0]


if __name__ == "__main__":
    before, _, rest = PAGE.read_text(encoding="utf-8").partition(OPENED)
    after = rest.partition(CLOSED)[2]
    PAGE.write_text(before + OPENED + example_text() + CLOSED + after, encoding="utf-8")
