"""One stretch of a practice: something to play at one tempo."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Rung:
    """One thing to play at one tempo."""

    what: str
    """Such as "The spot as it stands", "Two notes at a time, 4-6"."""
    tempo: float
    """Quarters a minute."""
    words: str
    """The number on the metronome."""
    start: float
    """Seconds on the plan, its count-in first."""
    times: tuple[float, ...]
    """When each time through begins; empty where the plan does not tell."""
    end: float
