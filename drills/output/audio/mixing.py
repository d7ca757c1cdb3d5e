"""Events in order of time -> blocks of samples, whatever the length of the whole.

Problem: an hour of sound must be exact to the sample and take no more memory than a
minute.  Method: events are taken from their stream block by block; each one's
first sample is worked out from its own exact time, so that no rounding adds up;
a block is the sum of what sounds in it, always in the order of the events, so
that the samples do not depend on the size of the blocks.

Conventions: mono, floats, 1.0 being full scale.  Mono, because the events have no
places in a room: a click in the middle of the head is the easiest to follow, both
ears hear the same, and the file is half the size.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor, log2
from typing import Final

import numpy as np

from drills.output.audio.shapes import Wave
from drills.output.audio.soundfont import Note
from drills.output.audio.speech import spoken
from drills.output.audio.struck import CHOKED_BY, TAIL_STEP, Struck, struck
from drills.output.audio.tones import HELD, POINTS, Cycle, cycle, heard, ramp, timbre_of
from drills.sound.practice.events import Event, Spoken, Strike, frequency

BLOCK: Final = 16_384
"""Frames of a block; also what is handed to the encoder at a time."""
_CHOKE_SECONDS: Final = 0.008
"""In which a choked sound goes."""


@dataclass(frozen=True, slots=True)
class Terms:
    """What holds for the whole file."""

    rate: int
    """Samples a second."""
    amplitudes: Mapping[str, float]
    """Full scale of each voice, linear."""
    a4: Fraction = Fraction(440)
    """Hz."""
    notes: Callable[[str, float, int], Note | None] | None = None
    """What plays tones in place of ours: from voice, MIDI key against 440 Hz and frames held;
    None where it has nothing for the key, which is ours again."""

    def sample(self, seconds: Fraction) -> int:
        """The sample nearest to a time."""
        return floor(seconds * self.rate + Fraction(1, 2))


@dataclass(frozen=True, slots=True, eq=False)
class Ringing:
    """A struck sound in the file."""

    sound: Struck
    first: int
    last: int
    """Samples of the file; ``last`` is the one after the end."""
    amplitude: float
    name: str
    choke: int = 0
    """Samples of the ramp with which it ends early."""

    def bound(self, start: int) -> float:
        """What its true peak cannot exceed from ``start`` on."""
        return self.amplitude * self.sound.tails[max(0, start - self.first) // TAIL_STEP]

    def add(self, out: Wave, start: int) -> None:
        """Add what falls into ``out``, a block that begins at sample ``start``."""
        begin, end = max(self.first, start), min(self.last, start + len(out))
        part = self.sound.wave[begin - self.first : end - self.first] * self.amplitude
        _fade(part, begin, self.last, self.choke)
        out[begin - start : end - start] += part

    def choked(self, at: int, rate: int) -> Ringing:
        """The same sound, stopped at a sample."""
        count = max(1, round(_CHOKE_SECONDS * rate))
        return replace(self, last=at + count, choke=count) if at + count < self.last else self


@dataclass(frozen=True, slots=True, eq=False)
class Sounding:
    """A tone in the file."""

    cycle: Cycle
    per_sample: float
    first: int
    last: int
    amplitude: float
    attack: int
    release: int

    def bound(self, start: int) -> float:
        """What its true peak cannot exceed from ``start`` on."""
        return self.amplitude if start < self.last else 0.0

    def add(self, out: Wave, start: int) -> None:
        """Add what falls into ``out``, a block that begins at sample ``start``."""
        begin, end = max(self.first, start), min(self.last, start + len(out))
        part = heard(self.cycle, self.per_sample, begin - self.first, end - self.first)
        part *= self.amplitude
        if begin < self.first + self.attack:
            rising = ramp(self.attack)[begin - self.first : end - self.first]
            part[: len(rising)] *= rising
        _fade(part, begin, self.last, self.release)
        out[begin - start : end - start] += part


@dataclass(frozen=True, slots=True, eq=False)
class Recorded:
    """A note of a sound font in the file."""

    note: Note
    first: int
    last: int
    amplitude: float

    def bound(self, start: int) -> float:
        """What its true peak cannot exceed from ``start`` on."""
        return self.amplitude * self.note.peak if start < self.last else 0.0

    def add(self, out: Wave, start: int) -> None:
        """Add what falls into ``out``, a block that begins at sample ``start``."""
        begin, end = max(self.first, start), min(self.last, start + len(out))
        part = self.note.wave[begin - self.first : end - self.first]
        out[begin - start : end - start] += part * self.amplitude


def _fade(part: Wave, begin: int, last: int, count: int) -> None:
    """Multiply the samples of ``part`` that lie in the last ``count`` before ``last``."""
    first = max(begin, last - count)
    if count and first < begin + len(part):
        falling = ramp(count)[::-1][first - (last - count) :]
        inside = part[first - begin :]
        inside *= falling[: len(inside)]


Sound = Ringing | Sounding | Recorded


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """A block of the file: where it lies and what sounds in it."""

    start: int
    length: int
    playing: tuple[Sound, ...]

    def bound(self) -> float:
        """What the true peak of the block cannot exceed."""
        return sum(sound.bound(self.start) for sound in self.playing)

    def mixed(self) -> Wave:
        """Its samples."""
        out = np.zeros(self.length)
        for sound in self.playing:
            sound.add(out, self.start)
        return out


def scenes(
    events: Iterator[Event], terms: Terms, frames: int, size: int = BLOCK
) -> Iterator[Scene]:
    """The file in blocks; events from ``frames`` on are left out.

    Raises ValueError for an event that begins before the block of an earlier one:
    events must come in order of time.
    """
    playing: list[Sound] = []
    waiting = next(events, None)
    for start in range(0, frames, size):
        end = min(start + size, frames)
        while waiting is not None and (at := terms.sample(waiting.at)) < end:
            if at < start:
                raise ValueError(f"an event at {waiting.at} s comes after later ones")
            _begin(waiting, at, playing, terms)
            waiting = next(events, None)
        yield Scene(start, end - start, tuple(playing))
        playing = [sound for sound in playing if sound.last > end]


def _begin(event: Event, at: int, playing: list[Sound], terms: Terms) -> None:
    amplitude = terms.amplitudes[event.voice] * event.level
    if isinstance(event, Strike):
        _choke(playing, CHOKED_BY.get(event.sound, ()), at, terms.rate)
        sound = struck(event.sound, terms.rate)
        playing.append(Ringing(sound, at, at + len(sound.wave), amplitude, event.sound))
        return
    if isinstance(event, Spoken):
        wave = spoken(event.text, terms.rate)
        playing.append(Recorded(Note(wave.astype(np.float32), 1.0), at, at + len(wave), amplitude))
        return
    last = terms.sample(event.end)
    if last <= at:
        return
    if terms.notes is not None:
        key = float(event.key) + 12 * log2(terms.a4 / 440)
        note = terms.notes(event.voice, key, last - at)
        if note is not None:
            playing.append(Recorded(note, at, at + len(note.wave), amplitude * HELD))
            return
    timbre = timbre_of(event.voice)
    hertz = frequency(event.key, terms.a4)
    playing.append(
        Sounding(
            cycle(timbre, hertz, terms.rate),
            hertz * POINTS / terms.rate,
            at,
            last,
            amplitude * HELD,
            # a tone that is shorter than its ramps still speaks, and still ends
            attack=max(1, min(round(timbre.attack * terms.rate), (last - at) // 3)),
            release=max(1, min(round(timbre.release * terms.rate), (last - at) // 2)),
        )
    )


def _choke(playing: list[Sound], names: tuple[str, ...], at: int, rate: int) -> None:
    if names:
        playing[:] = [
            sound.choked(at, rate) if isinstance(sound, Ringing) and sound.name in names else sound
            for sound in playing
        ]
