"""Where everything stands in the picture of a part.

Conventions.  Every bar is equally wide, a note begins at its share of the bar and
its column reaches up to the next note, but is never wider than WIDEST.  All rows have
one scale, up to a round number at or above the highest effort.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from drills.effort.demand import VoiceDemand
from drills.effort.suggest import HardSpot
from drills.output.plot.shapes import Anchor, Box, Ink, Line, Picture, Shape, Text
from drills.places.bar_names import completes_previous

WIDTH: Final = 1200
LEFT: Final = 56
RIGHT: Final = 24
TOP: Final = 66
ROW: Final = 172
"""From the top of a row to that of the next."""
HEAD: Final = 44
"""In a row over the columns: marks, and the ranks of the spots under them."""
HIGH: Final = 92
"""Of the highest column."""
MOST_BARS: Final = 48
"""Bars in a row."""
NUMBER_EVERY: Final = 4
WIDEST: Final = 5.0
"""Of a column: the effort is that of the way to a note, not of holding it."""
GAP: Final = 0.5
"""Between columns, and twice as much between the lines over spots."""
_ROUND: Final = (1, 2, 5, 10, 20, 30, 40, 50, 60, 80, 100, 150, 200, 300, 500, 1000)


class _Page:
    """Turns bars and places into pixels."""

    def __init__(self, judged: VoiceDemand) -> None:
        self.judged = judged
        self.bars = judged.part.bars
        self.rows = max(1, -(-len(self.bars) // MOST_BARS))
        self.in_row = max(1, -(-len(self.bars) // self.rows))
        self.bar_width = (WIDTH - LEFT - RIGHT) / self.in_row
        highest = max((demand.effort for demand in judged.demands), default=0.0)
        self.scale = next((n for n in _ROUND if n >= highest), highest)

    def row(self, bar: int) -> int:
        """In which row a bar stands."""
        return bar // self.in_row

    def floor(self, row: int) -> float:
        """The y of the foot of the columns."""
        return TOP + ROW * row + HEAD + HIGH

    def left(self, bar: int) -> float:
        """The x of a bar's beginning."""
        return LEFT + self.bar_width * (bar % self.in_row)

    def note(self, index: int) -> tuple[int, float, float]:
        """The row of a note, and its column from x to x."""
        sounds = self.judged.line.sounds
        sound = sounds[index]
        bar = sound.origin.bar
        begin = self._share(index)
        following = sounds[index + 1 : index + 2]
        same_bar = following and following[0].origin.bar == bar
        end = self._share(index + 1) if same_bar else 1.0
        x = self.left(bar)
        return self.row(bar), x + begin * self.bar_width, x + max(end, begin) * self.bar_width

    def _share(self, index: int) -> float:
        """How far into its bar a note begins, from 0 to 1."""
        origin = self.judged.line.sounds[index].origin
        length = self.bars[origin.bar].length.quarters
        return min(float(origin.start.quarters / length), 1.0) if length else 0.0


def plot_page(judged: VoiceDemand, spots: Sequence[HardSpot], title: str) -> Picture:
    """The whole part with its hard spots; ``title`` is printed on top."""
    page = _Page(judged)
    shapes = (
        Text(LEFT, 26, title, 16),
        Text(
            LEFT,
            46,
            "Effort of every note in fingers a second. Grey: the hard spots by rank; "
            "in brackets where their music comes again.",
            11,
        ),
        *_shades(page, spots),
        *_frames(page),
        *_columns(page),
        *_marks(page),
        *_ranks(page, spots),
    )
    return Picture(WIDTH, TOP + ROW * page.rows, shapes)


def _stretches(page: _Page, notes: range) -> Iterator[tuple[int, float, float]]:
    """The rows that a stretch of notes lies in, with its first and last x in each."""
    found: dict[int, tuple[float, float]] = {}
    for index in notes:
        row, begin, end = page.note(index)
        low, high = found.get(row, (begin, end))
        found[row] = (min(low, begin), max(high, end))
    yield from ((row, begin, end) for row, (begin, end) in found.items())


def _shades(page: _Page, spots: Sequence[HardSpot]) -> Iterator[Shape]:
    for spot in spots:
        for row, begin, end in _stretches(page, spot.notes):
            yield Box(begin, page.floor(row) - HIGH, end - begin, HIGH, Ink.SHADE)


def _ranks(page: _Page, spots: Sequence[HardSpot]) -> Iterator[Shape]:
    """A line over each spot with its rank, and over its other places."""
    for rank, spot in enumerate(spots, 1):
        places = [(spot.notes, f"{rank}"), *((notes, f"({rank})") for notes in spot.again_notes)]
        for notes, words in places:
            for number, (row, begin, end) in enumerate(_stretches(page, notes)):
                y = page.floor(row) - HIGH - 5
                yield Line(begin, y, max(end - 2 * GAP, begin + 2), y, 2)
                if not number:
                    yield Text(begin, y - 4, words, 11)


def _frames(page: _Page) -> Iterator[Shape]:
    """Foot line, bar lines, printed numbers, and the scale of every row."""
    for row in range(page.rows):
        bars = page.bars[row * page.in_row : (row + 1) * page.in_row]
        floor, right = page.floor(row), LEFT + page.bar_width * len(bars)
        yield Line(LEFT, floor, right, floor)
        for share in (0.5, 1.0):
            y = floor - HIGH * share
            yield Line(LEFT - 4, y, LEFT, y)
            yield Text(LEFT - 7, y + 4, f"{page.scale * share:g}", 10, Anchor.END)
        yield Line(LEFT, floor - HIGH, LEFT, floor)
        for place, bar in enumerate(bars):
            x = page.left(bar.index)
            numbered = place % NUMBER_EVERY == 0 and not completes_previous(
                page.judged.part, bar.index
            )
            yield Line(x, floor, x, floor + (7 if numbered else 3))
            if numbered:
                yield Text(x + 2, floor + 16, bar.number, 10)


def _columns(page: _Page) -> Iterator[Shape]:
    for index, demand in enumerate(page.judged.demands):
        row, begin, end = page.note(index)
        high = HIGH * demand.effort / page.scale if page.scale else 0.0
        if high:
            wide = min(max(end - begin - GAP, 0.5), WIDEST)
            yield Box(begin, page.floor(row) - high, wide, high)


def _marks(page: _Page) -> Iterator[Shape]:
    """Rehearsal marks in boxes."""
    for bar in page.bars:
        x, y = page.left(bar.index), page.floor(page.row(bar.index)) - HIGH - HEAD
        for mark in bar.marks:
            wide = 8 + 8 * len(mark.text)
            yield Box(x, y, wide, 17, filled=False)
            yield Text(x + wide / 2, y + 13, mark.text, 12, Anchor.MIDDLE)
            x += wide + 4
