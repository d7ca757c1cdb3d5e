"""A reader of standard MIDI files, written from the specification for the tests.

Source: Standard MIDI Files 1.0 (MIDI Manufacturers Association, 1988): header
and track chunks, variable-length quantities, meta events, running status.  It
knows nothing of the writer, and no library.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

DATA_BYTES = {0x80: 2, 0x90: 2, 0xA0: 2, 0xB0: 2, 0xC0: 1, 0xD0: 1, 0xE0: 2}


@dataclass(frozen=True)
class Event:
    tick: int
    status: int
    """0xFF for a meta event, else status byte with channel."""
    data: bytes
    meta: int = -1


@dataclass(frozen=True)
class MidiNote:
    on: int
    off: int
    channel: int
    key: int
    velocity: int


@dataclass(frozen=True)
class Smf:
    format: int
    division: int
    tracks: tuple[tuple[Event, ...], ...]

    def metas(self, kind: int) -> list[tuple[int, bytes]]:
        """Tick and data of every meta event of a kind."""
        return [(e.tick, e.data) for track in self.tracks for e in track if e.meta == kind]

    def seconds(self, tick: int) -> float:
        """By the tempo events; 120 a minute before the first, as the specification says."""
        at, now, per_quarter = 0.0, 0, 500_000
        for when, data in sorted(self.metas(0x51)):
            if when > tick:
                break
            at += (when - now) * per_quarter / self.division / 1e6
            now, per_quarter = when, int.from_bytes(data, "big")
        return at + (tick - now) * per_quarter / self.division / 1e6


def variable_length(data: bytes, at: int) -> tuple[int, int]:
    """The quantity at a place, and where the next byte is."""
    value = 0
    while True:
        value = value << 7 | data[at] & 0x7F
        at += 1
        if not data[at - 1] & 0x80:
            return value, at


def read(data: bytes) -> Smf:
    """The whole file."""
    assert data[:8] == b"MThd\x00\x00\x00\x06"
    kind, count, division = (int.from_bytes(data[i : i + 2], "big") for i in (8, 10, 12))
    at, tracks = 14, []
    for _ in range(count):
        assert data[at : at + 4] == b"MTrk"
        size = int.from_bytes(data[at + 4 : at + 8], "big")
        tracks.append(tuple(_events(data[at + 8 : at + 8 + size])))
        at += 8 + size
    assert at == len(data)
    return Smf(kind, division, tuple(tracks))


def _events(data: bytes) -> Iterator[Event]:
    at = tick = status = 0
    while at < len(data):
        delta, at = variable_length(data, at)
        tick += delta
        if data[at] & 0x80:
            status = data[at]
            at += 1
        if status == 0xFF:
            kind = data[at]
            size, at = variable_length(data, at + 1)
            yield Event(tick, status, data[at : at + size], kind)
        else:
            size = DATA_BYTES[status & 0xF0]
            yield Event(tick, status, data[at : at + size])
        at += size


def notes(track: tuple[Event, ...]) -> list[MidiNote]:
    """Notes in order of their beginning; a note-on of velocity 0 ends one."""
    sounding: dict[tuple[int, int], list[tuple[int, int]]] = {}
    found = []
    for event in track:
        kind, channel = event.status & 0xF0, event.status & 0x0F
        if event.status == 0xFF or kind not in (0x80, 0x90):
            continue
        key, velocity = event.data
        if kind == 0x90 and velocity:
            sounding.setdefault((channel, key), []).append((event.tick, velocity))
        else:
            on, loud = sounding[channel, key].pop(0)
            found.append(MidiNote(on, event.tick, channel, key, loud))
    assert not any(sounding.values()), "a note never ends"
    return sorted(found, key=lambda note: (note.on, note.key))
