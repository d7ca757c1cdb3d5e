"""Tones from a player's own SoundFont 2 file, in place of ours.

Method: the library tinysoundfont (optional, in C) plays each note by itself from silence
at the file's rate; what it gives is one waveform, which the mixer puts at its exact
sample.  A key that is a fraction, or an A that is not 440 Hz, is the nearest key with the
channel tuned; all that follows is the font's: how late a note speaks, its vibrato, how it
dies away.

Conventions: mono, the mean of left and right.  Every note is struck alike (VELOCITY), and
scaled so that the first second of its key has a peak of 1: a tone is as loud as one of ours
at the same gain, whatever the font's own level.  After its end a note has TAIL seconds to
die away.  Strokes stay ours: no recording begins with its first sample as they do.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field
from math import floor
from pathlib import Path
from types import ModuleType
from typing import Final, Protocol

import numpy as np
import numpy.typing as npt

from drills.errors import UsageError
from drills.output.audio.font_file import FontFile, read_font
from drills.output.audio.shapes import half_cosine
from drills.output.audio.truepeak import true_peak

INSTALL: Final = "pip install --no-deps tinysoundfont"
"""Without what it depends on: that is for playing aloud, and has to be compiled."""
VELOCITY: Final = 100
TAIL: Final = 0.25
"""Seconds in which a note has to be silent after its end."""
CACHE_BYTES: Final = 64 * 2**20
"""Of notes that are kept in case they come again."""
_DRUMS: Final = 128
"""The bank of percussion."""
_SILENT: Final = 1e-6
_FLUSH: Final = 4096
"""Frames that are played at a time until a note has gone."""
_MOST_FLUSHES: Final = 64

Samples = npt.NDArray[np.float32]


class Synth(Protocol):
    """What is used of the library, under its names."""

    def sfload(self, filename_or_bytes: bytes) -> int: ...
    def program_select(
        self, chan: int, sfid: int, bank: int, preset: int, is_drums: bool
    ) -> None: ...
    def set_tuning(self, chan: int, tuning: float) -> None: ...
    def noteon(self, chan: int, key: int, velocity: int) -> bool: ...
    def noteoff(self, chan: int, key: int) -> bool: ...
    def sounds_off(self) -> None: ...
    def generate(self, samples: int) -> memoryview: ...


@dataclass(frozen=True, slots=True, eq=False)
class Note:
    """A note that is finished, from its first sample to the last of its tail."""

    wave: Samples
    """Never changed."""
    peak: float
    """Its true peak, linear."""


@dataclass(frozen=True, slots=True, eq=False)
class SoundFont:
    """A file that is ready to be played."""

    file: FontFile
    library: ModuleType

    def chosen(self, program: int) -> tuple[int, int]:
        """Bank and program that stand for a General MIDI program: the first preset if none."""
        asked = (0, program)
        return asked if asked in self.file.presets else self.file.presets[0]

    def at(self, rate: int) -> Player:
        """What plays its notes at so many samples a second."""
        return Player(self, rate)


@dataclass(slots=True, eq=False)
class Player:
    """Plays notes one by one, and keeps the last ones within CACHE_BYTES."""

    font: SoundFont
    rate: int
    _synth: Synth | None = None
    _levels: dict[tuple[int, int], float] = field(default_factory=dict)
    """What a key's first second is multiplied by; 0 for a key that the font leaves silent."""
    _notes: OrderedDict[tuple[int, float, int], Note] = field(default_factory=OrderedDict)
    _bytes: int = 0

    def note(self, program: int, key: float, frames: int) -> Note | None:
        """A note of a fractional MIDI key, held for so many frames.

        None where the font has nothing for the key: no zone, no sound.
        """
        asked = (program, key, frames)
        if asked in self._notes:
            self._notes.move_to_end(asked)
            return self._notes[asked]
        level = self._level(program, _nearest(key))
        if not level:
            return None
        wave = self._played(program, key, frames) * np.float32(level)
        wave.flags.writeable = False
        note = Note(wave, true_peak(np.concatenate([wave, np.zeros(12)])))
        self._keep(asked, note)
        return note

    def _keep(self, asked: tuple[int, float, int], note: Note) -> None:
        self._notes[asked] = note
        self._bytes += note.wave.nbytes
        while self._bytes > CACHE_BYTES and len(self._notes) > 1:
            _, old = self._notes.popitem(last=False)
            self._bytes -= old.wave.nbytes

    def _level(self, program: int, key: int) -> float:
        if (program, key) not in self._levels:
            peak = float(np.abs(self._played(program, float(key), self.rate)).max())
            self._levels[program, key] = 1 / peak if peak > _SILENT else 0.0
        return self._levels[program, key]

    def _played(self, program: int, key: float, frames: int) -> Samples:
        """The note as the font has it, faded within its tail."""
        synth, nearest = self.ready(), _nearest(key)
        synth.set_tuning(0, key - nearest)
        bank, preset = self.font.chosen(program)
        synth.program_select(0, 0, bank, preset, bank == _DRUMS)
        synth.noteon(0, nearest, VELOCITY)
        held = _mono(synth.generate(frames))
        synth.noteoff(0, nearest)
        tail = _mono(synth.generate(round(TAIL * self.rate)))
        tail *= half_cosine(len(tail))[::-1]
        synth.sounds_off()
        for _ in range(_MOST_FLUSHES):
            if not _mono(synth.generate(_FLUSH)).any():
                break
        else:
            self._synth = None  # whatever still sounds goes with it
        wave: Samples = np.nan_to_num(np.concatenate([held, tail]), posinf=0.0, neginf=0.0)
        return wave

    def ready(self) -> Synth:
        """The library with the font in it, silent; raises its errors where it refuses."""
        if self._synth is None:
            synth: Synth = self.font.library.Synth(samplerate=self.rate)
            synth.sfload(self.font.file.data)
            self._synth = synth
        return self._synth


def open_sound_font(path: Path) -> SoundFont:
    """A file, checked and loaded once to see that the library takes it.

    Raises UsageError where the library is missing or ``path`` is no file, ReadError for
    what is not a sound font.
    """
    try:
        import tinysoundfont  # noqa: PLC0415 - optional, and only for those who ask for it
    except ImportError as error:
        raise UsageError(
            f"--sound-font needs the package tinysoundfont, which is not installed: {INSTALL}"
        ) from error
    font = SoundFont(read_font(path), tinysoundfont)
    try:
        font.at(44_100).ready()
    except (RuntimeError, tinysoundfont.SoundFontException) as error:
        raise UsageError(
            f"--sound-font {path}: the sound font cannot be loaded ({error}); choose another"
        ) from error
    return font


def _nearest(key: float) -> int:
    return min(max(floor(key + 0.5), 0), 127)


def _mono(frames: memoryview) -> Samples:
    both = np.frombuffer(frames, np.float32).reshape(-1, 2)
    mono: Samples = both.mean(axis=1, dtype=np.float32)
    return mono
