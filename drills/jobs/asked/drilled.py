"""What is drilled, and how: the rows that fill ``Choices`` of drills/sheets/choices.py."""

from __future__ import annotations

from typing import Final

from drills.jobs.asked import values
from drills.jobs.asked.choice import Choice, Heading, Kind
from drills.sheets.cells import Order
from drills.sheets.choices import Choices
from drills.sheets.drill import Ending
from drills.sheets.ladder import MOST_RUNGS
from drills.sheets.rhythms import RHYTHMS

_USUAL: Final = Choices()
_SHEETS: Final = ("sheet", "click", "section", "book")
_MADE: Final = ("sheet", "click", "take", "section", "book")
_DRILLED: Final = Heading.DRILLED

_RUNGS: Final = Choice(
    "rungs",
    "Metronome numbers of the ladder.",
    Heading.TEMPO,
    ("sheet", "take", "section", "book"),
    "drill",
    kind=Kind.COUNT,
    unit="COUNT",
    limits=(2, MOST_RUNGS),
    usual=str(_USUAL.rungs),
    data="sheet:sheets.ladder.rungs",
)

CHOICES: Final = (
    Choice(
        "sizes",
        'Notes in a cell, 2 to 8, or "none" for no cells.',
        _DRILLED,
        _MADE,
        "drill",
        unit="NUMBERS",
        usual=",".join(map(str, _USUAL.sizes)),
        read=values.read_sizes,
        first=("section", "book"),
        data="sheet:sheets.cells.after_merging.size",
    ),
    Choice(
        "rhythm",
        "A rhythm for the whole line. Others are swung, bursts, one-long-in-four, all and none, "
        "or write proportions such as 3:1:1:2. Give it once for each rhythm.",
        _DRILLED,
        _MADE,
        "drill",
        "rhythms",
        unit="NAME",
        usual=_USUAL.rhythms,
        words=tuple(RHYTHMS),
        read=values.read_rhythms,
        several=True,
        first=("sheet", "section", "book"),
        data="sheet:sheets.drills.rhythm",
    ),
    Choice(
        "order",
        "Order of the cells: music, as they come; back, from the last to the first; hardest, the "
        "hardest moves first; grow, each hard move alone and then growing.",
        _DRILLED,
        _MADE,
        "drill",
        kind=Kind.WORD,
        unit="ORDER",
        usual=_USUAL.order.value,
        words=tuple(order.value for order in Order),
        read=Order,
        data="sheet:sheets.cells.after_merging",
    ),
    Choice(
        "cell_end",
        "After the last note of a cell: hold it, rest, or go round without a gap.",
        _DRILLED,
        _MADE,
        "drill",
        "ending",
        kind=Kind.WORD,
        unit="WAY",
        usual=_USUAL.ending.value,
        words=tuple(ending.value for ending in Ending),
        read=Ending,
        data="sheet:sheets.drills.bars",
    ),
    Choice(
        "turn",
        "Begin the cycle of each rhythm this many notes later.",
        _DRILLED,
        _MADE,
        "drill",
        kind=Kind.COUNT,
        unit="NOTES",
        limits=(0, 63),
        usual=str(_USUAL.turn),
        data="sheet:sheets.drills.bars",
    ),
    Choice(
        "landing",
        "Take in the note that the spot leads to.",
        _DRILLED,
        _MADE,
        "drill",
        kind=Kind.SWITCH,
        usual=_USUAL.landing,
        data="sheet:sheets.spot.landing",
    ),
    Choice(
        "approach",
        "Take in the note before the spot.",
        _DRILLED,
        _MADE,
        "drill",
        kind=Kind.FLAG,
        data="sheet:sheets.spot.approach",
    ),
    Choice(
        "value",
        "Note value of the even line, such as eighth.",
        _DRILLED,
        _MADE,
        "drill",
        unit="NOTE",
        usually="the commonest in the spot",
        words=tuple(values.VALUE_NAMES),
        read=values.read_value,
        data="sheet:sheets.drills.bars",
    ),
    Choice(
        "cell_value",
        "Note value of the cells.",
        _DRILLED,
        _MADE,
        "drill",
        unit="NOTE",
        usually="that of the music",
        words=tuple(values.VALUE_NAMES),
        read=values.read_value,
        data="sheet:sheets.drills.bars",
    ),
    Choice(
        "cell_rhythm",
        "Write the cells in this rhythm too.",
        _DRILLED,
        _MADE,
        "drill",
        "cell_rhythms",
        unit="NAME",
        words=tuple(RHYTHMS),
        read=values.read_rhythms,
        several=True,
        data="sheet:sheets.drills.rhythm",
    ),
    Choice(
        "same_pitch",
        "Keep cells that only repeat one pitch (tonguing).",
        _DRILLED,
        _MADE,
        "drill",
        "keep_still",
        kind=Kind.FLAG,
        data="sheet:sheets.cells",
    ),
    Choice(
        "start",
        "Slowest metronome number.",
        Heading.TEMPO,
        _MADE,
        "drill",
        unit="NUMBER",
        usually="the tempo up to which the spot is easy",
        read=values.read_number,
        data="sheet:sheets.ladder.rungs",
    ),
    _RUNGS,
    _RUNGS.but("click", limits=(1, MOST_RUNGS), data="practice:spots.files.stages.rung"),
    Choice(
        "student",
        "Leave room for the student's name and date.",
        Heading.PAGE,
        _SHEETS,
        "drill",
        kind=Kind.FLAG,
    ),
    Choice(
        "teacher",
        "Leave room for the teacher's word.",
        Heading.PAGE,
        _SHEETS,
        "drill",
        kind=Kind.FLAG,
    ),
)
