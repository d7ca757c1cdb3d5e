"""Rhythm against the beat: the measure of Longuet-Higgins and Lee.

Problem.  A note that begins on a weak place of the bar and lasts (or is followed
by silence) over a stronger one is felt against the beat, the more so the
stronger the place that it passes over.

Source.  H. C. Longuet-Higgins and C. S. Lee, The rhythmic interpretation of
monophonic music, Music Perception 1(4), 1984, 424-441.  Every place of a bar has
a weight: 0 for its first beat and one less for each level of the metre at which
the place first appears.  A note's strength is the largest weight that it passes
over, up to the next note, less its own weight; where that is above 0 the note is
syncopated.  Restated, not read in the original: through a published program after
it and through worked examples.

Conventions.  Levels are the bar, its groups of beats where it has several (4/4,
12/8, 5/4), the beat, and then the prime factors by which the beat is divided, so
that triplets have a level of their own.  The bars around do not count: every
first beat has the weight 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate

from drills.music.time import TimeSignature


@lru_cache(maxsize=4096)
def weight(time: TimeSignature, at: Fraction) -> int:
    """The metrical weight, 0 or less, of a place ``at`` quarters from the start of a bar."""
    at %= time.bar_length.quarters
    if not at:
        return 0
    beats = at / time.beat.quarters
    if beats.denominator == 1:
        return -1 if not _grouped(time) or int(beats) in accumulate(time.groups) else -2
    return _beat_level(time) - _divisions(beats.denominator)


@lru_cache(maxsize=4096)
def strength(time: TimeSignature, start: Fraction, end: Fraction) -> int:
    """How far a note stands against the beat: 0 for one that does not.

    ``start`` is its place in the bar and ``end`` that of the next note (or of its
    own end, if nothing follows), in quarters from the same start of the bar.
    """
    passed = [weight(time, place) for place in _passed(time, start, end)]
    return max(0, max(passed, default=-99) - weight(time, start))


def _passed(time: TimeSignature, start: Fraction, end: Fraction) -> Iterator[Fraction]:
    """Places between the two, as far as they could outweigh the first."""
    bar = time.bar_length.quarters
    following = (start // bar + 1) * bar
    if following < end:
        yield following
        return
    beat = time.beat.quarters
    beats = start / beat
    for count in range(int(beats // 1) + 1, -int(-end // beat)):
        yield count * beat
    for parts in _divisors(beats.denominator):
        place = Fraction(beats * parts // 1 + 1, parts) * beat
        if place < end:
            yield place


def _grouped(time: TimeSignature) -> bool:
    """True where the bar has groups of beats between itself and the beat."""
    return len(time.groups) > 1 and max(time.groups) > 1


def _beat_level(time: TimeSignature) -> int:
    return -2 if _grouped(time) else -1


def _divisions(parts: int) -> int:
    """How many prime factors divide the beat into ``parts``."""
    count, factor = 0, 2
    while parts > 1:
        if parts % factor:
            factor += 1
        else:
            parts, count = parts // factor, count + 1
    return count


def _divisors(parts: int) -> list[int]:
    """Coarser divisions of the beat than ``parts``, on the way to it."""
    return [part for part in range(2, parts) if parts % part == 0]
