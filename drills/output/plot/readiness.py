"""How far the passages of a project are, as a picture: days across, share of the tempo up.

Every passage is a staircase of what was reached, with its number at the end; today and the
performing tempo are marked, and what is foretold stands as a bar on the day of the rehearsal.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from drills.output.plot.shapes import Anchor, Box, Ink, Line, Picture, Shape, Text

WIDTH: Final = 1000
LEFT: Final = 64
RIGHT: Final = 60
TOP: Final = 60
HIGH: Final = 420
LEGEND: Final = 18
LOWEST: Final = 0.4
HIGHEST: Final = 1.1
MOST_DATES: Final = 10


@dataclass(frozen=True, slots=True)
class Way:
    """One passage: its days and what was reached on them, as shares of its tempo."""

    name: str
    reached: tuple[tuple[date, float], ...]
    foretold: tuple[float, float] | None = None
    """From where to where it may be on the day of the rehearsal."""


def readiness_page(ways: Sequence[Way], today: date, rehearsal: date, title: str) -> Picture:
    """The picture; days before the first entry are left out."""
    first = min([today, *(day for way in ways for day, _ in way.reached[:1])])
    page = _Page(first, max(rehearsal, today))
    shapes = (
        Text(LEFT, 26, title, 16),
        Text(LEFT, 44, "What was reached, as a share of the performing tempo", 11),
        *_frame(page, today, rehearsal),
        *(
            shape
            for number, way in enumerate(ways, 1)
            for shape in _way(page, number, way, rehearsal)
        ),
        *(
            Text(LEFT, TOP + HIGH + 44 + LEGEND * number, f"{number}  {way.name}", 12)
            for number, way in enumerate(ways, 1)
        ),
    )
    return Picture(WIDTH, TOP + HIGH + 60 + LEGEND * len(ways), shapes)


@dataclass(frozen=True, slots=True)
class _Page:
    first: date
    last: date

    def x(self, day: date) -> float:
        """Where a day stands."""
        span = max(1, (self.last - self.first).days)
        return LEFT + (WIDTH - LEFT - RIGHT) * (day - self.first).days / span

    def y(self, share: float) -> float:
        """Where a share stands."""
        inside = max(LOWEST, min(HIGHEST, share))
        return TOP + HIGH * (HIGHEST - inside) / (HIGHEST - LOWEST)


def _frame(page: _Page, today: date, rehearsal: date) -> Iterator[Shape]:
    right = WIDTH - RIGHT
    for percent in range(40, 111, 10):
        y = page.y(percent / 100)
        goal = percent == 100
        yield Line(LEFT, y, right, y, 2 if goal else 1, Ink.BLACK if goal else Ink.SHADE)
        yield Text(LEFT - 8, y + 4, f"{percent} %", 11, Anchor.END)
    count = (page.last - page.first).days
    for number in range(0, count + 1, max(1, -(-count // MOST_DATES))):
        day = date.fromordinal(page.first.toordinal() + number)
        yield Text(page.x(day), TOP + HIGH + 18, f"{day.day}/{day.month}", 11, Anchor.MIDDLE)
    for day, words in ((today, "today"), (rehearsal, "rehearsal")):
        yield Line(page.x(day), TOP - 6, page.x(day), TOP + HIGH, 1, Ink.GREY)
        yield Text(page.x(day), TOP - 10, words, 11, Anchor.MIDDLE)


def _way(page: _Page, number: int, way: Way, rehearsal: date) -> Iterator[Shape]:
    for (day, share), (following, higher) in zip(way.reached, way.reached[1:], strict=False):
        yield Line(page.x(day), page.y(share), page.x(following), page.y(share), 2)
        yield Line(page.x(following), page.y(share), page.x(following), page.y(higher), 2)
    if way.reached:
        day, share = way.reached[-1]
        yield Box(page.x(day) - 2, page.y(share) - 2, 4, 4)
        yield Text(page.x(day) + 6, page.y(share) - 4, str(number), 12)
    if way.foretold is not None:
        x = page.x(rehearsal) - 3 + 5 * (number % 8)
        low, high = page.y(way.foretold[0]), page.y(way.foretold[1])
        yield Box(x, high, 3, max(2.0, low - high), Ink.GREY)
        yield Text(x + 1, low + 12, str(number), 10, Anchor.MIDDLE, Ink.GREY)
