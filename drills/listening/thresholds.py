"""THE TABLE OF THRESHOLDS: from where on something is called late, uneven or out of tune.

Each row has its value, unit and source.  "practice" marks what is common practice or our own
choice; figures of papers are from their abstracts or from summaries, as docs/listening.md
says in full.  A player may put other values in the place of these, for one call.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from drills.errors import UsageError


@dataclass(frozen=True, slots=True)
class Threshold:
    """One value."""

    value: float
    unit: str
    why: str
    source: str


THRESHOLDS: Final = {
    "displaced": Threshold(
        0.025,
        "of the interval",
        "one attack is heard to be displaced, for intervals over 240 ms (6 ms for shorter ones)",
        "Friberg and Sundberg, J. Acoust. Soc. Am. 98 (1995), abstract",
    ),
    "late": Threshold(
        25.0,
        "ms",
        "an attack is called late or early: about the spread of wind players who play together",
        "Rasch, Acustica 43 (1979): 27 to 37 ms, quoted figures",
    ),
    "unsure": Threshold(
        10.0,
        "ms",
        "nothing smaller is told from a soft attack",
        "measured on recorded tones, docs/listening.md",
    ),
    "uneven": Threshold(
        20.0,
        "ms",
        "the spread of equal values is called uneven",
        "practice; expert scales at the piano spread by 8 to 9 ms (Jabusch 2006, summary)",
    ),
    "tempo": Threshold(
        0.03,
        "share",
        "a change of tempo is heard over six intervals",
        "Drake and Botte, Percept. Psychophys. 54 (1993), abstract",
    ),
    "tuning": Threshold(
        10.0,
        "cents",
        "a tone is heard to be out of tune",
        "Hill and Summers 2007, summary",
    ),
    "mistuned": Threshold(25.0, "cents", "a tone is called out of tune", "practice"),
    "unsteady": Threshold(
        20.0,
        "cents",
        "half the range of a tone's middle, from which on it is called unsteady",
        "practice; twice what is heard to be out of tune",
    ),
    "swing": Threshold(
        0.2,
        "of the ratio",
        "eighths are called longer or shorter than the ratio that was meant",
        "practice; measured ratios are known to about 0.05, docs/listening.md",
    ),
    "gap": Threshold(
        40.0,
        "ms",
        "silence under a slur that is told",
        "practice; about the shortest tone that the listener can tell",
    ),
    "better": Threshold(
        0.2,
        "of the first take's",
        "a spread in time has become smaller or larger from take to take",
        "practice; one spread of 16 attacks is known to about that (normal law)",
    ),
    "short": Threshold(
        0.15, "s", "under which nothing is said about pitch", "measured, docs/listening.md"
    ),
}
"""Name -> value."""


@dataclass(frozen=True, slots=True)
class Thresholds:
    """The table with what a player has put in the place of some values."""

    changed: tuple[tuple[str, float], ...] = ()

    def __call__(self, name: str) -> float:
        """The value in force."""
        return dict(self.changed).get(name, THRESHOLDS[name].value)

    def with_values(self, values: Mapping[str, str]) -> Thresholds:
        """With other values by name; UsageError for an unknown name or what is no number."""
        found = dict(self.changed)
        for name, text in values.items():
            if name not in CHANGEABLE:
                raise UsageError(f"no threshold is called {name!r}; {', '.join(CHANGEABLE)}")
            try:
                value = float(text)
            except ValueError:
                value = 0.0
            if not 0 < value <= MOST * THRESHOLDS[name].value:
                raise UsageError(
                    f"{name}={text}: give a number over 0 and up to "
                    f"{MOST * THRESHOLDS[name].value:g} {THRESHOLDS[name].unit}"
                )
            found[name] = value
        return Thresholds(tuple(found.items()))

    def called_late(self, ms: float | None, uncertain: float, apart: float = 0.0) -> str:
        """ "late" or "early" for an attack that is to be called so; empty for one in time.

        ``ms``: how long after its due time it came, None where that is not known;
        ``uncertain``: milliseconds that it is known to, by which it must be over the threshold;
        ``apart``: milliseconds since the note before it, where that is known.
        """
        least = max(self("late"), self("unsure"), self("displaced") * apart)
        if ms is None or abs(ms) <= least + uncertain:
            return ""
        return "late" if ms > 0 else "early"

    def called_uneven(self, spread: float, uncertain: float) -> bool:
        """Whether attacks that spread by so many ms (a standard deviation) are called uneven.

        The ear's own errors, 1.96 of whose standard deviation an attack is known to, are in the
        spread as well: variances add up.
        """
        return spread > math.hypot(self("uneven"), uncertain / 1.96)


USUAL: Final = Thresholds()
MOST: Final = 20
"""Times its usual value that a threshold may have."""
CHANGEABLE: Final = tuple(
    name for name in THRESHOLDS if name not in ("displaced", "unsure", "short")
)
"""What a player may change: not what an ear or the listener can do."""
