"""Practice sound as a standard MIDI file: the same times as the audio, to a tick.

Format 1 (Standard MIDI Files 1.0, MIDI Manufacturers Association, 1988).  The first track
holds titles, tempos, time signatures and a marker for every cue; every voice has a track of
its own after it, so that the click, the drums or the line can be muted apart.

Conventions.
  * Ticks come from an event's seconds by the exact map of tempos (tempo_map.py).
  * Struck sounds are keys of the General MIDI percussion map on channel 10; tones have
    a General MIDI program for their voice.
  * A key that is a fraction, or an A that is not 440 Hz, is the nearest key with a pitch
    bend (range two semitones, the General MIDI default).  Notes that are bent differently
    at one time get different channels of their voice, as far as there are any.
  * A level is a velocity; loudness goes with its square (General MIDI Level 2, recommended
    response: 40 log10(velocity / 127) dB).
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from math import floor, lcm, log2, sqrt
from typing import Final

from mido import Message, MetaMessage, MidiFile

from drills.instruments.general_midi import DRUM_CHANNEL
from drills.output.midi.grid import MOST_TICKS, TICKS, Happening, storable
from drills.output.midi.messages import BEND_PER_SEMITONE, texts, time_signature
from drills.output.midi.tempo_map import TempoMap
from drills.output.midi.track import track
from drills.sound.practice.events import Event, Spoken, Strike, Tone
from drills.sound.practice.playable import Playable
from drills.sound.practice.voices import SOUNDS, VOICES, program

FEWEST_TICKS: Final = 960
"""Of a quarter: a tick is half a millisecond.  More only where places need it, since some
readers take a file of more than ten million ticks for a broken one."""
FULL_VELOCITY: Final = 112
"""Of a level of 1 with a gain of 0 dB, so that there is room above."""
_STRIKE_TICKS_OF_QUARTER: Final = 32
"""A struck sound ends by itself; its note lasts a 32nd part of a quarter."""
_NO_BEND: Final = 0

_CHANNELS: Final = {
    "line": (0, 1),
    "octave": (2, 3),
    "section": (4, 5, 6),
    "bass": (7, 8),
    "chord": (10, 11, 12, 13, 14, 15),
}
"""Where a voice's tones sound."""
_OTHER: Final = _CHANNELS["line"]


def practice_midi_bytes(
    practice: Playable,
    *,
    title: str = "",
    part: str = "",
    rights: str = "",
    mark: str = "",
    gains: Mapping[str, float] | None = None,
) -> bytes:
    """The whole practice as a format 1 MIDI file.

    ``part`` names the player's instrument, ``gains`` are decibels by voice on top of
    the usual ones.  Raises UsageError for a tempo below 4 quarters a minute.
    """
    tempos = TempoMap.of(practice.tempos, _ticks(practice))
    voices = _Voices(tempos, part, dict(gains or {}), 12 * log2(practice.a4 / 440))
    for event, quarters in _placed(practice, tempos):
        voices.add(event, quarters)
    steps = practice.tempos
    end = tempos.quarters(practice.duration, steps[-1])
    file = MidiFile(type=1, ticks_per_beat=tempos.ticks, charset="utf-8")
    last = tempos.tick(end)
    told = texts(
        (
            ("track_name", "name", title),
            ("copyright", "text", rights),
            ("text", "text", mark),
            ("text", "text", part),
        )
    )
    file.tracks.append(track([*told, *_conductor(practice, tempos, end)], last))
    file.tracks.extend(track(happenings, last) for happenings in voices.tracks.values())
    out = io.BytesIO()
    file.save(file=out)
    return out.getvalue()


