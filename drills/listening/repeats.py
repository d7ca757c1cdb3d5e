"""One recording with several times through: each by itself, and what comes back.

What goes wrong once is a slip; what comes back is a habit.  A time through begins where the
player goes back to one of the first two notes after having come past the middle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from drills.listening.judging import judge
from drills.listening.played import Played, PlayedNote
from drills.listening.states import NOTE, WRONG
from drills.listening.thresholds import called_late
from drills.listening.verdict import Verdict
from drills.listening.wanted import Wanted

OFTEN: Final = 0.6
"""Share of the times from which on something is a habit."""


@dataclass(frozen=True, slots=True)
class Habit:
    """What comes back at one written note."""

    number: int
    what: str
    """"late", "early", "wrong" or "missed"."""
    times: int
    of: int
    late: float | None
    """Mean, milliseconds."""
    spread: float | None
    """Standard deviation from time to time, milliseconds."""


def times_through(played: Played, wanted: Wanted) -> tuple[Played, ...]:
    """The take cut into its times through."""
    parts: list[list[PlayedNote]] = [[]]
    furthest, run = -1, 0
    for one in played.notes:
        anew = one.run != run and one.kind in (NOTE, WRONG) and one.note <= 1
        if anew and furthest >= len(wanted.notes) / 2:
            parts.append([])
            furthest = -1
        run, furthest = one.run, max(furthest, one.note)
        parts[-1].append(one)
    return tuple(replace(played, notes=tuple(part)) for part in parts if part)


def judge_all(
    wanted: Wanted, played: Played, click: tuple[float, float] | None = None
) -> tuple[Verdict, ...]:
    """A verdict for every time through; one where nothing was heard.

    ``click`` is that of ``judge``; it is that of a single time through, and of several none.
    """
    times = times_through(played, wanted)
    if len(times) < 2:
        return (judge(wanted, times[0] if times else played, click),)
    return tuple(judge(wanted, one) for one in times)


def habits(verdicts: Sequence[Verdict]) -> tuple[Habit, ...]:
    """What comes back, the worst first; empty for fewer than three times through."""
    full = [v for v in verdicts if not v.refused]
    if len(full) < 3:
        return ()
    found = []
    for place in range(len(full[0].notes)):
        own = [v.notes[place] for v in full]
        told = [
            called_late(v.notes[place].late, v.uncertain)
            for v in full
            if v.notes[place].call == "right"
        ]
        late = np.array([n.late for n in own if n.late is not None and n.call == "right"])
        spread = float(late.std()) if len(late) > 1 else None
        mean = float(late.mean()) if len(late) else None
        for what, count in (
            ("wrong", sum(n.call == "wrong" for n in own)),
            ("missed", sum(n.call == "missed" for n in own)),
            ("late", told.count("late")),
            ("early", told.count("early")),
        ):
            if count >= max(OFTEN * len(own), 2):
                found.append(Habit(own[0].number, what, count, len(own), mean, spread))
    return tuple(sorted(found, key=lambda h: (h.what in ("late", "early"), -abs(h.late or 0.0))))
