"""One recording with several times through: each by itself, and what comes back.

What goes wrong once is a slip; what comes back is a habit.  A time through begins where the
player goes back to one of the first two notes after having come past the middle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Final

import numpy as np

from drills.listening.clicks import Click
from drills.listening.judging import judge
from drills.listening.played import Played, PlayedNote
from drills.listening.states import ADDED, NOTE, WRONG
from drills.listening.thresholds import USUAL, Thresholds
from drills.listening.verdict import Verdict
from drills.listening.wanted import Wanted

OFTEN: Final = 0.6
"""Share of the times from which on something is a habit."""
BEFORE: Final = 0.3
"""Seconds before the first written note up to which an added one belongs to it."""
FEWEST: Final = 3
"""Times through, under which a habit cannot be told from a slip."""


@dataclass(frozen=True, slots=True)
class Habit:
    """What comes back at one written note."""

    number: int
    what: str
    """"late", "early", "wrong" or "missed"."""
    times: int
    of: int
    late: float | None
    """Mean of the times in which it came late (or early), milliseconds."""
    spread: float | None
    """Their standard deviation, milliseconds."""


def times_through(played: Played, wanted: Wanted) -> tuple[Played, ...]:
    """The take cut into its times through.

    What sounded without one written note, such as the bell of a count-in, belongs to none.
    """
    known = {one.run for one in played.notes if one.kind == NOTE}
    parts: list[list[PlayedNote]] = [[]]
    furthest, run = -1, 0
    for one in played.notes:
        if one.run not in known:
            continue
        anew = one.run != run and one.kind in (NOTE, WRONG) and one.note <= 1
        if anew and furthest >= len(wanted.notes) / 2:
            parts.append([])
            furthest = -1
        run, furthest = one.run, max(furthest, one.note)
        parts[-1].append(one)
    if not known:
        return (played,) if played.notes else ()
    full = [part for part in parts if any(one.kind == NOTE for one in part)]
    return tuple(replace(played, notes=tuple(_begun(part))) for part in full)


def _begun(part: Sequence[PlayedNote]) -> Iterator[PlayedNote]:
    """Without what sounded some time before the first written note: a count-in, a bell, tuning."""
    first = next(one for one in part if one.kind == NOTE)
    for one in part:
        if one.kind != ADDED or one.at > first.at - BEFORE:
            yield one


def judge_all(
    wanted: Wanted,
    played: Played,
    click: Click | None = None,
    thresholds: Thresholds = USUAL,
) -> tuple[Verdict, ...]:
    """A verdict for every time through; one where nothing was heard."""
    return tuple(
        judge(wanted, one, click, thresholds) for one in times_through(played, wanted)
    ) or (judge(wanted, played, click, thresholds),)


def habits(verdicts: Sequence[Verdict]) -> tuple[Habit, ...]:
    """What comes back, the worst first; empty for fewer than three times through."""
    found = [one for one in _faults(verdicts) if one.times >= max(OFTEN * one.of, 2)]
    return tuple(sorted(found, key=lambda h: (h.what in ("late", "early"), -abs(h.late or 0.0))))


def slips(verdicts: Sequence[Verdict]) -> tuple[Habit, ...]:
    """What went wrong in one time of three or more, and not again."""
    return tuple(one for one in _faults(verdicts) if one.times == 1)


def _faults(verdicts: Sequence[Verdict]) -> Iterator[Habit]:
    """What went wrong at each note, how many times out of those in which it was judged."""
    full = [v for v in verdicts if not v.refused and v.bars is None]
    if len(full) < FEWEST:
        return
    for place in range(len(full[0].notes)):
        own = [v.notes[place] for v in full if v.notes[place].call != "unclear"]
        for what in ("wrong", "missed", "late", "early"):
            so = [n for n in own if what in (n.call, n.timed)]
            if so:
                late = np.array([n.late for n in so if n.late is not None and n.timed])
                mean = float(late.mean()) if len(late) else None
                spread = float(late.std(ddof=1)) if len(late) > 1 else None
                yield Habit(own[0].number, what, len(so), len(own), mean, spread)


def clean_at_the_end(verdicts: Sequence[Verdict]) -> int:
    """How many times through in a row, the last ones, had no fault and nothing late."""
    return len(list(takewhile(lambda verdict: verdict.faultless, reversed(verdicts))))