def _ticks(practice: Playable) -> int:
    """The coarsest grid of at least FEWEST_TICKS that holds every place exactly."""
    needed = 1
    for event in practice.events():
        needed = lcm(needed, event.quarters.denominator)
        if isinstance(event, Tone):
            needed = lcm(needed, event.end_quarters.denominator)
        if needed > MOST_TICKS:
            return TICKS
    return needed * -(-FEWEST_TICKS // needed) if needed < FEWEST_TICKS else needed


def _placed(practice: Playable, tempos: TempoMap) -> Iterator[tuple[Event, Fraction]]:
    """Every event with the place that its seconds have in the map of tempos."""
    steps = iter(tempos.steps)
    step, after = next(steps), next(steps, None)
    for event in practice.events():
        while after is not None and after.at <= event.at:
            step, after = after, next(steps, None)
        yield event, tempos.quarters(event.at, step)


def _conductor(practice: Playable, tempos: TempoMap, end: Fraction) -> Iterator[Happening]:
    for tick, microseconds in tempos.tempos(end):
        yield Happening(tick, MetaMessage("set_tempo", tempo=microseconds))
    time = None
    for step in practice.tempos:
        if step.time != time:
            time = step.time
            yield Happening(tempos.tick(step.quarters), time_signature(time))
    for cue in practice.cues:
        marker = MetaMessage("marker", text=storable(cue.text))
        yield Happening(tempos.tick(cue.quarters), marker)


@dataclass(slots=True)
class _Voices:
    """The tracks of the voices, filled event by event."""

    tempos: TempoMap
    part: str
    gains: dict[str, float]
    away: float
    """Semitones that the whole is tuned away from 440 Hz."""
    tracks: dict[str, list[Happening]] = field(default_factory=dict)
    bends: dict[int, int] = field(default_factory=dict)
    """By channel, as it was last set."""
    sounding: dict[int, list[tuple[int, int]]] = field(default_factory=dict)
    """By channel: keys with the ticks at which they end."""

    def add(self, event: Event, quarters: Fraction) -> None:
        """An event at a place."""
        on = self.tempos.tick(quarters)
        if isinstance(event, Spoken):
            return  # a marker names the tempo
        if isinstance(event, Strike):
            off = on + max(1, self.tempos.ticks // _STRIKE_TICKS_OF_QUARTER)
            self._note(event, DRUM_CHANNEL, SOUNDS[event.sound], on, off)
            return
        exact = float(event.key) + self.away
        key = min(max(floor(exact + 0.5), 0), 127)
        bend = min(max(round((exact - key) * BEND_PER_SEMITONE), -8192), 8191)
        lasts = event.end_quarters - event.quarters
        off = max(on + 1, self.tempos.tick(quarters + lasts))
        channel = self._channel(event.voice, key, bend, on)
        if self.bends.get(channel, _NO_BEND) != bend:
            self.bends[channel] = bend
            message = Message("pitchwheel", channel=channel, pitch=bend)
            self._track(event.voice).append(Happening(on, message))
        self.sounding[channel].append((key, off))
        self._note(event, channel, key, on, off)

    def _note(self, event: Event, channel: int, key: int, on: int, off: int) -> None:
        begin = Message("note_on", channel=channel, note=key, velocity=self._velocity(event))
        end = Message("note_off", channel=channel, note=key, velocity=64)
        self._track(event.voice).extend((Happening(on, begin), Happening(off, end)))

    def _velocity(self, event: Event) -> int:
        gain = VOICES[event.voice].gain + self.gains.get(event.voice, 0.0)
        loud = event.level * 10 ** (gain / 20)
        return min(max(round(FULL_VELOCITY * sqrt(loud)), 1), 127)

    def _channel(self, voice: str, key: int, bend: int, on: int) -> int:
        """The first channel of the voice on which the note disturbs no other."""
        numbers = _CHANNELS.get(voice, _OTHER)
        for number in numbers:
            now = [held for held in self.sounding.get(number, []) if held[1] > on]
            self.sounding[number] = now
            bent_alike = self.bends.get(number, _NO_BEND) == bend
            if not now or (bent_alike and key not in (held for held, _ in now)):
                return number
        return min(numbers, key=lambda number: len(self.sounding[number]))

    def _track(self, voice: str) -> list[Happening]:
        if voice not in self.tracks:
            name = MetaMessage("track_name", name=VOICES[voice].words)
            self.tracks[voice] = [Happening(0, name), *self._programs(voice)]
        return self.tracks[voice]

    def _programs(self, voice: str) -> Iterable[Happening]:
        for number in _CHANNELS.get(voice, ()):
            wanted = program(voice, self.part)
            yield Happening(0, Message("program_change", channel=number, program=wanted))
