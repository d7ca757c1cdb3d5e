"""The numbers of a metronome: the traditional series, what is printed, an even choice of them.

The series is the traditional one of metronome scales, 40 to 208 in steps of 2,
3, 4, 6 and 8.  No standard fixes it; a full list is given in a post to the
Memphis horn list (www.mail-archive.com/horn@music.memphis.edu/msg29183.html),
the range 40 to 208 also in the Oxford Dictionary of Music.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

_STEPS: Final = ((40, 60, 2), (60, 72, 3), (72, 120, 4), (120, 144, 6), (144, 208, 8))

SERIES: Final = (40, *(n for low, high, step in _STEPS for n in range(low + step, high + 1, step)))
"""The 39 traditional metronome numbers."""

LOWEST, HIGHEST = Fraction(30), Fraction(240)
"""Numbers that are printed: what the usual metronomes offer (common practice)."""

AROUND: Final = (*range(30, 40, 2), *SERIES, *range(216, 241, 8))
"""The series with its steps carried on to either end of what is printed (our own)."""


def spread(low: Fraction, high: Fraction, count: int) -> tuple[Fraction, ...]:
    """``count`` metronome numbers from ``low`` up to ``high``, evenly over the series.

    Fewer where the series has fewer between the two.  ``high`` itself is always
    the last, and where no number lies at or above ``low`` it is the only one.
    """
    between = [Fraction(n) for n in AROUND if low <= n < high]
    steps = [*between, high]
    if len(steps) <= count:
        return tuple(steps)
    last = len(steps) - 1
    picked = [nearest_index(last * i, count - 1) for i in range(count)]
    return tuple(steps[i] for i in picked)


def nearest_index(numerator: int, denominator: int) -> int:
    """numerator / denominator to the nearest whole number, halves up."""
    return (2 * numerator + denominator) // (2 * denominator)


def can_be_set(clicks: Fraction) -> bool:
    """True for clicks a minute within what metronomes offer."""
    return LOWEST <= clicks <= HIGHEST


def settable(clicks: Fraction) -> str:
    """Clicks a minute as a metronome is set: the nearest whole number, or a dash."""
    if not can_be_set(clicks):
        return "–"  # noqa: RUF001 - printed
    return str(nearest_index(clicks.numerator, clicks.denominator))
