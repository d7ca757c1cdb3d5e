"""The ladder in sound: which tempo when, how often, and with how much rest.

Conventions.  A rung is counted in what the printed ladder counts (the beat, or a
part of it where the beat is slower than a metronome goes).  Steps by metronome
numbers are those of the printed ladder; steps by percent or by count are rounded
to whole numbers, which is what can be set.  Beyond the performing tempo the steps
go on in the same way.  "Three up, one back" is three rungs up one by one, then the
metronome set back by one, and so on; it ends when the top is reached.  A new rung is
told by a bell, or by its number where a program that speaks is installed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import floor
from typing import Final

from drills.errors import UsageError
from drills.music.tempo import Tempo
from drills.music.time import TimeSignature
from drills.sheets.ladder import (
    FASTEST,
    MOST_RUNGS,
    RUNGS,
    SLOWEST,
    counted_from,
    make_ladder,
    shown,
)
from drills.sheets.metronome import SERIES


class Steps(StrEnum):
    """How far from rung to rung."""

    METRONOME = "metronome"
    """By the traditional numbers, as on the printed ladder."""
    PERCENT = "percent"
    """Each rung so many per cent above the one before."""
    EQUAL = "equal"
    """Equal steps, so many rungs."""


@dataclass(frozen=True, slots=True)
class Climb:
    """How the tempo rises; every field has a sensible default."""

    start: Fraction | None = None
    """Slowest tempo in beats of the time signature a minute; unless given the sheet's, or
    half the performing tempo."""
    beyond: Fraction = Fraction(0)
    """Per cent past the performing tempo that the climb goes on to, 0 to 50."""
    steps: Steps = Steps.METRONOME
    rungs: int = RUNGS
    """From the start to the performing tempo; 1 is the performing tempo alone.  Not for
    steps by percent."""
    percent: Fraction = Fraction(5)
    """For steps by percent, 1 to 50."""
    up: int = 0
    """Steps up before some steps back; 0 to go straight up."""
    back: int = 1
    """Steps back, fewer than up."""
    repetitions: int = 4
    """Times through at each rung, 1 to 1000; a total length decides it instead."""
    rest: int = 0
    """Bars of rest after each time through, while the click goes on."""
    rung_rest: int = 1
    """Bars of silence after a rung."""
    count_in: int = 1
    """Bars counted before each rung."""
    total: Fraction | None = None
    """Seconds that all should take: as near as possible, not over."""
    signal: bool = True
    """A bell where a new rung begins."""
    spoken: bool = False
    """The number of a new rung is said, in place of the bell."""

    def __post_init__(self) -> None:
        for value, low, high, what in (
            (self.beyond, 0, MOST_BEYOND, "per cent past the performing tempo"),
            (self.rungs, 1, MOST_RUNGS, "rungs"),
            (self.percent, 1, MOST_PERCENT, "per cent from rung to rung"),
            (self.up, 0, MOST_RUNGS, "steps up"),
            (self.repetitions, 1, MOST_REPETITIONS, "repetitions"),
            (self.rest, 0, MOST_BARS, "bars of rest between repetitions"),
            (self.rung_rest, 0, MOST_BARS, "bars of rest between rungs"),
            (self.count_in, 0, MOST_BARS, "bars of count-in"),
        ):
            if not low <= value <= high:
                raise UsageError(f"{what}: choose {low} to {high}, not {shown(Fraction(value))}")
        if self.rungs == 1 and self.start is not None and self.steps is not Steps.PERCENT:
            raise UsageError(
                "one rung is the performing tempo alone, which has no slower start; leave out "
                "--start, or ask for two rungs or more"
            )
        if self.up and not 1 <= self.back < self.up:
            raise UsageError(
                f"{self.up} up and {self.back} back never gets to the top; choose fewer steps "
                "back than up, at least 1"
            )
        if self.total is not None and not 0 < self.total <= LONGEST:
            raise UsageError(
                f"a total length of {shown(self.total / 60)} minutes is out of bounds; choose "
                f"more than 0 and at most {LONGEST // 60}"
            )


MOST_BEYOND: Final = 50
MOST_PERCENT: Final = 50
MOST_REPETITIONS: Final = 1000
MOST_BARS: Final = 64
LONGEST: Final = 4 * 3600
"""Seconds that a practice file may last."""


def rung_tempos(tempo: Tempo, time: TimeSignature, climb: Climb) -> tuple[Tempo, ...]:
    """The rungs of a climb to the performing tempo and past it, ascending.

    Raises UsageError for a tempo out of bounds or a start that is not below it.
    """
    beat, low, top = counted_from(tempo, time, climb.start)
    if climb.rungs == 1 and climb.steps is not Steps.PERCENT:
        whole = max(beat, time.beat)  # no slow rung, for which a part of the beat would count
        numbers: tuple[Fraction, ...] = (tempo.counted_in(whole).number,)
        beat = whole
    elif climb.steps is Steps.METRONOME:
        numbers = make_ladder(tempo, time, rungs=climb.rungs, start=climb.start).rungs
    elif climb.steps is Steps.PERCENT:
        numbers = _whole(_by_percent(low, top, climb.percent), top)
    else:
        numbers = _whole(_equal(low, top, climb.rungs), top)
    if climb.beyond:
        numbers = (*numbers, *_beyond(numbers, climb))
    source = tempo.source
    found = tuple(Tempo(number, beat, source) for number in numbers)
    fastest = found[-1].quarters_per_minute
    if found[0].quarters_per_minute < SLOWEST or fastest > FASTEST:
        raise UsageError(
            f"a climb from {shown(found[0].quarters_per_minute)} to {shown(fastest)} quarters a "
            f"minute is out of bounds; stay within {SLOWEST} to {FASTEST}"
        )
    return found


def _by_percent(low: Fraction, top: Fraction, percent: Fraction) -> Iterator[Fraction]:
    """From ``low`` up to below ``top``, each so many per cent more than the last."""
    number = low
    while number < top:
        yield number
        number *= 1 + percent / 100


def _equal(low: Fraction, top: Fraction, rungs: int) -> Iterator[Fraction]:
    yield from (low + (top - low) * n / (rungs - 1) for n in range(rungs - 1))


def _whole(numbers: Iterator[Fraction], top: Fraction) -> tuple[Fraction, ...]:
    """Rounded to whole numbers, each once; below the top, and the top as it is."""
    rounded = dict.fromkeys(_rounded(number) for number in numbers)
    return (*(number for number in rounded if number < top), top)


def _rounded(number: Fraction) -> Fraction:
    """The nearest whole number, halves up."""
    return Fraction(floor(number + Fraction(1, 2)))


def _beyond(numbers: Sequence[Fraction], climb: Climb) -> tuple[Fraction, ...]:
    """The rungs past the performing tempo, which is the last of ``numbers``."""
    top = numbers[-1]
    goal = max(_rounded(top * (1 + climb.beyond / 100)), top)
    if climb.steps is Steps.METRONOME:
        more = (Fraction(n) for n in SERIES if top < n < goal)
    elif climb.steps is Steps.PERCENT:
        more = (_rounded(number) for number in _by_percent(top, goal, climb.percent))
    else:
        step = top - numbers[-2] if len(numbers) > 1 else goal - top
        count = floor((goal - top) / step) if step else 0
        more = (_rounded(top + step * n) for n in range(1, count + 1))
    between = dict.fromkeys(number for number in more if top < number < goal)
    return (*between, goal) if goal > top else ()


def climbing_order(rungs: int, up: int, back: int) -> tuple[int, ...]:
    """The rungs (from 0) in the order in which they are played, up to the last.

    ``climbing_order(6, 3, 1)`` is 0 1 2 3 2 3 4 5: three up, one back.
    """
    if not up:
        return tuple(range(rungs))
    order, at = [0], 0
    while at < rungs - 1:
        for _ in range(min(up, rungs - 1 - at)):
            at += 1
            order.append(at)
        if at < rungs - 1:
            at -= back
            order.append(at)
    return tuple(order)


# --- a total length ------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Turn:
    """One drill at one rung, as far as its length goes: seconds."""

    fixed: Fraction
    """Count-in and the rest after it, and one time through."""
    again: Fraction
    """One more time through, with the rest before it."""


def fitted(turns: Sequence[Turn], total: Fraction) -> tuple[int, ...] | None:
    """How often each turn is played so that all together take ``total`` seconds at most.

    All are played equally often; what is left over goes to the first, the slowest,
    once more each.  None where once each is already too long.
    """
    once = sum((turn.fixed for turn in turns), Fraction(0))
    if once > total or not turns:
        return None
    round_ = sum((turn.again for turn in turns), Fraction(0))
    rounds, left = divmod(total - once, round_)
    found = []
    for turn in turns:
        more = turn.again <= left
        left -= turn.again if more else 0
        found.append(1 + int(rounds) + more)
    return tuple(found)


def thinned(rungs: Sequence[Tempo], count: int) -> tuple[Tempo, ...]:
    """``count`` of some rungs, evenly, with the first and the last; the last alone for 1."""
    if count == 1:
        return (rungs[-1],)
    last = len(rungs) - 1
    return tuple(rungs[floor(Fraction(last * n, count - 1) + Fraction(1, 2))] for n in range(count))
