"""What a player might do with a file: the dice choose a part, a place, and a command.

Everything is done up to the content of the files, short of LilyPond and of the samples
of sound, which take long and see only what the program wrote itself.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Final

from drills.cli.describe import described
from drills.cli.ranked import ranked
from drills.jobs.request import Settings
from drills.jobs.section import SectionOutputs, SectionWanted, write_section
from drills.jobs.sheet_files import Style, render
from drills.jobs.sheets import build_sheets
from drills.jobs.sound import build_practice
from drills.jobs.sound_files import SoundOutputs, sound_files
from drills.jobs.spots import Judging, rank
from drills.music.score import Part
from drills.music.time import START
from drills.output.data import json_text, part_data, sheets_data, spots_data
from drills.places.finding import Place, written_place
from drills.reading.musicxml import open_score, read_all
from drills.rewriting.asked import How, rewriting_for
from drills.sheets.choices import Choices
from drills.sound.practice.choices import Material, PracticeChoices

_TEXTS: Final = ("ly", "musicxml", "midi")
_INSTRUMENTS: Final = ("alto saxophone", "horn in F", "trombone", "flute", "bass clarinet")
_RHYTHMS: Final = (("all", "3:1:1:2"), ("dotted",), ("bursts", "threes-across"), ())


def use(path: Path, dice: random.Random) -> str:
    """Read a file and do one thing with it; the thing's name.  Raises DrillsError."""
    parts = read_all(open_score(path))
    number = dice.randrange(len(parts))
    part = parts[number]
    place = _place(part, dice)
    kind = dice.choice(list(_WORK))
    _WORK[kind](path, part, number, place, dice)
    return kind


def _place(part: Part, dice: random.Random) -> str:
    """A bar, or a stretch of some bars, most often one with something in it."""
    busy = [bar.index for bar in part.bars if any(voice.events for voice in bar.voices)]
    first = dice.choice(busy) if busy and dice.random() < 0.9 else dice.randrange(len(part.bars))
    begin = written_place(part, Place(first, START))
    if dice.random() < 0.6:
        return begin
    last = min(first + dice.randrange(1, 4), len(part.bars) - 1)
    return f"{begin}-{written_place(part, Place(last, START))}"


def _choices(dice: random.Random) -> Choices:
    rhythms = dice.choice(_RHYTHMS)
    return Choices(rhythms=rhythms, cell_rhythms=dice.choice(((), ("dotted",))))


def _show(path: Path, part: Part, number: int, place: str, dice: random.Random) -> None:  # noqa: ARG001
    described([(number + 1, part)], str(path))
    json_text([part_data(part)])


def _sheet(path: Path, part: Part, number: int, place: str, dice: random.Random) -> None:  # noqa: ARG001
    settings = Settings(_choices(dice), hardest=dice.choice((0, 0, 2)))
    if dice.random() < 0.3:
        how = dice.choice(list(How))
        settings = replace(settings, rewriting=rewriting_for(dice.choice(_INSTRUMENTS), how))
    elif dice.random() < 0.3:
        settings = replace(settings, functions=True)
    made = build_sheets(path, [place], str(number + 1), settings)
    render(made, _TEXTS, Style(), lambda _: None)
    json_text(sheets_data(made.sheets))


def _spots(path: Path, part: Part, number: int, place: str, dice: random.Random) -> None:  # noqa: ARG001
    ranking = rank(part, Judging(), top=10)
    ranked(ranking, range(1, len(ranking.spots) + 1))
    json_text(spots_data(ranking.judged, list(enumerate(ranking.spots, 1))))


def _click(path: Path, part: Part, number: int, place: str, dice: random.Random) -> None:  # noqa: ARG001
    choices = PracticeChoices(
        material=dice.choice(((Material.SPOT,), (Material.SPOT, Material.CHORDS))),
        voices=dice.choice((("click",), ("click", "line"), ("click", "section", "chord"))),
        groove=dice.choice(("", "", "swing")),
    )
    made = build_practice(path, [place], str(number + 1), Settings(_choices(dice)), choices)
    sound_files(made, SoundOutputs(formats=("midi",)), lambda _: None)


def _section(path: Path, part: Part, number: int, place: str, dice: random.Random) -> None:  # noqa: ARG001
    outputs = SectionOutputs(path.parent / "section", ("ly", "musicxml"), force=True)
    write_section([path], SectionWanted((place,)), Settings(_choices(dice)), outputs)


_WORK: Final[dict[str, Callable[[Path, Part, int, str, random.Random], None]]] = {
    "show": _show,
    "sheet": _sheet,
    "sheet again": _sheet,
    "spots": _spots,
    "click": _click,
    "section": _section,
}
"""The commands; the sheet, which has most choices, twice."""
