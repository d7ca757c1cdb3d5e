"""Small unevenness of drum strokes in time and level: seeded, bounded, the same everywhere.

Problem.  A drum pattern that is exact to the sample sounds unlike any player, but
whoever practises must get the same file from the same settings on every
machine.  Method.  Every stroke draws from a hash (BLAKE2b) of the seed, the
number of its bar, its place in it and its sound: no generator whose order or
version could matter.  Three even draws are added, which comes close to the bell
curve and is bounded by three standard deviations.

Figures.  Single notes of expert pianists' scales at 125 ms stray by 8.1 ms
upward and 8.9 ms downward (standard deviation; H.-C. Jabusch, 2006); one moved
tone is noticed from about 6 ms on (A. Friberg and J. Sundberg, JASA 98, 1995,
2524).  The spread of 8 ms is of that order.  The spread of levels is our own
choice: about half a decibel.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from hashlib import blake2b
from typing import Final

MOST_SPREAD: Final = Fraction(30, 1000)
"""Seconds; ensembles stray by 27 to 49 ms between players (R. A. Rasch, Acustica 43, 1979), one
steady player by less."""
MOST_LEVEL_SPREAD: Final = 0.3

NEAREST: Final = Fraction(1, 24)
"""Quarters that a stroke may move at most: strokes of one drum are a tenth of a quarter apart or
more (sixteenths swung 4:1), so they keep their order as long as the tempo does not jump."""


@dataclass(frozen=True, slots=True)
class Variation:
    """How far strokes stray from the grid."""

    seed: int = 0
    spread: Fraction = Fraction(8, 1000)
    """Standard deviation in seconds, 0 to 0.03."""
    level_spread: float = 0.06
    """Standard deviation of the level, in parts of it, 0 to 0.3."""

    def __post_init__(self) -> None:
        if not 0 <= self.spread <= MOST_SPREAD:
            raise ValueError(f"a spread of {float(self.spread)} s lies outside 0 to 0.03 s")
        if not 0 <= self.level_spread <= MOST_LEVEL_SPREAD:
            raise ValueError(f"a spread of levels of {self.level_spread} lies outside 0 to 0.3")

    def late(self, stroke: tuple[int, Fraction, str], quarter: Fraction) -> Fraction:
        """Seconds that a stroke comes late (early where negative).

        Parameters: ``stroke``, the number of its bar, its written place in it
        and its sound; ``quarter``, seconds of a quarter where it stands.
        """
        bound = min(3 * self.spread, quarter * NEAREST)
        return min(max(self.spread * self._draw("time", stroke), -bound), bound)

    def level(self, stroke: tuple[int, Fraction, str], level: float) -> float:
        """The level of a stroke, changed a little; never above 1."""
        return min(1.0, level * (1.0 + self.level_spread * float(self._draw("level", stroke))))

    def _draw(self, what: str, stroke: tuple[int, Fraction, str]) -> Fraction:
        """A number with mean 0 and standard deviation 1, from -3 to 3."""
        bar, place, sound = stroke
        key = f"{self.seed} {what} {bar} {place} {sound}".encode()
        digest = blake2b(key, digest_size=6).digest()
        total = sum(int.from_bytes(digest[i : i + 2], "big") for i in (0, 2, 4))
        return Fraction(2 * total - 3 * _MOST_DRAWN, _MOST_DRAWN)


_MOST_DRAWN: Final = 2**16 - 1
"""The greatest even draw, of two bytes."""
