"""THE TABLE of click patterns: each is a small class that says all that there is to know of it.

A pattern says where its clicks fall in a bar (``places``), how far apart they are
if evenly (``spacing``: what a plain metronome is set by), what it is called
(``words``, what follows the word "clicks") and what speaks against it in some bars
(``problem``).  Reading one from text is in reading.py, laying one over bars in
laying.py; nothing else need be told of a new pattern.
"""

# ruff: noqa: ARG002 - a pattern answers every question, whether or not it needs all that is told

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Final

from drills.music.grid import GridBar
from drills.music.time import Length, NoteValue, TimeSignature
from drills.sheets.clicks.pattern import (
    Pattern,
    Place,
    comes_round,
    first_downbeat,
    group_starts,
    inside_bar,
)
from drills.sheets.clicks.words import beat_named, counted, listed, ordinal, values_named


@dataclass(frozen=True, slots=True)
class NoClick(Pattern):
    """Silence."""


@dataclass(frozen=True, slots=True)
class Drums(NoClick):
    """The drums of the groove alone, which then are silent under every other pattern."""

    def words(self, time: TimeSignature) -> str:
        return "drums"


@dataclass(frozen=True, slots=True)
class Beats(Pattern):
    """The beats of every bar, all of them or only some."""

    numbers: tuple[Fraction, ...] = ()
    """From 1, ascending; 5/2 is the offbeat after beat 2; empty for every beat."""

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        if not self.numbers:
            return (at for _, at in bar.beats())
        return inside_bar(bar, (bar.time.beat.quarters * (n - 1) for n in self.numbers))

    def spacing(self, time: TimeSignature) -> Length | None:
        return _even(self.numbers, time) if self.numbers else time.beat

    def words(self, time: TimeSignature) -> str:
        if not self.numbers:
            return "on every beat"
        names = [beat_named(number) for number in self.numbers]
        return f"on beat{'s' * (len(names) > 1)} {listed(names)} only"

    def problem(self, bars: Sequence[GridBar]) -> str | None:
        most = max((bar.time.beats for bar in bars), default=0)
        missing = next((n for n in self.numbers if n >= most + 1), None)
        if missing is None:
            return None
        time = next(bar.time for bar in bars if bar.time.beats == most)
        beats = "1 beat" if most == 1 else f"{most} beats"
        return f"beat {beat_named(missing)} does not exist: a bar of {time} has {beats}"


@dataclass(frozen=True, slots=True)
class Counted(Pattern):
    """What a ladder counts: the beat, or a part or a multiple of it, from every bar line on.

    A bar into whose beats or groups it does not fit (quarters in 6/8 or in 3+3+2/8) has
    its own beats.
    """

    value: Length

    @property
    def divides_beats(self) -> bool:
        return True

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        step = self.spacing(bar.time)
        return inside_bar(bar, (step.quarters * n for n in range(_fitting(bar, step))))

    def spacing(self, time: TimeSignature) -> Length:
        if self.value > time.beat:
            counts = [self.value / time.beat]
            if self.value != time.bar_length:
                counts += [time.beat * size / self.value for size in time.groups]
        else:
            counts = [time.beat / self.value]
        return self.value if all(n.denominator == 1 for n in counts) else time.beat

    def words(self, time: TimeSignature) -> str:
        step = self.spacing(time)
        return "on every beat" if step == time.beat else f"in {values_named(step)}"


@dataclass(frozen=True, slots=True)
class Offbeats(Pattern):
    """Half-way from beat to beat; in compound time the last third of the beat.

    The last third is where the afterbeats of a march in 6/8 are (common practice).
    """

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        step = bar.time.beat.quarters
        late = step * (Fraction(2, 3) if bar.time.is_compound else Fraction(1, 2))
        count = ceil((bar.offset + bar.length) / bar.time.beat)
        return inside_bar(bar, (step * n + late for n in range(count)))

    def spacing(self, time: TimeSignature) -> Length | None:
        return time.beat

    def words(self, time: TimeSignature) -> str:
        return "on the offbeats"


@dataclass(frozen=True, slots=True)
class Groups(Pattern):
    """The first beat of every group: 1 and 3 of 4/4, 1, 3 and 5 of 7/8."""

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        step = bar.time.beat.quarters
        return inside_bar(bar, (step * (n - 1) for n in group_starts(bar.time)))

    def spacing(self, time: TimeSignature) -> Length | None:
        return _even(tuple(map(Fraction, group_starts(time))), time)

    def words(self, time: TimeSignature) -> str:
        return Beats(tuple(map(Fraction, group_starts(time)))).words(time)


@dataclass(frozen=True, slots=True)
class Divided(Pattern):
    """Every beat in equal parts."""

    finer: bool = False
    """False: halves of the beat, thirds in compound time.  True: halves of those."""

    @property
    def divides_beats(self) -> bool:
        return True

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        part = self.spacing(bar.time)
        return inside_bar(bar, (part.quarters * n for n in range(_fitting(bar, part))))

    def spacing(self, time: TimeSignature) -> Length:
        parts = (3 if time.is_compound else 2) * (2 if self.finer else 1)
        return Length(time.beat.quarters / parts)

    def words(self, time: TimeSignature) -> str:
        return f"in {values_named(self.spacing(time))}"


