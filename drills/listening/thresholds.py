"""THE TABLE OF THRESHOLDS: from where on something is called late, uneven or out of tune.

Each row has its value, unit and source.  "practice" marks what is common practice or our own
choice; figures of papers are from their abstracts or from summaries, as docs/listening.md
says in full.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


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
        "one attack is heard to be displaced, for intervals over 240 ms",
        "Friberg and Sundberg, J. Acoust. Soc. Am. 98 (1995), abstract",
    ),
    "displaced-least": Threshold(
        6.0,
        "ms",
        "the same for intervals under 240 ms",
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
    "short": Threshold(
        0.15, "s", "under which nothing is said about pitch", "measured, docs/listening.md"
    ),
}
"""Name -> value."""


def threshold(name: str) -> float:
    """The value of a row."""
    return THRESHOLDS[name].value


def called_late(ms: float | None, uncertain: float) -> str:
    """ "late" or "early" for an attack that is to be called so; empty for one in time.

    ``ms``: how long after its due time it came, None where that is not known;
    ``uncertain``: milliseconds that it is known to, by which it must be over the threshold.
    """
    if ms is None or abs(ms) <= threshold("late") + uncertain:
        return ""
    return "late" if ms > 0 else "early"
