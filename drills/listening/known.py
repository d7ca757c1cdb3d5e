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
from drills.listening.onsets import Attack
from drills.listening.played import Played, PlayedNote

KNOWN: Final[Mapping[Attack, tuple[float, float]]] = {
    Attack.TONGUED: (13.0, 28.0),
    Attack.REPEATED: (13.0, 50.0),
    Attack.SLURRED: (9.0, 28.0),
    Attack.SILENCE: (18.0, 35.0),
}
"""Kind of attack -> in the dry, and in a room.  A phone's gain and noise are counted in."""


KNOWN_CENTS: Final = 5.0
"""Cents that a pitch which is told is known to, nineteen times in twenty, in a room too."""
IN_DOUBT: Final = 100.0
"""Where the room echoes long or others sound: no attack farther off its beat is counted there."""


def known_to(one: PlayedNote, played: Played) -> float:
    """Milliseconds that the time of an attack is known to, nineteen times in twenty."""
    return IN_DOUBT if doubt_of(played) else KNOWN[one.attack][played.room]
