"""Where the bars of a spot lie on a recording, and a steady beat to hear them against.

Problem.  A player wants to hear one bar of a take again, alone or with a click.  Method.  A bar
lasts from the first of its notes that was heard to the first that was heard of a later bar.
The beat is that of the click which was played to, where one is known, else the straight line
through the player's own attacks (least squares), so that what drags or hurries is heard.

Conventions.  Seconds from the start of the recording; quarters from the start of the spot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from drills.listening.verdict import NoteVerdict, Verdict
from drills.listening.wanted import Wanted, WantedNote

FEWEST: Final = 3
"""Attacks that make a beat."""
STEADY: Final = (0.1, 6.0)
"""Seconds a quarter between which a beat is believed."""


@dataclass(frozen=True, slots=True)
class SteadyBeat:
    """A beat without end."""

    first: float
    """Seconds at which the first quarter of the spot is due."""
    quarter: float
    """Seconds."""

    def at(self, quarters: float) -> float:
        """When a place of the spot is due."""
        return self.first + quarters * self.quarter


@dataclass(frozen=True, slots=True)
class BarTime:
    """A bar on the recording."""

    number: str
    """As it is printed."""
    begin: float
    end: float
    notes: tuple[int, int]
    """Numbers of its first and last note."""


def bar_times(wanted: Wanted, verdict: Verdict) -> tuple[BarTime, ...]:
    """The bars of which something was heard, in the order of the page."""
    bars = sorted({note.bar for note in wanted.notes})
    found = []
    for bar in bars:
        own = [n for n in verdict.notes if _written(wanted, n).bar == bar]
        heard = [n for n in own if n.seconds is not None]
        if not heard:
            continue
        begin = min(_second(n) for n in heard)
        found.append(
            BarTime(
                wanted.bar_words[bar] if bar < len(wanted.bar_words) else str(bar + 1),
                begin,
                _end(wanted, verdict, bar, heard),
                (own[0].number, own[-1].number),
            )
        )
    return tuple(found)


def _end(wanted: Wanted, verdict: Verdict, bar: int, heard: Sequence[NoteVerdict]) -> float:
    last = max(heard, key=_second)
    later = [
        _second(n)
        for n in verdict.notes
        if n.seconds is not None and _written(wanted, n).bar > bar and _second(n) > _second(last)
    ]
    if later:
        return min(later)
    quarter = wanted.pace if last.tempo is None else 60 / last.tempo
    return _second(last) + _written(wanted, last).length * quarter


def _written(wanted: Wanted, note: NoteVerdict) -> WantedNote:
    return wanted.notes[wanted.mains[note.number - 1]]


def _second(note: NoteVerdict) -> float:
    return 0.0 if note.seconds is None else note.seconds


def own_beat(wanted: Wanted, verdict: Verdict) -> SteadyBeat | None:
    """The straight line through the right notes; None where there are too few."""
    right = [n for n in verdict.notes if n.call == "right" and n.seconds is not None]
    at = [_written(wanted, n).at for n in right]
    if len(set(at)) < FEWEST:
        return None
    quarter, first = (float(one) for one in np.polyfit(at, [_second(n) for n in right], 1))
    return SteadyBeat(first, quarter) if STEADY[0] <= quarter <= STEADY[1] else None
