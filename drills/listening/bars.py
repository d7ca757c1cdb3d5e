"""Which bars of a spot were played, and in which order.

Problem.  Who practises half a spot, or its bars in another order, is told of many missed
notes, or that this is not the spot.  Method.  A bar was played where nearly all of its notes
were heard as written; the order is that in which they were heard.  Bars of fewer than
``FEWEST`` notes (the landing) tell nothing by themselves.

Conventions.  Bars by their printed numbers.  The shares are our own choice, tried on takes
that are and takes that are not of the spot.  Who begins or stops within a bar has played a part
of it, if that part is a row of notes from its first or up to its last.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import groupby, pairwise
from typing import Final

from drills.listening.played import Played, PlayedNote
from drills.listening.states import ADDED, NOTE, WRONG
from drills.listening.verdict import NoteVerdict, PlayedBars
from drills.listening.wanted import Wanted

FEWEST: Final = 3
"""Notes of a bar that tells something."""
PLAYED: Final = 0.8
"""Share of a bar's notes that were right, from which on it was played ..."""
LEFT_OUT: Final = 0.3
"""... and up to which it was left out."""
EVIDENCE: Final = 8
"""Notes that must have been heard in the bars that were played."""
SOUNDING: Final = 0.6
"""Share of the loud time that they must explain."""
FOREIGN: Final = 0.15
"""Share of what was heard that may be wrong or added."""


def played_bars(wanted: Wanted, played: Played, notes: Sequence[NoteVerdict]) -> PlayedBars | None:
    """The bars that were played; None where all were in order, or where it cannot be told."""
    bars = [note.bar for note in wanted.notes]
    mains = wanted.mains
    size = Counter(bars[n] for n in mains)
    right = Counter(bars[mains[note.number - 1]] for note in notes if note.call == "right")
    telling = [bar for bar in dict.fromkeys(bars) if size[bar] >= FEWEST]
    if len(telling) < 2:
        return None
    heard = {note.number - 1 for note in notes if note.call == "right"}
    whole = {bar for bar in telling if right[bar] >= PLAYED * size[bar]}
    none = {bar for bar in telling if right[bar] <= LEFT_OUT * size[bar]}
    parts: dict[int, str] = {}
    for bar in set(telling) - whole - none:
        part = _part_of([n for n, main in enumerate(mains) if bars[main] == bar], heard)
        if part is None:
            return None  # bits of bars: a take with faults, or another spot
        parts[bar] = part
    played_ones = whole | set(parts)
    if not whole or len(parts) > 2:
        return None
    order = _order(played, bars, played_ones)
    complete = order == telling and not parts
    if complete or not _sure(played, bars, played_ones):
        return None
    ascending = order == sorted(order, key=telling.index)
    names = tuple(wanted.bar_words[bar] + parts.get(bar, "") for bar in order)
    return PlayedBars(names, ascending)


def _part_of(numbers: Sequence[int], heard: set[int]) -> str | None:
    """Which part of a bar's notes was heard, in words; None where it is neither its
    beginning nor its end."""
    for size in range(len(numbers) - 1, FEWEST - 1, -1):
        for inside, outside, words in (
            (numbers[:size], numbers[size:], f" up to note {numbers[size - 1] + 1}"),
            (numbers[-size:], numbers[:-size], f" from note {numbers[-size] + 1} on"),
        ):
            ends = inside[0] in heard and inside[-1] in heard
            enough = len(heard.intersection(inside)) >= PLAYED * size
            if ends and enough and not heard.intersection(outside):
                return words
    return None


def _order(played: Played, bars: Sequence[int], whole: set[int]) -> list[int]:
    """The bars as they were first begun: going back to one is a restart, not an order."""
    heard = [bars[one.note] for one in played.notes if one.kind == NOTE]
    rows = [(bar, len(list(row))) for bar, row in groupby(heard) if bar in whole]
    return list(dict.fromkeys(bar for bar, count in rows if count >= FEWEST - 1))


def _sure(played: Played, bars: Sequence[int], whole: set[int]) -> bool:
    """Enough of it, in order within each bar, and little else."""
    inside = [one for one in played.notes if one.kind == NOTE and bars[one.note] in whole]
    foreign = sum(one.kind in (WRONG, ADDED) for one in played.notes)
    return (
        len({one.note for one in inside}) >= EVIDENCE
        and played.sounding >= SOUNDING
        and foreign <= FOREIGN * len(played.notes)
        and _within(inside, bars) >= PLAYED
    )


def _within(heard: Sequence[PlayedNote], bars: Sequence[int]) -> float:
    """Share of neighbours in one bar that follow one another as written."""
    pairs = [(a, b) for a, b in pairwise(heard) if bars[a.note] == bars[b.note]]
    return sum(b.note == a.note + 1 for a, b in pairs) / len(pairs) if pairs else 0.0
