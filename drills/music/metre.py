"""How a length is split into written values so that the beat stays visible.

Problem.  A sound may start and stop anywhere; what is written must let the eye
find the beat.  Method.  Every position in a bar has a strength: 0 the bar line,
1 the middle of the bar (where the groups of the time signature meet), 2 a
beat, 3 half a beat (a third in compound time), 4 and more its halves.  A value
may cross a boundary no stronger than the place where it starts; a value that
starts weaker may cross one boundary of the next strength only in the figures
that players read as one: short-long-short under one beat (sixteenth, eighth,
sixteenth) and short-dotted up to a boundary (sixteenth, dotted eighth; eighth,
dotted quarter).  Everything else is tied at the boundary.  The rules are common
practice of engraving; no single book is followed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from drills.errors import NotationError
from drills.music.time import NOTE_KINDS, Length, NoteValue, TimeSignature

SHORTEST = NOTE_KINDS["64th"]
"""The shortest value that is written outside a tuplet."""

_BAR_LINE, _MIDDLE, _BEAT, _BELOW = 0, 1, 2, 3


@cache
def is_plain(quarters: Fraction) -> bool:
    """True where a boundary can be reached without a tuplet, in 64ths."""
    return (quarters / SHORTEST.quarters).denominator == 1


@dataclass(frozen=True, slots=True)
class Metre:
    """The boundaries of a time signature's full bar and their strengths."""

    time: TimeSignature

    @property
    def beat(self) -> Fraction:
        """The beat in quarters."""
        return self.time.beat.quarters

    @property
    def bar(self) -> Fraction:
        """The full bar in quarters."""
        return self.time.bar_length.quarters

    def strength(self, at: Fraction) -> int:
        """How strong the boundary at ``at`` quarters is: 0 (bar line) and up, weaker."""
        if at % self.bar == 0:
            return _BAR_LINE
        if at % self.beat == 0:
            return _MIDDLE if at in group_edges(self.time) else _BEAT
        part = self.beat / (3 if self.time.is_compound else 2)
        strength = _BELOW
        while at % part:
            part /= 2
            strength += 1
            if strength > 16:
                raise NotationError(f"no boundary of {self.time} lies at {at} quarters")
        return strength

    def strongest_inside(self, start: Fraction, end: Fraction) -> Fraction | None:
        """The strongest boundary strictly between two places, or None."""
        part = self.beat
        while part >= SHORTEST.quarters:
            inside = _multiples_between(part, start, end)
            if inside:
                return min(inside, key=lambda at: (self.strength(at), at))
            part /= 3 if self.time.is_compound and part == self.beat else 2
        return None

    def split(self, start: Fraction, end: Fraction, *, rest: bool = False) -> tuple[NoteValue, ...]:
        """The written values for what lasts from ``start`` to ``end`` in one bar.

        Both are quarters from the start of the bar and plain (see is_plain).
        Raises NotationError where the values would be shorter than a 64th.
        """
        return _split(self, start, end, rest)

    def longest(self, start: Fraction, end: Fraction, rest: bool) -> NoteValue:
        """The longest value from ``start`` that reads well; what is left follows tied."""
        for value in _VALUES:
            stop = start + value.length.quarters
            if stop <= end and self._reads_well(start, stop, end, value, rest):
                return value
        raise NotationError(
            f"a length of {end - start} quarters cannot be written with values down to a 64th"
        )

    def _reads_well(
        self, start: Fraction, stop: Fraction, end: Fraction, value: NoteValue, rest: bool
    ) -> bool:
        whole_beats = (stop - start) % self.beat == 0
        if value.dots and rest and not (self.time.is_compound and whole_beats):
            return False
        crossed = self.strongest_inside(start, stop)
        if crossed is None:
            return True
        if stop < end and value.dots and self.strength(stop) > _BEAT:
            return False
        if start == 0 and stop == self.bar:
            return True
        own, inner = self.strength(start), self.strength(crossed)
        if inner >= own:
            return self._reads_from_strong(start, inner, whole_beats)
        return not rest and self._is_known_figure(start, stop, crossed, stop == end)

    def _reads_from_strong(self, start: Fraction, inner: int, whole_beats: bool) -> bool:
        groups = self.time.groups
        if inner == _MIDDLE and len(set(groups)) > 1:
            return False
        if inner <= _BEAT and self.time.is_compound:
            return whole_beats and start % self.beat == 0
        return True

    def _is_known_figure(
        self, start: Fraction, stop: Fraction, crossed: Fraction, complete: bool
    ) -> bool:
        own, inner = self.strength(start), self.strength(crossed)
        if inner < _BEAT or own != inner + 1:
            return False
        if inner == _BEAT:
            return complete and not self.time.is_compound and self.strength(stop) <= _BEAT
        symmetric = crossed - start == stop - crossed
        return symmetric or self.strength(stop) <= inner


@cache
def _split(metre: Metre, start: Fraction, end: Fraction, rest: bool) -> tuple[NoteValue, ...]:
    """Cached, since the same few stretches return in every bar of every drill."""
    values = []
    at = start
    while at < end:
        value = metre.longest(at, end, rest)
        values.append(value)
        at += value.length.quarters
    return tuple(values)


_VALUES = tuple(
    NoteValue(kind, dots)
    for _, kind, dots in sorted(
        (
            (NoteValue(kind, dots).length, kind, dots)
            for kind in NOTE_KINDS
            for dots in (0, 1)
            if SHORTEST <= NOTE_KINDS[kind] <= NOTE_KINDS["breve"]
        ),
        reverse=True,
    )
)
"""Every value that the notation may use, longest first."""


@cache
def group_edges(time: TimeSignature) -> tuple[Fraction, ...]:
    """Where the groups of a bar meet, in quarters; the bar lines not included."""
    unit = (time.unit_length if len(time.counts) > 1 else time.beat).quarters
    edges, at = [], Fraction(0)
    for beats in time.groups[:-1]:
        at += beats * unit
        edges.append(at)
    return tuple(edges)


def _multiples_between(step: Fraction, start: Fraction, end: Fraction) -> list[Fraction]:
    first = (start // step + 1) * step
    found = []
    while first < end:
        found.append(first)
        first += step
    return found


def rounded_up(at: Fraction, step: Length) -> Fraction:
    """The first multiple of ``step`` that is not before ``at`` (both in quarters)."""
    return -(-at // step.quarters) * step.quarters
