"""Several parts on one exact time line; see the package's docstring."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from drills.music.grid import GridBar
from drills.music.lines import bar_starts
from drills.music.score import Part
from drills.music.time import START, Length, Position
from drills.places.aligning.differences import differences
from drills.places.aligning.pairing import Unit, paired, units_of
from drills.places.bar_names import bar_name, completes_previous
from drills.places.finding import Place, Span, written_place
from drills.places.words import place_words, stretch_words


class Piece(NamedTuple):
    """A bar of one part on the common time line."""

    start: Fraction
    """Quarters on the common time line."""
    end: Fraction
    """Where its music ends; a short export may leave time up to the next bar."""
    own: Fraction
    """Where it begins in the part, in quarters from the part's start."""


@dataclass(frozen=True, slots=True, eq=False)
class Aligned:
    """Parts whose bars share one time line; made by ``align``."""

    parts: tuple[Part, ...]
    bars: tuple[GridBar, ...]
    """The common bars; as long as the longest bar that any part has there."""
    columns: tuple[tuple[tuple[int, ...], ...], ...]
    """For each common bar the indices of each part's own bars in it: none where the part
    lacks it, several where the part splits it."""
    pieces: tuple[tuple[Piece, ...], ...]
    """For each part where each of its bars lies."""
    homes: tuple[tuple[int, ...], ...]
    """For each part the common bar of each of its bars."""
    starts: tuple[Fraction, ...]
    """Where each common bar begins."""
    remarks: tuple[str, ...] = ()
    """What did not fit, in a player's words."""

    @property
    def end(self) -> Fraction:
        """Where the last bar ends."""
        return self.bars[-1].end if self.bars else Fraction(0)

    def time_of(self, part: int, place: Place) -> Fraction:
        """Where a place of a part lies; the end of a bar is the end of the common bar."""
        bar = self.parts[part].bars[place.bar]
        home = self.homes[part][place.bar]
        if (
            place.start.quarters >= bar.length.quarters
            and place.bar == self.columns[home][part][-1]
        ):
            return self.bars[home].end
        return self.pieces[part][place.bar].start + place.start.quarters

    def place_at(self, part: int, time: Fraction) -> Place | None:
        """The place of a part at a time; None where the part has no bar there.

        A time that a shorter bar of the part does not reach is the nearer end of
        that bar.
        """
        at = self.bar_at(time)
        own = () if at is None else self.columns[at][part]
        if not own:
            return None
        pieces = self.pieces[part]
        bar = next((index for index in reversed(own) if pieces[index].start <= time), own[0])
        inside = max(time - pieces[bar].start, Fraction(0))
        return Place(bar, Position(min(inside, self.parts[part].bars[bar].length.quarters)))

    def bar_at(self, time: Fraction) -> int | None:
        """Index of the common bar that a time falls into; None outside the music."""
        if not 0 <= time < self.end:
            return None
        return bisect_right(self.starts, time) - 1

    def common(self, part: int, own: Fraction, *, ending: bool = False) -> Fraction:
        """The common time of a place given in quarters from the part's start.

        ``ending``: something ends there, so that at a bar line the bar before counts.
        """
        pieces = self.pieces[part]
        cut = bisect_left if ending else bisect_right
        piece = pieces[max(cut(pieces, own, key=lambda piece: piece.own) - 1, 0)]
        return piece.start + own - piece.own

    def own(self, part: int, low: Fraction, high: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
        """A stretch of common time as stretches of the part's own time, bar by bar.

        What lies in bars that the part has not is left out.
        """
        pieces = self.pieces[part]
        first = bisect_right(pieces, low, key=lambda piece: piece.end)
        for piece in pieces[first:]:
            if piece.start >= high:
                break
            start, end = max(low, piece.start), min(high, piece.end)
            if start < end:
                yield piece.own + start - piece.start, piece.own + end - piece.start

    def times_of(self, part: int, span: Span) -> tuple[Fraction, Fraction]:
        """Where a stretch of a part begins and ends."""
        return self.time_of(part, span.first), self.time_of(part, span.end)

    def span_in(self, part: int, span: Span, of: int) -> Span | None:
        """A stretch of part ``of`` in another part; None where that one has no bar in it."""
        if part == of:
            return span
        low, high = self.times_of(of, span)
        return self.span_between(part, low, high, includes_end=span.includes_end)

    def span_between(
        self, part: int, low: Fraction, high: Fraction, *, includes_end: bool
    ) -> Span | None:
        """The stretch of a part between two times, in the part's own numbers and marks."""
        bars = self._bars_between(part, low, high, includes_end=includes_end)
        if not bars:
            return None
        first = self.place_at(part, low) or Place(bars[0], START)
        if first.bar < bars[0]:
            first = Place(bars[0], START)
        end = self.place_at(part, high) if includes_end else None
        if end is not None:
            return _span(self.parts[part], first, end, includes_end=True)
        last = bars[-1]
        inside = min(
            high - self.pieces[part][last].start, self.parts[part].bars[last].length.quarters
        )
        return _span(self.parts[part], first, Place(last, Position(inside)), includes_end=False)

    def _bars_between(
        self, part: int, low: Fraction, high: Fraction, *, includes_end: bool
    ) -> list[int]:
        """The part's bars with time between the two, that of an end that counts too."""
        pieces = self.pieces[part]
        first = bisect_right(pieces, low, key=lambda piece: piece.end)
        found = []
        for bar in range(first, len(pieces)):
            if pieces[bar].start > high or (pieces[bar].start == high and not includes_end):
                break
            found.append(bar)
        return found


def _span(part: Part, first: Place, end: Place, *, includes_end: bool) -> Span:
    """A span as find_span would make it, with the text that find_span reads."""
    if includes_end:
        asked = f"{written_place(part, first)}-{written_place(part, end, always_beat=True)}"
        return Span(first, end, True, asked, _words(part, first, (end.bar, end.start)))
    bar = part.bars[end.bar]
    begins = written_place(part, first)
    if end.start.quarters < bar.length.quarters:
        beat = first.bar == end.bar and end.start - first.start == bar.time.beat
        whole = written_place(part, first, always_beat=True)
        asked = whole if beat else f"{begins}-{written_place(part, end, always_beat=True)}"
        words = place_words(part, first.bar, first.start)
        if not beat:
            words = _words(part, first, (end.bar, end.start))
        return Span(first, end, False, asked, words)
    home, name = _home(part, end.bar), bar_name(part, end.bar)
    if first == Place(home, START):
        return Span(first, end, False, begins, place_words(part, first.bar, None))
    ends = written_place(part, Place(home, START))
    if bar_name(part, first.bar) == name and first.start - START + bar.time.beat >= bar.length:
        return Span(first, end, False, begins, place_words(part, first.bar, first.start))
    return Span(first, end, False, f"{begins}-{ends}", _words(part, first, (end.bar, None)))


def _words(part: Part, first: Place, last: tuple[int, Position | None]) -> str:
    whole = first.start == START and not completes_previous(part, first.bar)
    return stretch_words(part, (first.bar, None if whole else first.start), last)


def _home(part: Part, bar: int) -> int:
    """The bar that carries the number of one that may only complete it."""
    while bar > 0 and completes_previous(part, bar):
        bar -= 1
    return bar


# --- making ----------------------------------------------------------------------


def align(parts: Sequence[Part]) -> Aligned:
    """The bars of several parts on one time line, which begins with the first bar of any.

    The longest part (of equals the first) is laid out; each other part is laid
    against what is there, and a bar that nobody had is put in.
    """
    units = [units_of(part.bars) for part in parts]
    order = sorted(range(len(parts)), key=lambda index: (-len(units[index]), index))
    rows: list[dict[int, Unit]] = []
    for part in order:
        ahead = [min(row.items())[1] for row in rows]
        merged = []
        for at, own in paired(ahead, units[part]):
            row = {} if at is None else rows[at]
            merged.append(row if own is None else row | {part: units[part][own]})
        rows = merged
    return _laid(tuple(parts), rows)


def _laid(parts: tuple[Part, ...], rows: Sequence[dict[int, Unit]]) -> Aligned:
    bars, at = [], Fraction(0)
    for row in rows:
        offset = min(unit.offset for unit in row.values())
        end = max(unit.offset + unit.length for unit in row.values())
        bars.append(GridBar(at, end - offset, min(row.items())[1].time, offset))
        at = bars[-1].end
    columns = tuple(
        tuple(row[part].bars if part in row else () for part in range(len(parts))) for row in rows
    )
    homes = tuple(
        tuple(home for home, column in enumerate(columns) for _ in column[part])
        for part in range(len(parts))
    )
    pieces = tuple(
        tuple(
            _piece(bars[home], part.bars[index].offset, part.bars[index].length, own)
            for index, (home, own) in enumerate(zip(homes[number], bar_starts(part), strict=True))
        )
        for number, part in enumerate(parts)
    )
    starts = tuple(bar.start for bar in bars)
    remarks = tuple(
        remark for part in range(len(parts)) for remark in differences(parts, rows, part)
    )
    return Aligned(parts, tuple(bars), columns, pieces, homes, starts, remarks)


def _piece(bar: GridBar, offset: Length, length: Length, own: Fraction) -> Piece:
    start = bar.start + offset.quarters - bar.offset.quarters
    return Piece(start, start + length.quarters, own)
