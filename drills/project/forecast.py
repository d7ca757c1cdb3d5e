"""Where a passage will stand on the day of the rehearsal, and how sure that is.

Problem.  Three to ten numbers of a log are few, one of them may be a slip, and progress gets
slower the further it has come.  Method.  Against the logarithm of the count of days with a
passage, progress is close to a line (the power law of practice: Newell and Rosenbloom 1981;
that single learners follow an exponential as well or better, Heathcote, Brown and Mewhort
2000, Psychonomic Bulletin and Review 7:185, bends it little over so few days).  The line is
fitted by the median of all slopes between two days (Theil 1950, Sen 1968, Journal of the
American Statistical Association 63:1379), which up to 29 per cent of wild values do not move;
the slope is then drawn towards that of all passages of the project, the more the fewer days
there are.  The interval is that of a straight line, with a spread estimated from all passages
together, and wider by a share of the distance that is foretold.

Conventions.  Everything is in numbers of the metronome (scale.py).  The interval is to hold
the truth in eight of ten cases; bench/projects.py measures whether it does, on simulated
players, for whom the constants below were chosen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import log, sqrt
from statistics import median
from typing import Final

from drills.project.history import History
from drills.project.scale import number_at, place

ENOUGH: Final = 3
"""Days with a number before anything is foretold."""
USUAL_SPREAD: Final = 1.5
"""Numbers by which a day is off its line, before there is a log to tell (our choice)."""
USUAL_WEIGHT: Final = 4
"""Days that the usual spread and the common slope count for."""
DRIFT: Final = 0.6
"""Part of the distance foretold by which it may be off besides."""
EIGHT_OF_TEN: Final = 1.2816
"""Standard deviations to either side that hold 80 per cent of a normal distribution."""
MAD: Final = 1.4826
"""Standard deviations in a median absolute deviation, for a normal distribution."""


@dataclass(frozen=True, slots=True)
class Forecast:
    """A passage on the day of the rehearsal, in beats a minute."""

    low: Fraction
    """One in ten is slower than this."""
    middle: Fraction
    high: Fraction
    """One in ten is faster than this."""


@dataclass(frozen=True, slots=True)
class _Line:
    """Places on the scale against the logarithm of the count of days."""

    at: tuple[float, ...]
    places: tuple[float, ...]
    slope: float


def forecasts(
    known: Mapping[str, History], more_days: Mapping[str, int]
) -> dict[str, Forecast | None]:
    """For every passage with a history its forecast after ``more_days`` more days with it.

    None where there are too few numbers to say anything.
    """
    lines = {name: _line(history) for name, history in known.items()}
    fitted = {name: line for name, line in lines.items() if line is not None}
    common = median(line.slope for line in fitted.values()) if fitted else 0.0
    drawn = {name: _drawn(line, common) for name, line in fitted.items()}
    spread = _spread(tuple(drawn.values()))
    return {
        name: _ahead(drawn[name], more_days.get(name, 0), len(history.days), spread)
        if name in drawn
        else None
        for name, history in known.items()
    }


def theil_sen(at: Sequence[float], values: Sequence[float]) -> float:
    """The median of the slopes between any two points; 0 where all stand at one place."""
    slopes = [
        (values[j] - values[i]) / (at[j] - at[i])
        for i, j in combinations(range(len(at)), 2)
        if at[i] != at[j]
    ]
    return median(slopes) if slopes else 0.0


def _line(history: History) -> _Line | None:
    rows = [(log(n), day.number) for n, day in enumerate(history.days, 1)]
    known = [(at, place(number)) for at, number in rows if number is not None]
    if len(known) < ENOUGH:
        return None
    at, places = zip(*known, strict=True)
    return _Line(at, places, theil_sen(at, places))


def _drawn(line: _Line, common: float) -> _Line:
    """The line with its slope drawn towards the common one; no passage is foretold to fall."""
    count = len(line.at)
    slope = (count * line.slope + USUAL_WEIGHT * common) / (count + USUAL_WEIGHT)
    return _Line(line.at, line.places, max(0.0, slope))


def _residuals(line: _Line) -> list[float]:
    """How far each day lies from the line through the middle of the last ones."""
    level = _level(line)
    last = line.at[-1]
    return [
        value - (level + line.slope * (at - last))
        for at, value in zip(line.at, line.places, strict=True)
    ]


def _level(line: _Line) -> float:
    """Where the line stands on the last day: the median of the last three, moved up to it."""
    last = line.at[-1]
    tail = list(zip(line.at, line.places, strict=True))[-3:]
    return median(value + line.slope * (last - at) for at, value in tail)


def _spread(lines: Sequence[_Line]) -> float:
    """Standard deviation of a day about its line, of all passages together, robustly."""
    every = [abs(one) for line in lines for one in _residuals(line)]
    own = MAD * median(every) if every else USUAL_SPREAD
    count = len(every)
    return sqrt((count * own**2 + USUAL_WEIGHT * USUAL_SPREAD**2) / (count + USUAL_WEIGHT))


def _ahead(line: _Line, more: int, days: int, spread: float) -> Forecast:
    distance = line.slope * (log(days + more) - line.at[-1])
    middle = _level(line) + distance
    off = EIGHT_OF_TEN * sqrt(spread**2 * (1 + 1 / len(line.at)) + (DRIFT * distance) ** 2)
    return Forecast(number_at(middle - off), number_at(middle), number_at(middle + off))
