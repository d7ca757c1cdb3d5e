"""The top of every ladder is the performing speed of the music.

Worked by hand.  Notes a second at the performing tempo are the beats a second times the
notes in a beat: sixteenths at quarter = 120 are 2 x 4 = 8.  At the top of a block they are
the top number times the value that it counts, divided by the length of the block's quick
notes as they are written.  Both are worked out here from what is printed: the bars of the
drills and the numbers of the ladders, not from the pace that the program keeps.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from drills.music.notes import Note, TupletBracket
from drills.music.score import Part
from drills.music.tempo import Tempo
from drills.music.time import NoteValue, TimeSignature, Tuplet, length
from drills.places.finding import find_span
from drills.sheets.blocks import Block, BlockKind
from drills.sheets.choices import Choices
from drills.sheets.drill import Drill
from drills.sheets.ladder import drill_ladder
from drills.sheets.making import make_sheet
from drills.sheets.metronome import HIGHEST, LOWEST
from drills.sheets.sheet import Sheet
from tests.music_made import bar_of, notes, part_of

F = Fraction

SPOTS = [
    # time, value of its notes, tuplet, performing tempo in its beat
    ("4/4", "quarter", "", 160),
    ("4/4", "eighth", "", 132),
    ("4/4", "16th", "", 120),
    ("4/4", "16th", "", 60),
    ("4/4", "32nd", "", 60),
    ("4/4", "32nd", "", 84),
    ("4/4", "eighth", "3:2", 112),
    ("4/4", "16th", "6:4", 72),
    ("4/4", "16th", "7:4", 66),
    ("3/4", "quarter", "", 200),
    ("3/4", "eighth", "", 144),
    ("3/4", "16th", "", 96),
    ("3/4", "32nd", "", 50),
    ("3/4", "eighth", "3:2", 120),
    ("2/2", "quarter", "", 120),
    ("2/2", "eighth", "", 112),
    ("2/2", "16th", "", 66),
    ("2/2", "eighth", "3:2", 80),
    ("6/8", "eighth", "", 126),
    ("6/8", "16th", "", 72),
    ("6/8", "32nd", "", 40),
    ("6/8", "quarter", "", 60),
    ("9/8", "eighth", "", 100),
    ("9/8", "16th", "", 60),
    ("12/8", "eighth", "", 138),
    ("12/8", "16th", "", 56),
    ("5/4", "eighth", "", 152),
    ("5/4", "16th", "", 88),
    ("5/4", "16th", "6:4", 60),
    ("5/8", "eighth", "", 300),
    ("5/8", "16th", "", 160),
    ("5/8", "32nd", "", 76),
    ("7/8", "eighth", "", 240),
    ("7/8", "16th", "", 180),
    ("7/8", "16th", "", 224),
    ("7/8", "32nd", "", 100),
    ("3/8", "eighth", "", 200),
    ("3/8", "16th", "", 120),
    ("3/8", "32nd", "", 66),
    ("3/8", "16th", "", 50),
]

RUN = [
    "C4",
    "D4",
    "E4",
    "F4",
    "G4",
    "A4",
    "B4",
    "C5",
    "D5",
    "E5",
    "F5",
    "G5",
    "A5",
    "G5",
    "F5",
    "E5",
    "D5",
    "C5",
    "B4",
    "A4",
    "G4",
    "F4",
    "E4",
    "D4",
]


def spot(time: str, kind: str, tuplet: str, bars: int = 2) -> Part:
    """Bars that are full of notes of one value."""
    signature = TimeSignature.parse(time)
    each = NoteValue(kind).length
    brackets: tuple[TupletBracket, ...] = ()
    if tuplet:
        ratio = Tuplet(*(int(n) for n in tuplet.split(":")))
        each, brackets = each * ratio.factor, (TupletBracket(ratio),)
    count = int(signature.bar_length / each)
    made = []
    for number in range(bars):
        events = []
        for index in range(count):
            name = RUN[(number * count + index) % len(RUN)]
            (note,) = _note(name, kind, index * each.quarters)
            events.append(Note(note.start, length(each.quarters), note.tones, note.value, brackets))
        made.append(bar_of(events, time))
    return part_of(made)


def _note(name: str, kind: str, start: Fraction) -> list[Note]:
    return [one for one in notes(name, kind, start) if isinstance(one, Note)]


def sheet_of(time: str, kind: str, tuplet: str, number: int, *, everything: bool) -> Sheet:
    part = spot(time, kind, tuplet)
    choices = Choices(tempo=F(number), minutes=None if everything else F(20), rhythms=("all",))
    return make_sheet(part, find_span(part, "1"), choices)


def quick(drill: Drill) -> Fraction:
    """The shortest time from one attack to the next, in quarters as written."""
    starts, at = [], F(0)
    for bar in drill.bars:
        starts += [
            at + event.start.quarters
            for event in bar.voices[0].events
            if isinstance(event, Note) and not event.tie_stop
        ]
        at += bar.length.quarters
    return min(b - a for a, b in pairwise(starts))


def speed_at_the_top(block: Block, drill: Drill) -> Fraction:
    """Notes a second."""
    ladder = block.ladder
    return ladder.rungs[-1] * ladder.beat.length.quarters / 60 / quick(drill)


@pytest.mark.parametrize(("time", "kind", "tuplet", "number"), SPOTS)
def test_every_block_ends_at_the_performing_speed(
    time: str, kind: str, tuplet: str, number: int
) -> None:
    """Of everything that can be made, and of a practice of twenty minutes."""
    sheets = [sheet_of(time, kind, tuplet, number, everything=one) for one in (True, False)]
    beat = TimeSignature.parse(time).beat.quarters
    own = NoteValue(kind).length.quarters
    if tuplet:
        actual, normal = (int(n) for n in tuplet.split(":"))
        own *= F(normal, actual)
    wanted = F(number) * beat / 60 / own
    blocks = [block for sheet in sheets for block in sheet.blocks]
    kinds = {block.kind for block in blocks}
    assert kinds >= {BlockKind.BEGIN, BlockKind.CELLS, BlockKind.RHYTHM, BlockKind.LINE}
    for block in blocks:
        rungs = block.ladder.rungs
        assert LOWEST <= rungs[0] <= rungs[-1] <= HIGHEST, block.key
        assert list(rungs) == sorted(rungs)
        for drill in block.drills:
            assert speed_at_the_top(block, drill) == wanted, (block.key, drill.label)


@pytest.mark.parametrize(
    ("time", "number", "pace", "counted", "first", "last"),
    [
        # sixteenths at quarter = 112 drilled in sixteenths: the music's own numbers
        ("4/4", 112, F(1), "quarter", F(56), F(112)),
        # the same grouped in threes: a triplet eighth is 4/3 of a sixteenth
        ("4/4", 112, F(4, 3), "quarter", F(76), F(448, 3)),
        # thirty-seconds at 60 drilled in sixteenths: twice the tempo
        ("4/4", 60, F(2), "quarter", F(60), F(120)),
        # triplet eighths at 120 drilled in eighths: 3/2 of the tempo
        ("4/4", 120, F(3, 2), "quarter", F(92), F(180)),
        # eighths at 132 in dotted eighths and sixteenths: half the tempo, counted in eighths
        ("4/4", 132, F(1, 2), "eighth", F(66), F(132)),
        # 7/8 at eighth = 180 with thirty-seconds: half the tempo
        ("7/8", 180, F(1, 2), "eighth", F(46), F(90)),
        # 5/8 at eighth = 300: past every metronome, so that quarters are counted
        ("5/8", 300, F(1), "quarter", F(76), F(150)),
        # quarter = 160 twice as fast is 320: half notes, and 80 to 160
        ("4/4", 160, F(2), "half", F(80), F(160)),
    ],
)
def test_ladders_worked_by_hand(
    time: str, number: int, pace: Fraction, counted: str, first: Fraction, last: Fraction
) -> None:
    signature = TimeSignature.parse(time)
    ladder = drill_ladder(Tempo(F(number), signature.beat), signature, pace, rungs=8, repetitions=5)
    assert (ladder.beat.kind, ladder.rungs[0], ladder.rungs[-1]) == (counted, first, last)
