"""Which stretches of a bar are tuplets, and of what kind.

Method.  A boundary that no chain of halves reaches (in 64ths) needs a tuplet.
A stretch is cut at its beats and then halved (a compound beat: cut in thirds) as
long as no note that needs a tuplet lies across the cut; what cannot be cut
further is one tuplet.  Beats that a single value of a larger tuplet joins are
taken together, so that quarter triplets over two beats stay one bracket.  Two
or four equal parts of a compound beat are a tuplet as well, not dots and ties.

Conventions.  Quarters from the start of the bar.  A tuplet of n in simple time
stands in the time of the largest power of two below n (3:2, 5:4, 6:4, 7:4); in
compound time 2 and 4 stand in the time of 3 and 6, 5 and 7 in the time of 6
(common practice).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from drills.errors import NotationError
from drills.music.metre import SHORTEST, Metre, is_plain
from drills.music.time import Length, NoteValue, Tuplet


@dataclass(frozen=True, slots=True)
class Sound:
    """A stretch of a bar in which one thing sounds, or nothing."""

    start: Fraction
    end: Fraction
    silent: bool = False


@dataclass(frozen=True, slots=True)
class Bracket:
    """A tuplet over a stretch of a bar."""

    start: Fraction
    end: Fraction
    ratio: Tuplet


def find_brackets(sounds: Sequence[Sound], metre: Metre) -> list[Bracket]:
    """The tuplets of one bar, in order.

    Raises NotationError for boundaries that only a tuplet other than 3, 5, 6 or
    7 (2 or 4 in compound time) would reach.
    """
    found: list[Bracket] = []
    at = Fraction(0)
    while at < metre.bar:
        end = at + metre.beat
        while end < metre.bar and _joins(sounds, end, inside_beat=False):
            end += metre.beat
        found += _in_stretch(sounds, at, end, metre)
        at = end
    return found


def _joins(sounds: Sequence[Sound], edge: Fraction, *, inside_beat: bool) -> bool:
    """A single value of a tuplet lies across the edge and holds the tuplet together.

    Across beats that is a quarter triplet's second and its like: no rest and no
    dotted value, which are cut at the beat.  Inside a beat it is any value of a
    tuplet, such as the dotted note of a septuplet.
    """
    return any(
        sound.start < edge < sound.end
        and (inside_beat or not sound.silent)
        and not (is_plain(sound.start) and is_plain(sound.end))
        and _is_value_of_a_tuplet(sound.end - sound.start, 1 if inside_beat else 0)
        for sound in sounds
    )


def _is_value_of_a_tuplet(size: Fraction, dots: int) -> bool:
    return any(
        NoteValue.of(Length(size / ratio.factor), max_dots=dots) is not None
        for ratio in (*_IN_SIMPLE, *_IN_COMPOUND)
    )


def _in_stretch(
    sounds: Sequence[Sound], start: Fraction, end: Fraction, metre: Metre
) -> list[Bracket]:
    edges_inside = {at for sound in sounds for at in (sound.start, sound.end) if start < at < end}
    in_halves = _in_halves_of_a_compound_beat(start, end, edges_inside, metre)
    if not in_halves and all(is_plain(at) for at in edges_inside):
        return []
    cuts = _cuts(start, end, metre)
    inside_beat = end - start <= metre.beat
    free = cuts and not any(_joins(sounds, cut, inside_beat=inside_beat) for cut in cuts[1:-1])
    if in_halves or not free:
        bracket = _one_bracket(start, end, edges_inside)
        if bracket is not None:
            return [bracket]
    if not cuts:
        raise NotationError(
            f"lengths at {', '.join(str(at) for at in sorted(edges_inside))} quarters of a bar of "
            f"{metre.time} need a tuplet other than 3, 5, 6 or 7"
        )
    return [
        bracket for low, high in pairwise(cuts) for bracket in _in_stretch(sounds, low, high, metre)
    ]


def _in_halves_of_a_compound_beat(
    start: Fraction, end: Fraction, inside: set[Fraction], metre: Metre
) -> bool:
    """Two or four equal parts of a dotted beat: written as 2 and 4, not with dots and ties."""
    if not (metre.time.is_compound and end - start == metre.beat and inside):
        return False
    return all(((at - start) / (metre.beat / 4)).denominator == 1 for at in inside)


def _cuts(start: Fraction, end: Fraction, metre: Metre) -> list[Fraction]:
    """Where a stretch may be cut: at its beats, else in halves or thirds; [] when too short."""
    size = end - start
    if size > metre.beat:
        parts = int(size / metre.beat)
    elif size == metre.beat and metre.time.is_compound:
        parts = 3
    else:
        parts = 2
    if size / parts < 2 * SHORTEST.quarters:
        return []
    return [start + size * part / parts for part in range(parts + 1)]


_IN_SIMPLE = (Tuplet(3, 2), Tuplet(5, 4), Tuplet(6, 4), Tuplet(7, 4))
_IN_COMPOUND = (Tuplet(2, 3), Tuplet(4, 6), Tuplet(5, 6), Tuplet(7, 6))


def _one_bracket(start: Fraction, end: Fraction, inside: set[Fraction]) -> Bracket | None:
    """The simplest tuplet over the whole stretch that reaches every boundary in it."""
    size = end - start
    ratios = _IN_COMPOUND if size.numerator % 3 == 0 else _IN_SIMPLE
    for ratio in ratios:
        unit = size / ratio.normal
        if NoteValue.of(Length(unit), max_dots=0) is None:
            continue
        step = size / ratio.actual
        if all(((at - start) / step).denominator == 1 for at in inside):
            return Bracket(start, end, ratio)
    for ratio in ratios:
        if all(is_plain((at - start) / ratio.factor) for at in inside):
            return Bracket(start, end, ratio)
    return None
