"""What the time of an attack and a pitch are known to: how far the ear may be off, by itself.

Problem.  A soft attack in a room is told less well than a tongued one in the open, and nothing
may be called late that is only the ear's error.  Method.  A table: within how many
milliseconds nineteen of twenty attacks of a kind were told, on takes of recorded tones whose
truth is known (docs/listening.md says which).

Conventions.  Milliseconds; cents.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from drills.listening.doubts import doubt_of
from drills.listening.hearing import frequency
from drills.listening.onsets import Attack
from drills.listening.played import Played, PlayedNote

KNOWN: Final[Mapping[Attack, tuple[tuple[float, float], tuple[float, float]]]] = {
    Attack.TONGUED: ((5.0, 2.5), (12.0, 4.0)),
    Attack.REPEATED: ((5.0, 2.5), (33.0, 2.5)),
    Attack.SLURRED: ((4.0, 1.5), (12.0, 4.0)),
    Attack.SILENCE: ((9.0, 2.5), (28.0, 2.5)),
}
"""Kind of attack -> in the dry, and in a room: milliseconds, and how many periods of the tone on
top, since none can be told in a part of one.  Noise and a phone's gain are counted in."""
KNOWN_CENTS: Final = 5.0
"""Cents that a pitch which is told is known to, nineteen times in twenty, in a room too."""
IN_DOUBT: Final = 100.0
"""Where the room echoes long or others sound: no attack farther off its beat is counted there."""


def known_to(one: PlayedNote, played: Played) -> float:
    """Milliseconds that the time of an attack is known to, nineteen times in twenty."""
    if doubt_of(played):
        return IN_DOUBT
    always, periods = KNOWN[one.attack][played.room]
    return always + 1000 * periods / frequency(one.key)
