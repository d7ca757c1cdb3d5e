"""Two clocks for one bar: the file's rounded time and exact time, side by side.

A file counts in whole divisions of a quarter, so that its time drifts from the
exact one along a tuplet.  ``<backup>`` and ``<forward>`` move the file's clock;
the exact one follows to the same event.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from fractions import Fraction
from typing import Final

NONE: Final = Fraction(0)
"""No time at all."""


class Clocks:
    """Both clocks of one bar, in quarters from its start.

    They are one until the first rounded duration; only then does a jump need to
    know which exact time belongs to a rounded one.
    """

    def __init__(self) -> None:
        self.rounded = NONE
        self.exact = NONE
        self.latest = NONE
        """The latest exact time that was reached before the last jump."""
        self.latest_rounded = NONE
        self.latest_note = NONE
        """The same, of notes and rests only."""
        self._differ = False
        self._playing = False
        self._new = [(NONE, NONE)]
        """Rounded and exact times that are not yet in the two below."""
        self._exact_at: dict[Fraction, Fraction] = {}
        self._order: list[Fraction] = []

    def play(self, duration: Fraction, length: Fraction) -> None:
        """A note lasts ``duration`` in the file and ``length`` exactly."""
        self.rounded += duration
        if self._differ or duration != length:
            self._differ = True
            self.exact += length
        else:
            self.exact = self.rounded
        self._playing = True
        self._new.append((self.rounded, self.exact))

    def jump(self, by: Fraction) -> None:
        """A ``<backup>`` or ``<forward>``: exact time follows to the same event."""
        self.settle()
        self.rounded = max(NONE, self.rounded + by)
        self.exact = self._exact_time_of(self.rounded) if self._differ else self.rounded
        self._playing = False
        self._new.append((self.rounded, self.exact))

    def settle(self) -> None:
        """Bring the latest times up to now."""
        self.latest = max(self.latest, self.exact)
        self.latest_rounded = max(self.latest_rounded, self.rounded)
        if self._playing:
            self.latest_note = max(self.latest_note, self.exact)

    def _exact_time_of(self, rounded: Fraction) -> Fraction:
        """That of the event at that time, else as far from the event before as in the file."""
        for known, exact in self._new:
            if known not in self._exact_at:
                self._exact_at[known] = exact
                insort(self._order, known)
        self._new.clear()
        before = self._order[bisect_right(self._order, rounded) - 1]
        return self._exact_at[before] + rounded - before
