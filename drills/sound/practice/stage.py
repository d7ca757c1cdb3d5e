"""One thing to play at one rung: count-in, times through, rest; and where each begins."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from drills.music.grid import GridBar
from drills.music.tempo import Tempo
from drills.music.time import TimeSignature
from drills.sheets.clicks.pattern import Pattern
from drills.sound.practice.climb import Climb
from drills.sound.practice.events import TempoStep
from drills.sound.practice.material import Item
from drills.sound.timeline import Clock


@dataclass(frozen=True, slots=True)
class Span:
    """A length in exact quarters and in exact seconds."""

    quarters: Fraction
    seconds: Fraction

    def __add__(self, other: Span) -> Span:
        return Span(self.quarters + other.quarters, self.seconds + other.seconds)

    def __mul__(self, times: int) -> Span:
        return Span(self.quarters * times, self.seconds * times)


NOTHING = Span(Fraction(0), Fraction(0))


@dataclass(frozen=True, slots=True)
class Stage:
    """One thing to play at one rung.

    The bars of the count-in and of rests are in the time and the tempo in which the
    passage begins.
    """

    item: Item
    tempo: Tempo
    rung: int
    """From 0, the slowest."""
    pattern: Pattern
    bars: tuple[GridBar, ...]
    """One time through."""
    clock: Clock
    """From the start of a time through; it goes on through the rest after it."""
    count: Span
    """The count-in."""
    once: Span
    """One time through."""
    rest: Span
    """After each time through."""
    after: Span
    """The silence at the end."""
    repetitions: int = 1
    start: Span = NOTHING
    """Where it begins in the file."""
    last: bool = False
    """Nothing follows, so the silence at its end is left out."""
    begins_rung: bool = True
    """The tempo is new, which the bell tells."""
    drums: bool = True
    """The groove has bars in its time."""

    @property
    def time(self) -> TimeSignature:
        """The time signature in which the passage begins."""
        return self.bars[0].time

    @property
    def length(self) -> Span:
        """All of it."""
        played = self.count + self.again * self.repetitions
        return played if self.last else played + self.after

    @property
    def again(self) -> Span:
        """From one time through to the next."""
        return self.once + self.rest

    def time_through(self, number: int) -> Span:
        """Where a time through begins in the file; the first is 0."""
        return self.start + self.count + self.again * number

    def row(self) -> tuple[GridBar, ...]:
        """The bars of one time through, with the rest after it."""
        return (*self.bars, *self.rest_bars())

    def rest_bars(self) -> Iterator[GridBar]:
        """The bars of rest after a time through, on the passage's line."""
        size = self.time.bar_length
        at = self.once.quarters
        while at < self.again.quarters:
            yield GridBar(at, size, self.time)
            at += size.quarters

    def beats_per_minute(self, place: Fraction) -> Fraction:
        """The tempo at a place, in beats of the bar that holds it."""
        index = bisect_right(self.bars, place, key=lambda bar: bar.start) - 1
        beat = self.bars[max(index, 0)].time.beat if place < self.once.quarters else self.time.beat
        return 60 / (self.clock.pace(place) * beat.quarters)

    def seconds(self, place: Fraction, *, again: bool) -> Fraction:
        """Seconds from the start of a time through to a place.

        ``again``: the passage is played just before, so that a place before its
        start is timed by its end.
        """
        if place < 0 and again:
            end = self.once.quarters
            return self.clock.at(end + place) - self.once.seconds
        return self.clock.at(place)


def make_stage(item: Item, tempo: Tempo, rung: int, pattern: Pattern, climb: Climb) -> Stage:
    """A stage at the start of the file, played once; climb.py says how often and where."""
    bars, length = item.passage.bars, item.passage.length
    plain = item.passage.clock(tempo)
    clock = Clock.following((*plain.starts, length), (*plain.paces, plain.paces[0]))
    bar = bars[0].time.bar_length.quarters
    one_bar = Span(bar, bar * plain.paces[0])
    return Stage(
        item,
        tempo,
        rung,
        pattern,
        bars,
        clock,
        count=one_bar * climb.count_in,
        once=Span(length, plain.at(length)),
        rest=one_bar * climb.rest,
        after=one_bar * climb.rung_rest,
    )


def tempo_steps(stages: tuple[Stage, ...]) -> Iterator[TempoStep]:
    """Every change of tempo or of time signature in the file, in order."""
    for _, same in groupby(
        (step for stage in stages for step in _steps(stage)),
        key=lambda step: (step.seconds_per_quarter, step.time),
    ):
        yield next(same)


def _steps(stage: Stage) -> Iterator[TempoStep]:
    first = stage.clock.paces[0]
    yield TempoStep(stage.start.seconds, stage.start.quarters, first, stage.time)
    changes = _changes(stage)
    for number in range(stage.repetitions if len(changes) > 1 else 0):
        begin = stage.time_through(number)
        for place, pace, time in changes:
            seconds = begin.seconds + stage.clock.at(place)
            yield TempoStep(seconds, begin.quarters + place, pace, time)
    played = stage.time_through(stage.repetitions - 1) + stage.once
    if len(changes) > 1 and not stage.last and stage.after.quarters:
        yield TempoStep(played.seconds, played.quarters, first, stage.time)


def _changes(stage: Stage) -> tuple[tuple[Fraction, Fraction, TimeSignature], ...]:
    """Place, seconds a quarter and time signature wherever one of them changes in a time
    through and the rest after it."""
    bars = (*stage.bars, *stage.rest_bars())
    end = bars[-1].end
    places = sorted({bar.start for bar in bars} | {at for at in stage.clock.starts if at < end})
    found: list[tuple[Fraction, Fraction, TimeSignature]] = []
    for place in places:
        bar = bars[bisect_right(bars, place, key=lambda one: one.start) - 1]
        state = (stage.clock.pace(place), bar.time)
        if not found or found[-1][1:] != state:
            found.append((place, *state))
    return tuple(found)
