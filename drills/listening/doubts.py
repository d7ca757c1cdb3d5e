"""What a recording leaves in doubt: what may be the room's, somebody else's, or covered.

Method.  Where some of the time is fitted better by something that is not of the line, or where
a late echo was found, no fault is called, and what does not come where the player's own beat
has it may be somebody else's too.  An added note must be clear, in a room long too.
Written notes that are missing under what no pitch fits may have been there.
"""

from __future__ import annotations

from typing import Final

from drills.listening.hearing import frequency
from drills.listening.played import Played, PlayedNote
from drills.listening.states import ADDED, NOTE, WRONG

LIKELY: Final = 0.62
"""Mean cost of a note's pitch over which it is not judged."""
CROWDED: Final = (0.06, 0.1)
"""Share of the time in which something else fits better, from which on faults may be
somebody else's; in a room, where tones outlast their notes, or the room's.  Of takes by one
player the most crowded reach half of it (docs/listening.md)."""
OTHERS: Final = 0.2
"""The same share, over which it is somebody else in a room too."""
ADDED_IN_ROOM: Final = 0.5
"""Mean cost over which an added note in a room is not told."""
TRACE: Final = (0.05, 0.5)
"""Seconds under which, and mean cost over which, a note is no more than the end of the one
before it."""
PERIODS: Final = 5.0
"""Periods that a tone must sound for, to be another than is written, or one too many."""


def too_short(one: PlayedNote) -> bool:
    """It sounds for too few of its periods to be told from a neighbour, or from the end of the
    note before, as a short low tone does."""
    return (one.end - one.at) * frequency(one.key) < PERIODS


def only_a_trace(one: PlayedNote) -> bool:
    """So short, and fitting so badly, that it may as well not have been played."""
    shortest, worst = TRACE
    return one.end - one.at < shortest and one.fit > worst


def surely_added(one: PlayedNote, played: Played) -> bool:
    """Long and clear enough to be a note; in a room an echo may look like a short one."""
    if too_short(one):
        return False
    if played.room:
        return one.fit < ADDED_IN_ROOM and one.end - one.at > 0.07
    return one.fit < LIKELY


def doubt_of(played: Played) -> str:
    """Why a fault may be the room's or somebody else's: "echo", "others"; empty where not."""
    crowded = played.crowd > CROWDED[played.room]
    if played.echo or (crowded and played.room and played.crowd < OTHERS):
        return "echo"
    return "others" if crowded else ""


def covered_in(played: Played, count: int) -> frozenset[int]:
    """Written notes that were left out where something sounded that no pitch fits: they may
    have been there."""
    found: set[int] = set()
    unheard = None
    for one in played.notes:
        if unheard is not None and one.kind in (NOTE, WRONG):
            found |= set(range(unheard, one.note))
            unheard = None
        if one.kind in (ADDED, WRONG) and one.fit >= LIKELY:
            unheard = one.note + 1
    return frozenset(found if unheard is None else found | set(range(unheard, count)))
