"""The tracks that sound: one for each part, and the count before every drill."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import floor
from typing import Final

from mido import Message, MetaMessage

from drills.instruments.general_midi import DRUM_CHANNEL, HIGH_CLICK, LOW_CLICK, drum_of, program_of
from drills.music.pitch import Unpitched
from drills.music.time import START, Length
from drills.output.midi.grid import Grid, Happening, Placed, storable
from drills.output.midi.messages import BEND_PER_SEMITONE
from drills.sound.timeline import DrillTime, Sound

PLAIN_VELOCITY: Final = 80
ACCENT_VELOCITY: Final = 112
GRACE_VELOCITY: Final = 72

_CLICK: Final = Length(Fraction(1, 8))
"""What a wood block sounds."""


def player(name: str, placed: Sequence[Placed], channel: int, grid: Grid) -> Iterator[Happening]:
    yield Happening(0, MetaMessage("track_name", name=storable(name)))
    program, bend = None, 0
    for one in placed:
        for drill in one.line.drills:
            for bar in drill.bars:
                wanted = program_of(bar.bar.instrument.name)
                if wanted is not None and wanted != program:
                    program = wanted
                    message = Message("program_change", channel=channel, program=program)
                    yield Happening(grid.tick(one.at(bar.at)), message)
            for sound in drill.sounds:
                on = grid.tick(one.at(sound.at))
                if (wanted_bend := _bend(sound)) != bend:
                    bend = wanted_bend
                    message = Message("pitchwheel", channel=channel, pitch=bend)
                    yield Happening(on, message)
                off = max(on + 1, grid.tick(one.at(sound.at + sound.length)))
                yield from _notes(sound, on, off, channel)


def _notes(sound: Sound, on: int, off: int, channel: int) -> Iterator[Happening]:
    velocity = ACCENT_VELOCITY if sound.accent else PLAIN_VELOCITY
    velocity = GRACE_VELOCITY if sound.grace else velocity
    for key in sound.keys:
        if isinstance(key, Unpitched):
            where, note = DRUM_CHANNEL, drum_of(key)
        else:
            where, note = channel, _in_range(_nearest(key))
        begin = Message("note_on", channel=where, note=note, velocity=velocity)
        yield Happening(on, begin)
        yield Happening(off, Message("note_off", channel=where, note=note, velocity=64))


def _bend(sound: Sound) -> int:
    key = sound.keys[0]
    if isinstance(key, Unpitched):
        return 0
    return round((key - _nearest(key)) * BEND_PER_SEMITONE)


def _nearest(key: Fraction) -> int:
    return floor(key + Fraction(1, 2))


def _in_range(note: int) -> int:
    """A key that MIDI has: the same note in its lowest or highest octave where it has not."""
    if note < 0:
        return note % 12
    return note if note <= 127 else note - 12 * -(-(note - 127) // 12)


def count_track(placed: Sequence[Placed], grid: Grid) -> Iterator[Happening]:
    """The beats of every counted bar; the first of a bar is the high wood block."""
    yield Happening(0, MetaMessage("track_name", name="Count"))
    for one in placed:
        for drill in one.line.drills:
            for on, note in _clicks(one, drill, grid):
                begin = Message("note_on", channel=DRUM_CHANNEL, note=note, velocity=PLAIN_VELOCITY)
                end = Message("note_off", channel=DRUM_CHANNEL, note=note, velocity=64)
                yield Happening(on, begin)
                yield Happening(on + grid.tick(START + _CLICK), end)


def _clicks(one: Placed, drill: DrillTime, grid: Grid) -> Iterator[tuple[int, int]]:
    for beat in drill.beats:
        if beat.counted:
            note = HIGH_CLICK if beat.number == 1 else LOW_CLICK
            yield grid.tick(one.at(beat.at)), note
