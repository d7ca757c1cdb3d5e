"""The pages of a band's players as LilyPond has them: exactly their notes, on few pages.

The band is composed by a script (band.py), which says who plays what.  LilyPond plays the
first score of every page, the spot as printed, from the very text of the pages, so that what
is compared comes from its reading and not from ours.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from drills.jobs.gathering import gathered
from drills.jobs.paper import paper_for
from drills.jobs.request import Settings
from drills.jobs.section_players import section_parts
from drills.output.engrave import Engraved, engrave
from drills.output.lilypond import Page
from drills.output.lilypond.document import leaves_text
from drills.reading.limits import Limits
from drills.section.making import make_section
from drills.section.players import PlayerPage
from drills.sheets.choices import USUAL_MINUTES, Choices
from tests.output import smf
from tests.section.band import BARS, STAVES, band, midi, players
from tests.section.made import part

LOOKED_AT = ("Trumpet 2", "Horn 2 in F", "Trombone 1", "Bassoon 2", "Flute 2", "Horn 3 in F")
MOST_PAGES = 3
USUAL = Choices(minutes=USUAL_MINUTES)


def pages(score: Path, names: tuple[str, ...], place: str) -> tuple[list[PlayerPage], Engraved]:
    """The pages of some players, engraved in one run, the spot of each played too."""
    settings = Settings()
    read = section_parts(gathered([score], Limits()), (place,), names, settings)
    made: list[PlayerPage] = []
    paper = paper_for(settings.page, settings.pages)
    make_section(
        read.parts, read.chosen, place, USUAL, whole_score=False, paper=paper, ready=made.append
    )
    first, *books = leaves_text(made, Page(), "").split("\\bookpart {")
    played = [book.replace("\\layout {", "\\midi { }\n  \\layout {", 1) for book in books]
    return made, engrave(["\\bookpart {".join((first, *played))], ("pdf", "midi"))


@pytest.fixture(name="harbour", scope="module")
def _harbour(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[PlayerPage], Engraved]:
    score = tmp_path_factory.mktemp("harbour") / "band.musicxml"
    score.write_text(band(), encoding="utf-8")
    return pages(score, LOOKED_AT, f"1-{BARS}")


def test_each_page_holds_exactly_its_players_notes(
    harbour: tuple[list[PlayerPage], Engraved],
) -> None:
    made, engraved = harbour
    assert {page.player.part.name for page in made} == set(LOOKED_AT)
    assert len(engraved.midis) == len(made)
    for page, played in zip(made, engraved.midis, strict=True):
        name = page.player.part.name
        sounded = [note for track in smf.read(played).tracks for note in smf.notes(track)]
        assert [note.key for note in sounded] == as_written(name), name


def as_written(name: str) -> list[int]:
    """The MIDI numbers of a player's notes as they stand on the page."""
    staff = next(one for one in STAVES if name in dict(one.players))
    return [midi(pitch) - staff.chromatic for pitch in players()[name] if pitch]


RUNS = (
    "C5 D5 E5 F5 G5 F5 E5 D5 C5 E5 G5 E5 C5 G4 E4 G4",
    "A4 B4 C5 D5 E5 D5 C5 B4 A4 C5 E5 C5 A4 E4 C4 E4",
)
LOWER = (
    "C4 E4 G4 E4 C4 E4 G4 E4 C4 D4 E4 F4 G4 F4 E4 D4",
    "A3 C4 E4 C4 A3 C4 E4 C4 A3 B3 C4 D4 E4 D4 C4 B3",
)


def test_eight_busy_bars_take_three_pages_at_most() -> None:
    """Sixteenths all through, chords that change with every bar: as much as a page ever has."""
    busy = [
        part(name, [*lines] * 4, kind="16th")
        for name, lines in (("Flute", RUNS), ("Clarinet", RUNS[::-1]), ("Horn", LOWER))
    ]
    made: list[PlayerPage] = []
    make_section(
        busy,
        range(3),
        "1-8",
        USUAL,
        whole_score=False,
        paper=paper_for(Page()),
        ready=made.append,
    )
    engraved = engrave([leaves_text(made, Page(), "")])
    assert len(made) == len(engraved.pages[0]) == 3
    assert max(engraved.pages[0]) <= MOST_PAGES
    assert max(engraved.pages[0]) > 1
