"""Places in a part, as a player says them.

Types first, so that spots and sheets can speak of places; reading a place's
text and finding it in a part follow below.
"""

from __future__ import annotations

from dataclasses import dataclass

from drills.music.time import Position


@dataclass(frozen=True, slots=True)
class Place:
    """A point in a part."""

    bar: int
    """Index of the bar in the part."""
    start: Position
    """Position in the bar."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a part: from ``first`` on, up to ``end``."""

    first: Place
    end: Place
    """Where the stretch ends."""
    includes_end: bool
    """True: what is attacked at ``end`` belongs to it ("to beat 1 of bar 34").
    False: the stretch ends just before (the end of a bar or of a beat)."""
    asked: str
    """What the player typed, such as "E:3-E:4@1"."""
    words: str
    """The same for reading: "bar 33, the first bar of E, to beat 1 of bar 34"."""
