"""What was heard in a recording, as a MIDI file in its own time."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Final

from mido import Message, MetaMessage, MidiFile, MidiTrack

TICKS: Final = 960
TEMPO: Final = 500_000
"""Microseconds a quarter: 120, so that a second is 1920 ticks."""
LOUD: Final = 80


def heard_midi_bytes(notes: Sequence[tuple[float, float, int]], name: str) -> bytes:
    """A format 0 file of notes: when each begins and ends in seconds, and its key."""
    events: list[tuple[int, int, Message]] = []
    for begin, end, key in notes:
        start = round(max(begin, 0.0) * TICKS * 1e6 / TEMPO)
        stop = max(round(end * TICKS * 1e6 / TEMPO), start + 1)
        events.append((start, 1, Message("note_on", note=key, velocity=LOUD)))
        events.append((stop, 0, Message("note_off", note=key, velocity=0)))
    track = MidiTrack([MetaMessage("track_name", name=name), MetaMessage("set_tempo", tempo=TEMPO)])
    now = 0
    for tick, _, message in sorted(events, key=lambda event: event[:2]):
        track.append(message.copy(time=tick - now))
        now = tick
    file = MidiFile(type=0, ticks_per_beat=TICKS, charset="utf-8")
    file.tracks.append(track)
    out = io.BytesIO()
    file.save(file=out)
    return out.getvalue()