@dataclass(frozen=True, slots=True)
class Every(Pattern):
    """Every so many of a note value, straight through the bar lines."""

    count: int
    value: Length

    @property
    def divides_beats(self) -> bool:
        return self.count == 1

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        step = self.count * self.value.quarters
        number = ceil((bar.start - place.origin) / step)
        while (at := place.origin + step * number) < bar.end:
            yield at
            number += 1

    def spacing(self, time: TimeSignature) -> Length | None:
        return self.value * self.count

    def words(self, time: TimeSignature) -> str:
        if self.count == 1:
            return f"in {values_named(self.value)}"
        return f"every {counted(self.count)} {values_named(self.value)}"

    def problem(self, bars: Sequence[GridBar]) -> str | None:
        if not bars or self._comes_round(bars):
            return None
        whole = f"“{self.words(bars[0].time)}” does not meet a downbeat again within "
        after = comes_round(self, bars[0].time)
        if after <= len(bars):
            return f"{whole}these bars, whose time changes; choose another pattern"
        return (
            f"{whole}{_bars(len(bars))}, only after {after}; choose more repetitions "
            "or another pattern"
        )

    def _comes_round(self, bars: Sequence[GridBar]) -> bool:
        """True where a click falls on a later downbeat, or on the bar line at the end."""
        step, first = self.count * self.value.quarters, first_downbeat(bars)
        downbeats = (bar.start for bar in bars if not bar.offset and bar.start > first)
        ends = (*downbeats, bars[-1].end)
        return any(not (at - first) % step for at in ends)


@dataclass(frozen=True, slots=True)
class Bars(Pattern):
    """The first beat of every so many bars."""

    every: int = 1

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        if place.number % self.every == 0 and not bar.offset:
            yield bar.start

    def spacing(self, time: TimeSignature) -> Length | None:
        return time.bar_length * self.every

    def words(self, time: TimeSignature) -> str:
        which = "every" if self.every == 1 else f"every {ordinal(self.every)}"
        return f"on the first beat of {which} bar"

    def problem(self, bars: Sequence[GridBar]) -> str | None:
        return _too_few(self, self.every, bars)


@dataclass(frozen=True, slots=True)
class WithWithout(Pattern):
    """So many bars with a pattern, so many in silence, in turn."""

    sounding: int
    silent: int
    inside: Pattern = Beats()

    @property
    def divides_beats(self) -> bool:
        return self.inside.divides_beats

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        sounds = place.number % (self.sounding + self.silent) < self.sounding
        return self.inside.places(bar, place) if sounds else iter(())

    def words(self, time: TimeSignature) -> str:
        words = f"{counted(self.sounding)} bar{'s' * (self.sounding > 1)} with, "
        words += f"{counted(self.silent)} without"
        return words if self.inside == Beats() else f"{words}, {self.inside.words(time)}"

    def problem(self, bars: Sequence[GridBar]) -> str | None:
        return _too_few(self, self.sounding + self.silent, bars) or self.inside.problem(bars)

    def at_rung(self, rung: int, time: TimeSignature) -> Pattern:
        return WithWithout(self.sounding, self.silent, self.inside.at_rung(rung, time))


@dataclass(frozen=True, slots=True)
class Fading(Pattern):
    """Less with every rung: parts of parts of the beat, parts of it, beats, bars.

    In a time whose beat is shorter than a quarter (7/8): parts of the beat,
    beats, groups, bars.
    """

    def places(self, bar: GridBar, place: Place) -> Iterator[Fraction]:
        return self.at_rung(0, bar.time).places(bar, place)

    def words(self, time: TimeSignature) -> str:
        return self.at_rung(0, time).words(time)

    def at_rung(self, rung: int, time: TimeSignature) -> Pattern:
        steps = _FADING if time.beat >= _QUARTER else _FADING_QUICK
        return steps[min(rung, len(steps) - 1)]


_FADING: Final = (Divided(finer=True), Divided(), Beats(), Bars())
_FADING_QUICK: Final = (Divided(), Beats(), Groups(), Bars())
MOST_STEPS: Final = max(len(_FADING), len(_FADING_QUICK))
"""After so many rungs no pattern fades any further."""
_QUARTER: Final = NoteValue("quarter").length


def _fitting(bar: GridBar, part: Length) -> int:
    return ceil((bar.offset + bar.length) / part)


def _even(numbers: tuple[Fraction, ...], time: TimeSignature) -> Length | None:
    """The gap between the beats of a bar and on to the next bar, if it is always the same."""
    gaps = {b - a for a, b in pairwise((*numbers, numbers[0] + time.beats))}
    return time.beat * gaps.pop() if len(gaps) == 1 else None


def _too_few(pattern: Pattern, needed: int, bars: Sequence[GridBar]) -> str | None:
    count = sum(not bar.offset for bar in bars)
    if not bars or needed <= count:
        return None
    return (
        f"“{pattern.words(bars[0].time)}” comes round after {_bars(needed)}, and there "
        f"{'is only 1' if count == 1 else f'are only {count}'}; choose more repetitions or "
        "another pattern"
    )


def _bars(count: int) -> str:
    return "1 bar" if count == 1 else f"{count} bars"
