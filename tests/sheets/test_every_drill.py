"""Everything that could be made of a spot is still made with no time given.

The list was written before sheets were planned: for six spots of the demo music the kind of
every drill, its rhythm, the places of its notes, and their written tones.  Cells in which only
the spelling of a pitch changes are no moves any more, and are in none of these spots.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from drills.jobs.request import Settings
from drills.jobs.sheets import build_sheets
from drills.music.notes import Note
from drills.sheets.choices import Choices
from drills.sheets.drill import Drill

HERE = Path(__file__).parent.parent
SPOTS = (HERE / "golden" / "every-drill.txt").read_text("utf-8").split("# ")[1:]


def told(drill: Drill) -> str:
    """One row of the list."""
    tones = [
        str(tone)
        for bar in drill.bars
        for event in bar.voices[0].events
        if isinstance(event, Note) and not event.tie_stop
        for tone in event.tones
    ]
    places = ",".join(f"{first}-{last}" for first, last in drill.ranges)
    return " ".join((drill.kind.value, drill.rhythm, places, *tones))


@pytest.mark.parametrize("spot", SPOTS, ids=[spot.partition("\n")[0] for spot in SPOTS])
def test_nothing_that_could_be_made_is_lost(spot: str) -> None:
    name, *wanted = spot.strip().splitlines()
    score, part, place = name.split()
    settings = Settings(Choices(rhythms=("all",)))
    path = HERE.parent / "scores" / f"{score}.musicxml"
    (sheet,) = build_sheets(path, [place], part, settings).sheets
    made = {told(drill) for block in sheet.blocks for drill in block.drills}
    assert len(wanted) > 20
    assert set(wanted) <= made
