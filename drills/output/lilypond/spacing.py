"""How many cells fit on a line: a small estimate of widths, and balanced rows.

Problem.  LilyPond would break a row of cells wherever the music lets it, which
may leave one lone cell in the last row.  Method.  The width of each cell is
estimated from its note values, accidentals and label; the smallest number of
rows that holds them is filled as evenly as the order allows.  All widths are in
staff spaces.  The figures were measured on LilyPond's own tight spacing.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from drills.music.notes import Event, Note
from drills.music.pitch import KeySignature, Pitch, Tone
from drills.music.score import Bar
from drills.music.time import TimeSignature
from drills.notation.measured import measured_once
from drills.output.lilypond.filling import balanced_rows, filled_rows
from drills.sheets.drill import Drill

HEAD: Final = 1.4
"""A note head with the least room after it."""
PER_DOUBLING: Final = 0.5
"""More room for each doubling of the length beyond a sixteenth."""
ACCIDENTAL: Final = 1.1
DOT: Final = 0.7
GRACE: Final = 1.5
FLAG: Final = 0.6
REPEAT_SIGNS: Final = 3.6
"""A repeat sign at either end, and the room before the first note."""
FIRST_REPEAT: Final = 1.5
"""What the repeat signs of a row take besides, since its first is shared with no other cell."""
CROWDED: Final = 1.17
"""Of a cell of more than FEW notes, how much LilyPond's least is wider than its notes apart."""
FEW: Final = 6
NARROWEST_CELL: Final = 13.2
"""Narrower cells would run together before the eye."""
WIDEST_CELL: Final = 26.0
"""Wider cells would tear their notes apart."""
LOOSE_CELL: Final = 1.2
"""A cell in a lone row has that much more than its least width."""
CELLS_FULL: Final = 0.9
"""A row of cells that fills more of the line is stretched to the margin."""
LABEL_RANGES: Final = 2
"""Places of a merged cell that its label names; of more, it names one and counts the rest."""
LABEL_CHARACTER: Final = 0.95
"""One character of a number range over a cell."""
BAR_LINE: Final = 1.5
"""A bar line and the room around it."""
DENSITY: Final = 1.4
"""A line of music is set that much wider than in its least width, or more."""
AIRY: Final = 1.85
"""The same on a sheet that has room."""
_MOVE: Final = 2
"""Notes of the cell with which one that grows begins."""
_HALVINGS: Final = 20
CLEF: Final = 4.0
KEY_SIGN: Final = 1.0
TIME_SIGNATURE: Final = 3.0
"""A time signature of one figure over one figure, at the beginning of a line or within it."""
FIGURE: Final = 1.3
"""One more figure over one of them."""


def event_width(event: Event, signs: int) -> float:
    """What one note or rest with so many accidentals beside one another needs."""
    width = HEAD + ACCIDENTAL * signs
    ratio = float(event.length.quarters) * 4  # in sixteenths
    while ratio >= 2:
        width += PER_DOUBLING
        ratio /= 2
    width += DOT * (event.value.dots if event.value else 0)
    if isinstance(event, Note):
        width += GRACE * (len(event.graces) + len(event.graces_after))
        width += FLAG * (event.beam is None and event.value.flags > 0)
    return width


class _Accidentals:
    """Which notes of a bar need an accidental: those that differ from what is in force."""

    __slots__ = ("_in_force", "_key")

    def __init__(self, key: KeySignature) -> None:
        self._key = key
        self._in_force: dict[tuple[str, int], Fraction] = {}

    def of(self, event: Event) -> int:
        """How many accidentals stand beside one another before a note and its grace notes."""
        if not isinstance(event, Note):
            return 0
        graces = sum(self._need(grace.tones) for grace in event.graces)
        own = self._need(event.tones) and not event.tie_stop
        return graces + own + sum(self._need(grace.tones) for grace in event.graces_after)

    def _need(self, tones: Sequence[Tone]) -> bool:
        """True where one of the tones has an accidental, which holds to the end of the bar."""
        found = False
        for tone in tones:
            if isinstance(tone, Pitch):
                place = (tone.step, tone.octave)
                found |= self._in_force.get(place, self._key.alter_of(tone.step)) != tone.alter
                self._in_force[place] = tone.alter
        return found


def bars_width(bars: Sequence[Bar]) -> float:
    """What bars need without their outer bar lines."""
    return sum(_bar_width(bar) for bar in bars) + BAR_LINE * (len(bars) - 1)


def _bar_width(bar: Bar) -> float:
    """What the first voice of a bar needs between its bar lines."""
    signs = _Accidentals(bar.key)
    return sum(
        event_width(event, signs.of(event)) for voice in bar.voices[:1] for event in voice.events
    )


