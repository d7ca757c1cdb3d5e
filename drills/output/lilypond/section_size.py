"""How large a section's staves are printed, and how wide and tall its music is.

Problem.  Seventeen staves one over the other, with a row of text under each,
must fit on a page and be read at a stand; a duet should not look like a score for
seventeen.  Method.  Widths and heights are estimated as for a sheet (spacing.py,
heights.py); of the sizes that a stand allows the largest is taken that needs the
fewest pages.  Where even the smallest leaves no room for all staves, the players
are divided over several systems, one group after the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil
from typing import Final

from drills.output.lilypond import spacing
from drills.output.lilypond.extents import drill_extent
from drills.output.lilypond.heights import (
    CHORD_CHARACTER,
    CHORD_GAP,
    FUNCTION_CHARACTER,
    GAP,
    HEADING,
    LABEL_ROW,
    SMALLER,
)
from drills.output.lilypond.page import Page
from drills.section.score import SectionScore, Staff

SMALLEST: Final = 11.0
"""Points of a staff that can just be read at a stand."""
COMFORTABLE: Final = 13.5
"""Points below which a staff is not made smaller only to save a page."""
_STEP: Final = 0.25

UNDER_ROW: Final = 2.6
"""Staff spaces of the functions under a staff."""
CHORDS_ROW: Final = 3.0
BETWEEN: Final = 1.0
"""From what hangs under one staff to what stands over the next."""
LABEL_CHARACTER: Final = 1.05
"""Staff spaces of a character over a bar."""
FULL_ENOUGH: Final = 0.4
"""A system whose music fills less of it than this is not stretched to the margin."""
NESTED: Final = 0.88
"""A system takes so much of its height, since what is high and what is low in neighbouring
staves seldom meets (measured)."""
LOOSE: Final = 1.35
"""A system of a section is set that much wider than in its least width."""


@dataclass(frozen=True, slots=True)
class Room:
    """What a page leaves for the music of a section."""

    page: Page
    head: float
    """Millimetres of the head on the first page."""
    foot: float
    """Millimetres of the small print after the music."""
    names: float
    """Millimetres for the names at the left."""

    def at(self, staff_size: float) -> Room:
        """The same with staves of another size."""
        return replace(self, page=replace(self.page, staff_size=staff_size))

    @property
    def line(self) -> float:
        """Staff spaces of a system's bars, their clefs and signatures included."""
        return self.page.line_width - self.page.spaces(self.names)


def staff_size(scores: Sequence[SectionScore], room: Room) -> float:
    """Points of the staves of a section."""
    asked = room.page.staff_size
    steps = int((asked - SMALLEST) / _STEP) if asked > SMALLEST else 0
    sizes = [asked - _STEP * step for step in range(steps + 1)]
    fitting = [size for size in sizes if all(_fits(score, room.at(size)) for score in scores)]
    if not fitting:
        return sizes[-1]
    good = [size for size in fitting if size >= COMFORTABLE] or fitting[:1]
    if not room.page.grows:
        good = fitting[:1]
    pages = {size: _pages(scores, room.at(size)) for size in good}
    return min(good, key=lambda size: (pages[size], -size))


def divided(score: SectionScore, room: Room) -> tuple[SectionScore, ...]:
    """The score, or its players in groups of about equal number that each fit on a page."""
    count = len(score.staves)
    for groups in range(1, count + 1):
        edges = [round(count * group / groups) for group in range(groups + 1)]
        parts = [replace(score, staves=score.staves[a:b]) for a, b in pairwise(edges)]
        if all(_fits(part, room) for part in parts) or groups == count:
            return tuple(
                replace(part, heading=f"{score.heading}, {_players(a, b)}") if groups > 1 else part
                for part, (a, b) in zip(parts, pairwise(edges), strict=True)
            )
    return (score,)


def _players(first: int, last: int) -> str:
    return f"players {first + 1} to {last}" if last - first > 1 else f"player {last}"


def _fits(score: SectionScore, room: Room) -> bool:
    """True where a system fits on a page, the head included."""
    return room.head + HEADING + system_height(score, room.page) <= room.page.height


def _pages(scores: Sequence[SectionScore], room: Room) -> int:
    """About how many pages the scores take."""
    pages, left = 1, room.page.height - room.head
    for score in scores:
        height = NESTED * system_height(score, room.page)
        for number in range(systems(score, room.line)):
            needed = height + HEADING * (number == 0)
            if needed > left:
                pages, left = pages + 1, room.page.height
            left -= needed
    return pages + (room.foot > left)


def system_height(score: SectionScore, page: Page) -> float:
    """Millimetres of a system with all its staves and rows."""
    spaces = CHORDS_ROW * bool(score.chords) + LABEL_ROW * any(score.bar_labels)
    for staff in score.staves:
        above, below = drill_extent(staff.bars)
        spaces += above + below + UNDER_ROW * bool(staff.under) + BETWEEN
    return GAP + page.staff_space * spaces


def systems(score: SectionScore, line: float) -> int:
    """About how many systems the bars of a score take."""
    if not score.staves or not score.staves[0].bars:
        return 0
    room = line - start_width(score.staves)
    return max(1, ceil(LOOSE * sum(bar_widths(score)) / max(room, 1.0)))


def is_short(score: SectionScore, line: float) -> bool:
    """True where the music would have to be stretched to fill a line."""
    room = line - start_width(score.staves)
    return LOOSE * sum(bar_widths(score)) < FULL_ENOUGH * room


def start_width(staves: Sequence[Staff]) -> float:
    """Staff spaces of the widest clef, key and time at the beginning of a system."""
    return max(spacing.staff_start_width(staff.bars[0]) for staff in staves)


def bar_widths(score: SectionScore) -> list[float]:
    """What each bar needs for the notes and the words of all staves."""
    widths = [
        max(spacing.bars_width([staff.bars[index]]) for staff in score.staves) + spacing.BAR_LINE
        for index in range(len(score.staves[0].bars))
    ]
    if score.repeated:
        for end in score.ends:
            widths[end] += spacing.REPEAT_SIGNS
    for texts in _texts(score):
        widths = [max(pair) for pair in zip(widths, texts, strict=True)]
    return widths


def _texts(score: SectionScore) -> list[list[float]]:
    """The widths of each row of words, bar by bar."""
    count = len(score.staves[0].bars)
    chords = [0.0] * count
    for chord in score.chords:
        length = len(chord.text) + SMALLER * (len(chord.remark) + bool(chord.remark))
        chords[chord.bar] += CHORD_CHARACTER * length + CHORD_GAP
    labels = [LABEL_CHARACTER * len(text) + CHORD_GAP for text in score.bar_labels]
    rows = [chords, labels or chords]
    for staff in score.staves:
        row = [0.0] * count
        for one in staff.under:
            length = len(one.text) + SMALLER * (len(one.cents) + bool(one.cents))
            row[one.bar] += FUNCTION_CHARACTER * length + 1
        rows.append(row)
    return rows
