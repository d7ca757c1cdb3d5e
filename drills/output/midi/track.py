"""A track: messages with the ticks between them."""

from __future__ import annotations

from collections.abc import Iterable

from mido import MetaMessage, MidiTrack

from drills.output.midi.grid import Happening


def track(happenings: Iterable[Happening], end: int) -> MidiTrack:
    """Happenings in order, each with the ticks since the one before.

    Sounds are yielded as they begin, each with its end, and the sort keeps what
    is yielded first in front: so a key is let go before it is struck again.
    """
    messages, now = MidiTrack(), 0
    for one in sorted(happenings, key=lambda happening: happening.tick):
        messages.append(one.message.copy(time=one.tick - now))
        now = one.tick
    messages.append(MetaMessage("end_of_track", time=max(0, end - now)))
    return messages
