"""Where everything stands in the picture of a part.

Conventions.  Every bar is equally wide, a note begins at its share of the bar and its
column reaches up to the next note, but is never wider than WIDEST.  All rows have one
scale, up to a round number that ``WITHIN`` of the notes keep to; a column that goes beyond
is cut, with a gap near its top, so that one wild leap does not flatten the rest.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from typing import Final

from drills.effort.demand import VoiceDemand
from drills.effort.suggest import HardSpot
from drills.music.lines import bar_starts
from drills.output.plot.labels import Lanes, width_of
from drills.output.plot.shapes import Anchor, Box, Ink, Line, Picture, Shape, Text
from drills.places.bar_names import completes_previous
from drills.sheets.ladder import tempo_words

WIDTH: Final = 1200
LEFT: Final = 56
RIGHT: Final = 44
TOP: Final = 66
ROW: Final = 206
"""From the top of a row to that of the next."""
HEAD: Final = 76
"""In a row over the columns: marks and tempos in two lanes, under them the ranks in two."""
LANE: Final = 18
HIGH: Final = 92
"""Of the highest column."""
CUT: Final = 10
"""How far under its top a column that goes beyond the scale has its gap."""
MOST_BARS: Final = 48
"""Bars in a row."""
NUMBER_EVERY: Final = 4
WIDEST: Final = 5.0
"""Of a column: the effort is that of the way to a note, not of holding it."""
GAP: Final = 0.5
"""Between columns, and twice as much between the lines over spots."""
WITHIN: Final = 0.98
_ROUND: Final = (1, 2, 5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 300, 500, 1000)


class _Page:
    """Turns bars and places into pixels."""

    def __init__(self, judged: VoiceDemand) -> None:
        self.judged = judged
        self.bars = judged.part.bars
        self.rows = max(1, -(-len(self.bars) // MOST_BARS))
        self.in_row = max(1, -(-len(self.bars) // self.rows))
        self.bar_width = (WIDTH - LEFT - RIGHT) / self.in_row
        efforts = sorted(demand.effort for demand in judged.demands if demand.effort)
        self.easy = judged.judgement.limits.easy
        usual = efforts[int((len(efforts) - 1) * WITHIN)] if efforts else 0.0
        wanted = max(usual, min(2 * self.easy, efforts[-1] if efforts else 0.0))
        self.scale = next((n for n in _ROUND if n >= wanted), wanted)
        self.right = WIDTH - RIGHT
        self.upper = [Lanes(2, self.right) for _ in range(self.rows)]
        """For marks and tempos, by row."""
        self.lower = [Lanes(2, self.right) for _ in range(self.rows)]
        """For ranks."""

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
            "Effort of every note in fingers a second. Shaded: hard passages by rank, in brackets "
            "where much the same comes again; black: the moves that make them hard; line: what "
            "is easy.",
            11,
        ),
        *_shades(page, spots),
        *_frames(page),
        *_limit(page),
        *_columns(page, spots),
        *_marks(page),
        *_tempos(page),
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
    """A line over each spot with its rank, and over the places that are much the same."""
    labels = []
    for rank, spot in enumerate(spots, 1):
        places = [(spot.notes, f"{rank}"), *((notes, f"({rank})") for notes in spot.elsewhere)]
        for notes, words in places:
            for number, (row, begin, end) in enumerate(_stretches(page, notes)):
                y = page.floor(row) - HIGH - 5
                yield Line(begin, y, max(end - 2 * GAP, begin + 2), y, 2)
                if not number:
                    labels.append((row, begin, words))
    for row, begin, words in sorted(labels, key=lambda label: (label[2].startswith("("), label)):
        found = page.lower[row].place(begin, width_of(words, 11))
        if found is not None:
            lane, x = found
            yield Text(x, page.floor(row) - HIGH - 9 - LANE * lane * 0.75, words, 11)


def _limit(page: _Page) -> Iterator[Shape]:
    """The easy limit, through every row."""
    if not page.scale or page.easy > page.scale:
        return
    for row in range(page.rows):
        bars = min(page.in_row, len(page.bars) - row * page.in_row)
        y = page.floor(row) - HIGH * page.easy / page.scale
        right = LEFT + page.bar_width * bars
        yield Line(LEFT, y, right, y, 1, Ink.GREY)
        yield Text(right + 5, y + 4, "easy", 10)


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


def _columns(page: _Page, spots: Sequence[HardSpot]) -> Iterator[Shape]:
    cores = {note for spot in spots for core in spot.cores for note in core.notes}
    for index, demand in enumerate(page.judged.demands):
        if not demand.effort or not page.scale:
            continue
        row, begin, end = page.note(index)
        wide = min(max(end - begin - GAP, 0.5), WIDEST)
        ink = Ink.BLACK if index in cores else Ink.GREY
        floor, high = page.floor(row), HIGH * demand.effort / page.scale
        if high <= HIGH:
            yield Box(begin, floor - high, wide, high, ink)
        else:
            yield Box(begin, floor - HIGH + CUT, wide, HIGH - CUT, ink)
            yield Box(begin, floor - HIGH, wide, CUT - 4, ink)


def _marks(page: _Page) -> Iterator[Shape]:
    """Rehearsal marks in boxes."""
    for bar in page.bars:
        row = page.row(bar.index)
        for mark in bar.marks:
            wide = 8 + width_of(mark.text, 12)
            found = page.upper[row].place(page.left(bar.index), wide)
            if found is None:
                continue
            lane, x = found
            y = page.floor(row) - HIGH - HEAD + LANE * lane
            yield Box(x, y, wide, LANE - 2, filled=False)
            yield Text(x + wide / 2, y + 12, mark.text, 12, Anchor.MIDDLE)


def _tempos(page: _Page) -> Iterator[Shape]:
    """Every tempo where it begins."""
    tempos = page.judged.tempos
    starts = bar_starts(page.judged.part)
    for start, tempo in zip(tempos.starts, tempos.tempos, strict=True):
        if not starts:
            continue
        bar = max(bisect_right(starts, start) - 1, 0)
        row, words = page.row(bar), tempo_words(tempo)
        found = page.upper[row].place(page.left(bar), width_of(words, 11))
        if found is not None:
            lane, x = found
            yield Text(x, page.floor(row) - HIGH - HEAD + LANE * lane + 12, words, 11)
