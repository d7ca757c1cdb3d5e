"""A drum pattern as data, and the drum grid that it is written in.

Notation.  A grid has one row for each drum: the name of its sound, then a
character for every step.  ``.`` is silence, ``,`` a ghost stroke, ``o`` a soft
one, ``x`` a plain one, ``X`` an accent.  Spaces stand between beats and ``|``
between bars; all rows of a grid have them at the same steps, so that what
sounds together stands in one column:

    ride          x. xx x. xx
    pedal-hi-hat  .. x. .. x.

Conventions.  A grid knows the note value of a step and therefore its length;
it is written as read, straight, and what swings is moved when it is laid.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from drills.music.time import TimeSignature
from drills.sound.groove.swing import STRAIGHT, Swing

LEVELS: Final[Mapping[str, float]] = MappingProxyType(
    {".": 0.0, ",": 0.25, "o": 0.5, "x": 0.75, "X": 1.0}
)
"""How loud a character of the grid is, linear, 1 the loudest."""

STEPS: Final[Mapping[str, Fraction]] = MappingProxyType(
    {"eighth": Fraction(1, 2), "sixteenth": Fraction(1, 4), "triplet": Fraction(1, 3)}
)
"""Note values of a step, in quarters; "triplet" is the eighth triplet."""


@dataclass(frozen=True, slots=True)
class Row:
    """What one drum plays in one bar."""

    sound: str
    levels: tuple[float, ...]
    """One for each step; 0 is silence."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Full bars of all drums, in steps of one note value."""

    step: Fraction
    """Quarters."""
    bars: tuple[tuple[Row, ...], ...]

    def __post_init__(self) -> None:
        if not self.bars or not any(level for row in self.bars[0] for level in row.levels):
            raise ValueError("a drum grid whose first bar is silent is no pattern")
        if len({len(row.levels) for bar in self.bars for row in bar}) != 1:
            raise ValueError("the bars of a drum grid have different lengths")
        for bar in self.bars:
            if len({row.sound for row in bar}) != len(bar):
                raise ValueError("a drum has two rows in one bar")

    @classmethod
    def parse(cls, step: str, text: str) -> Grid:
        """Read the notation of this module; raises ValueError that names the bad row.

        Parameters: ``step``, a key of STEPS; ``text``, one row to a line.
        """
        rows = [line.split(maxsplit=1) for line in text.splitlines() if line.strip()]
        if any(len(row) != 2 for row in rows):
            raise ValueError("a row of a drum grid is a sound and its steps")
        if len({_shape(steps) for _, steps in rows}) != 1:
            raise ValueError(f"the rows of this drum grid do not stand under each other: {text!r}")
        bars = zip(*(_read(sound, steps) for sound, steps in rows), strict=True)
        return cls(STEPS[step], tuple(bars))

    @property
    def bar_length(self) -> Fraction:
        """Quarters of one bar."""
        return self.step * len(self.bars[0][0].levels)

    def strokes(self, bar: int) -> Iterator[tuple[Fraction, str, float]]:
        """Place in the bar (quarters, straight), sound and level of what is struck."""
        for row in self.bars[bar]:
            for index, level in enumerate(row.levels):
                if level:
                    yield index * self.step, row.sound, level

    def halved(self) -> Grid:
        """The same with every bar cut in two: 4/4 played from 2/4 bars."""
        half, odd = divmod(len(self.bars[0][0].levels), 2)
        if odd:
            raise ValueError("a bar of an odd number of steps has no halves")
        ends = (slice(None, half), slice(half, None))
        return Grid(
            self.step,
            tuple(
                tuple(Row(row.sound, row.levels[end]) for row in bar)
                for bar in self.bars
                for end in ends
            ),
        )


def _shape(steps: str) -> str:
    """Where spaces and bar lines stand, whatever is struck."""
    return "".join(" " if char == " " else "|" if char == "|" else "." for char in steps.strip())


def _read(sound: str, steps: str) -> tuple[Row, ...]:
    """One row, bar by bar."""
    unknown = set(steps) - set(LEVELS) - set(" |")
    if unknown:
        raise ValueError(f"{sound}: {min(unknown)!r} is no level of a drum grid")
    return tuple(
        Row(sound, tuple(LEVELS[char] for char in bar if char != " ")) for bar in steps.split("|")
    )


@dataclass(frozen=True, slots=True)
class Pattern:
    """A groove in one kind of bar."""

    times: tuple[TimeSignature, ...]
    """Time signatures whose full bar it fills; the first is the one it is written in."""
    grid: Grid
    turn: Grid
    """One bar that ends a phrase and leads into the next."""

    def __post_init__(self) -> None:
        if not self.times:
            raise ValueError("a drum pattern without a time signature fits no bar")
        for time in self.times:
            for grid in (self.grid, self.turn):
                if grid.bar_length != time.bar_length.quarters:
                    raise ValueError(f"{grid.bar_length} quarters do not fill a bar of {time}")
        if len(self.turn.bars) != 1:
            raise ValueError("a turn is one bar")


@dataclass(frozen=True, slots=True)
class Groove:
    """A way to accompany on the drums, in every kind of bar that it is known in."""

    key: str
    """What the player types."""
    words: str
    """What it is called in print."""
    patterns: tuple[Pattern, ...]
    swing: Swing = STRAIGHT
    """How its offbeats are played unless the player says otherwise."""
    phrase: int = 8
    """Bars from one turn to the next."""

    def __post_init__(self) -> None:
        named = [str(time) for pattern in self.patterns for time in pattern.times]
        if not named or len(set(named)) != len(named):
            raise ValueError(f"{self.key}: no time signature, or one that has two patterns")
        if self.phrase < 2 or any(self.phrase % len(one.grid.bars) for one in self.patterns):
            raise ValueError(f"{self.key}: a phrase of {self.phrase} bars breaks its pattern")

    @property
    def times(self) -> tuple[TimeSignature, ...]:
        """Every time signature that it fits."""
        return tuple(time for pattern in self.patterns for time in pattern.times)

    def pattern(self, time: TimeSignature) -> Pattern | None:
        """The pattern for bars of this time signature, whatever sign is printed for it."""
        for pattern in self.patterns:
            if any((one.counts, one.unit) == (time.counts, time.unit) for one in pattern.times):
                return pattern
        return None
