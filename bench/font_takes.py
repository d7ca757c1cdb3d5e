"""The sound of takes of another maker: General MIDI fonts by fluidsynth, dry.

When a tone begins is measured, since tones of a font swell.  Every second note is sounded in
a file of its own, so that each tone's level can be followed without its neighbours: tongued,
it begins where that comes within 6 dB of its plateau; slurred, where it has come as far as the
tone before has gone.

Sources.  Debian's fluid-soundfont-gm (FluidR3, MIT) and the font that the PyPI package
pretty_midi carries (TimGM6mb, GPL); neither is kept with the project.
"""

from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Final

import mido
import numpy as np
import pretty_midi
import soundfile

from tests.listening.takes import Played, Samples

RATE: Final = 48_000
FONTS: Final = {
    "fluid": Path("/usr/share/sounds/sf2/FluidR3_GM.sf2"),
    "tim": Path(pretty_midi.__file__).parent / "TimGM6mb.sf2",
}
INSTRUMENTS: Final = {
    "clarinet": (71, 50, 86),
    "alto saxophone": (65, 49, 80),
    "flute": (73, 60, 91),
    "oboe": (68, 58, 86),
    "bassoon": (70, 36, 66),
    "trumpet": (56, 54, 82),
    "trombone": (57, 42, 68),
    "horn": (60, 43, 74),
    "tuba": (58, 31, 58),
}
"""Program of General MIDI, lowest and highest key."""


def sounded(
    rng: np.random.Generator,
    played: Sequence[Played],
    instrument: str,
    font: str,
    *,
    cents: float = 0.0,
    vibrato: int = 0,
) -> tuple[Samples, list[Played]]:
    """The dry sound, and the same notes with when each begins to sound.

    ``cents``: how far all of it is out of tune; ``vibrato``: of the wheel, 0 to 127.
    """
    seconds = played[-1].end + 1.0
    strength = [
        int(np.clip(88 + 10 * np.sin(n / 5) + rng.normal(0, 7), 60, 118))
        for n in range(len(played))
    ]
    program, size = INSTRUMENTS[instrument][0], int(seconds * RATE)
    voices = []
    for voice in (0, 1):
        notes = list(zip(played[voice::2], strength[voice::2], strict=True))
        samples = _rendered(_song(notes, program, cents, vibrato), font)
        voices.append(np.pad(samples, (0, max(size - len(samples), 0)))[:size])
    return voices[0] + voices[1], _begun(voices, played)


@cache
def rises(instrument: str, font: str) -> Mapping[int, float]:
    """Seconds from a key's going down to where its tone comes within 6 dB of its plateau.

    Of the keys that sound at all: fonts have gaps.
    """
    program, low, high = INSTRUMENTS[instrument]
    keys = range(low - 4, high + 5)
    scale = [Played(n + 0.2, n + 0.8, key, "after a gap", n, "right") for n, key in enumerate(keys)]
    sound = _rendered(_song([(one, 88) for one in scale], program, 0.0, 0), font)
    loud = [np.abs(sound[int(one.at * RATE) : int(one.end * RATE)]).max() for one in scale]
    there = [one for one, peak in zip(scale, loud, strict=True) if peak > 0.05 * max(loud)]
    begun = _begun([sound], there)
    return {int(one.key): max(b.at - one.at, 0.0) for b, one in zip(begun, there, strict=True)}


def _rendered(song: mido.MidiFile, font: str) -> Samples:
    with tempfile.TemporaryDirectory() as folder:
        source, target = Path(folder) / "song.mid", Path(folder) / "song.wav"
        song.save(source)
        words = ["-ni", "-R", "0", "-C", "0", "-g", "0.5", "-r", str(RATE), "-F", target]
        subprocess.run(["fluidsynth", *words, FONTS[font], source], check=True, capture_output=True)
        return np.asarray(soundfile.read(target)[0].mean(1))


def _song(
    notes: Sequence[tuple[Played, int]], program: int, cents: float, vibrato: int
) -> mido.MidiFile:
    song = mido.MidiFile(ticks_per_beat=10_000)
    track = mido.MidiTrack()
    song.tracks.append(track)
    track.append(mido.MetaMessage("set_tempo", tempo=1_000_000))
    track.append(mido.Message("program_change", program=program))
    track.append(mido.Message("control_change", control=1, value=vibrato))
    track.append(mido.Message("pitchwheel", pitch=round(8192 * cents / 200)))
    events = []
    for one, strength in notes:
        events.append((one.at, 1, mido.Message("note_on", note=int(one.key), velocity=strength)))
        events.append((one.end, 0, mido.Message("note_off", note=int(one.key))))
    now = 0
    for at, _, message in sorted(events, key=lambda e: e[:2]):
        tick = max(round(at * 10_000), now)
        track.append(message.copy(time=tick - now))
        now = tick
    return song


def _begun(voices: Sequence[Samples], played: Sequence[Played]) -> list[Played]:
    """When each tone begins, in the middle of the change where it is slurred."""
    found = []
    for n, one in enumerate(played):
        times, level = _level(voices[n % len(voices)], one, 0.05)
        low = int(np.argmin(np.where(times < 0.05, level, np.inf)))
        at = low + int(np.argmax(level[low:] > 0.5))
        if one.how == "slurred":
            _, old = _level(voices[(n - 1) % 2], played[n - 1], 0.05, around=one.at)
            low = int(np.searchsorted(times, -0.005))
            crossed = np.flatnonzero(level[low:] >= old[low:])
            at = low + int(crossed[0]) if len(crossed) else at
        found.append(replace(one, at=one.at + float(times[at])))
    return found


def _level(
    voice: Samples, one: Played, before: float, around: float | None = None
) -> tuple[Samples, Samples]:
    """Seconds from ``around`` (its key going down unless given), level against its plateau."""
    hertz = 440 * 2 ** ((one.key - 69) / 12)
    hann = np.hanning(2 * (int(max(0.01, 1.5 / hertz) * RATE) // 2) + 1)

    def power(start: float, seconds: float) -> Samples:
        pad = len(hann) // 2
        low, size = round(start * RATE) - pad, round(seconds * RATE)
        piece = np.pad(voice[max(low, 0) : low + size + 2 * pad], (max(-low, 0), 0))
        piece = np.pad(piece, (0, size + 2 * pad - len(piece)))
        return np.sqrt(np.convolve(piece**2, hann / hann.sum(), "valid"))

    own = power(one.at, max(one.end - one.at, 0.06))
    times = np.arange(len(own)) / RATE
    first = times[int(np.argmax(own > 0.1 * own.max()))]
    last = max(min(first + 0.3, times[-1] - 0.015), first + 0.02)
    held = (times >= min(first + 0.06, last - 0.015)) & (times <= last)
    plateau = float(np.median(own[held]))
    place = one.at if around is None else around
    level = power(place - before, 0.3)
    return np.arange(len(level)) / RATE - before, level / plateau