@measured_once
def whole_width(bars: tuple[Bar, ...]) -> float:
    """What the bars of a drill need together."""
    return bars_width(bars)


@measured_once
def _widths(bars: tuple[Bar, ...]) -> list[float]:
    """What each bar of a drill needs by itself."""
    return [bars_width([bar]) for bar in bars]


def cell_width(bars: tuple[Bar, ...], label: str) -> float:
    """What a repeated cell needs with its repeat signs and the number range above."""
    music = whole_width(bars) * (CROWDED if len(bars[0].voices[0].events) > FEW else 1)
    inner = max(music, LABEL_CHARACTER * len(label))
    return max(NARROWEST_CELL, REPEAT_SIGNS + inner)


def staff_start_width(bar: Bar) -> float:
    """Clef, key and time at the beginning of a line."""
    return _clef_and_key(bar) + time_width(bar.time)


def _clef_and_key(bar: Bar) -> float:
    """The same where no time signature is printed."""
    return CLEF + KEY_SIGN * (len(bar.key.custom) or abs(bar.key.fifths))


def time_width(time: TimeSignature) -> float:
    """A time signature with the room around it; compound counts are read as one figure each."""
    counts = "+".join(map(str, time.counts))
    return TIME_SIGNATURE + FIGURE * (max(len(counts), len(str(time.unit))) - 1)


def cell_rows(drills: Sequence[Drill], line_width: float) -> tuple[int, ...]:
    """How many cells of one size go on each row of a line that is so wide.

    What grows around another move begins a row, and so does another clef or key, which
    then stands where it is read: at the beginning of a line, before the repeat sign.
    """
    room = line_width - _cells_start(drills)
    starts = [0, *(n for n in range(1, len(drills)) if _begins_row(drills[n - 1], drills[n]))]
    return tuple(
        size
        for low, high in pairwise([*starts, len(drills)])
        for size in balanced_rows(_row_widths(drills[low:high]), room)
    )


def _begins_row(before: Drill, drill: Drill) -> bool:
    last, first = before.bars[-1], drill.bars[0]
    grows = drill.size < before.size and drill.size == _MOVE
    return grows or (last.clef, last.key) != (first.clef, first.key)


def _row_widths(drills: Sequence[Drill]) -> list[float]:
    """What each cell of a row needs."""
    return [cell_width(drill.bars, short_label(drill)) for drill in drills]


def cell_unit(groups: Sequence[Sequence[Drill]], line_width: float) -> float:
    """The width of a cell on a sheet, so that cells of every size are about as wide.

    What a cell has in the fullest row, but no more than WIDEST_CELL.
    """
    units = [
        (line_width - _cells_start(drills)) / max(cell_rows(drills, line_width))
        for drills in groups
        if drills
    ]
    return min([*units, WIDEST_CELL])


def cells_width(drills: Sequence[Drill], unit: float, line_width: float) -> float:
    """How wide the rows of a group are: a lone row ends before the margin.

    Every cell has ``unit``, or what it needs where that is more; a row that is
    nearly full, and several rows, take the whole line.
    """
    if len(cell_rows(drills, line_width)) > 1:
        return line_width
    needed = [LOOSE_CELL * width for width in _row_widths(drills)]
    wanted = _cells_start(drills) + sum(max(unit, one) for one in needed)
    return wanted if wanted < CELLS_FULL * line_width else line_width


def _cells_start(drills: Sequence[Drill]) -> float:
    """What stands before the first cell of a row, its repeat sign wider than further ones."""
    return max(_clef_and_key(drill.bars[0]) for drill in drills) + FIRST_REPEAT


def line_rows(
    bars: tuple[Bar, ...], line_width: float, density: float = DENSITY
) -> tuple[int, ...]:
    """How many bars of a line go on each row, so that every line is about as dense.

    The fewest rows that hold the bars at ``density`` times their least width; of
    the ways to fill them, the one whose fullest row is the least full.
    """
    room = line_width - staff_start_width(bars[0])
    widths = [density * width + BAR_LINE for width in _widths(bars)]
    for rows in range(1, len(bars)):
        low, high = max(widths), sum(widths)
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (
                (low, middle) if len(filled_rows(widths, middle)) <= rows else (middle, high)
            )
        if high <= room:
            return filled_rows(widths, high)
    return (1,) * len(bars)


def short_label(drill: Drill) -> str:
    """The label of a cell, in which ``1-2`` reads as a range, and of many places one is named."""
    ranges = drill.label.split(", ")
    kept = ranges if len(ranges) <= LABEL_RANGES else ranges[: LABEL_RANGES - 1]
    text = re.sub(r"(?<=\d)-(?=\d)", "–", ", ".join(kept))  # noqa: RUF001 - an en dash for a range
    return text if len(kept) == len(ranges) else f"{text} (+{len(ranges) - len(kept)})"
