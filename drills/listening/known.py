"""What the time of an attack and a pitch are known to: how far the ear may be off, by itself.

Problem.  A soft attack in a room is told less well than a tongued one in the open, and nothing
may be called late that is only the ear's error.  Method.  The network that places an attack
says how wide the moments lie that it finds likely (attack_net.py); how far its word is to be
trusted was counted on takes of recorded tones whose truth is known (docs/listening.md).

Conventions.  Milliseconds; cents.
"""

from __future__ import annotations

from typing import Final

from drills.listening.doubts import doubt_of
from drills.listening.onsets import Attack
from drills.listening.played import Played, PlayedNote

TIMES_SPREAD: Final = 2.0
"""An attack is known to so many of its spreads, nineteen times in twenty ..."""
LEAST: Final = 3.0
"""... but to no less: milliseconds."""
REPEATED_IN_ROOM: Final = 60.0
"""Milliseconds that the same pitch again is known to in a room, at least: one in ten is taken for
another rise of a tone that went on, and the network does not know it."""
KNOWN_CENTS: Final = 5.0
"""Cents that a pitch which is told is known to, nineteen times in twenty, in a room too."""
IN_DOUBT: Final = 100.0
"""Where the room echoes long or others sound: no attack farther off its beat is counted there."""


def known_to(one: PlayedNote, played: Played) -> float:
    """Milliseconds that the time of an attack is known to, nineteen times in twenty."""
    if doubt_of(played):
        return IN_DOUBT
    least = REPEATED_IN_ROOM if played.room and one.attack is Attack.REPEATED else LEAST
    return max(1000 * TIMES_SPREAD * one.spread, least)
