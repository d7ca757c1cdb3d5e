"""Takes by another maker: sound fonts, rooms of many echoes, the codecs of phones.

Problem.  Whoever tunes a listener to one maker of takes may have tuned it to the maker.
Method.  Nothing of tests/listening/takes.py makes the sound here.  A player of its own
performs the notes; fluidsynth sounds them from a General MIDI font, dry; pyroomacoustics
puts them into a shoebox room by image sources and traced rays; PyAV writes them as a phone
would.  A slur is two notes that overlap, a tongued note comes after a gap.

When a tone begins is measured, since tones of a font swell.  Every second note is sounded in
a file of its own, so that each tone's level can be followed without its neighbours: tongued,
it begins where that comes within 6 dB of its plateau; slurred, where it has come as far as the
tone before has gone.  Times are of the direct sound.

Sources.  Debian's fluid-soundfont-gm (FluidR3, MIT) and the font that the PyPI package
pretty_midi carries (TimGM6mb, GPL); neither is kept with the project.
"""

from __future__ import annotations

import subprocess
import tempfile
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Final

import av
import mido
import numpy as np
import pretty_midi
import pyroomacoustics
import soundfile

from drills.listening.wanted import Wanted
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


@dataclass(frozen=True, slots=True)
class Room:
    """A shoebox and a microphone in it."""

    size: tuple[float, float, float]
    """Metres."""
    seconds: float
    """To -60 dB, by Sabine."""
    away: float
    """Metres from the bell to the microphone."""


@dataclass(frozen=True, slots=True)
class Faults:
    """Shares of the notes that go wrong, and how often the player stops and goes back."""

    wrong: float = 0.0
    missed: float = 0.0
    added: float = 0.0
    twice: float = 0.0
    restarts: int = 0


TILT: Final = (0.6, 0.8, 1.0, 1.1, 1.2, 1.4)
"""Walls take more of high tones: absorption against that at 500 Hz, 125 to 4000 Hz."""
CENTRES: Final = (125, 250, 500, 1000, 2000, 4000)


# --- the player --------------------------------------------------------------------


def perform(
    rng: np.random.Generator,
    wanted: Wanted,
    pace: float,
    faults: Faults,
    rises: Mapping[int, float],
    *,
    soft: bool,
) -> list[Played]:
    """What somebody makes of the notes: ``at`` and ``end`` are when keys go down and up.

    The tempo wanders by chance from beat to beat and gives way at the end; a slurred note
    sounds until the next one has come, a tongued one leaves a gap, ``soft`` ones hardly any.
    ``rises``: seconds that each key takes; the player begins so much earlier.
    """
    notes = wanted.notes
    beats = np.arange(0, notes[-1].at + notes[-1].length + 2)
    wander = np.zeros(len(beats))
    for n in range(1, len(beats)):
        wander[n] = 0.8 * wander[n - 1] + rng.normal(0, 0.012)
    wander[-4:] += np.array([0.0, 0.02, 0.05, 0.05])
    clock = np.concatenate([[0.0], np.cumsum(pace * (1 + wander))])
    due = np.interp([n.at for n in notes], np.arange(len(clock)), clock)
    over = np.interp([n.at + n.length for n in notes], np.arange(len(clock)), clock)
    found: list[Played] = []
    late = 0.8
    for run, (first, end) in enumerate(_runs(rng, wanted, faults.restarts)):
        if run:
            late = found[-1].end + float(rng.uniform(0.35, 1.0)) - due[first]
        for n in range(first, end):
            at = due[n] + late + float(rng.normal(0, 0.009))
            if found and run == found[-1].run:
                at = max(at, found[-1].at + 0.06)
            found += _played(rng, wanted, n, (at, over[n] + late), faults, rises, run)
    return _joined(rng, found, wanted, rises, soft)


def _runs(rng: np.random.Generator, wanted: Wanted, restarts: int) -> list[tuple[int, int]]:
    """First and last + 1 of the notes that are played without going back."""
    count = len(wanted.notes)
    stops = sorted(rng.choice(np.arange(4, count - 2), restarts, replace=False).tolist())
    runs, first = [], 0
    for stop in stops:
        runs.append((first, stop))
        beats = [n for n in range(max(stop - 8, 0), stop) if wanted.notes[n].beat]
        first = 0 if not beats or rng.random() < 0.3 else int(rng.choice(beats))
    return [*runs, (first, count)]


def _played(
    rng: np.random.Generator,
    wanted: Wanted,
    n: int,
    span: tuple[float, float],
    faults: Faults,
    possible: Container[int],
    run: int,
) -> list[Played]:
    """One written note as it is played: nothing, one note or two."""
    note, (at, end) = wanted.notes[n], span
    around = {one.key for one in wanted.notes[max(n - 2, 0) : n + 3]}
    steps = (note.key + s for s in (-1, 1, -2, 2, 3, -3))
    other = [key for key in steps if key not in around and key in possible]
    plain = Played(at, end, note.key, "slurred" if note.slurred else "tongued", n, "right", run)
    fate = rng.random()
    near = {one.key for one in (*wanted.notes[max(n - 1, 0) : n], *wanted.notes[n + 1 : n + 2])}
    if fate < faults.missed:
        return [] if n > 0 and note.key not in near else [plain]
    fate -= faults.missed
    if fate < faults.wrong and other:
        return [replace(plain, key=int(rng.choice(other[:3])), call="wrong")]
    fate -= faults.wrong
    half = at + (end - at) * float(rng.uniform(0.45, 0.6))
    if 0 <= fate < faults.added and other and end - at > 0.22:
        more = replace(plain, at=half, key=int(rng.choice(other[:3])), of=None, call="added")
        return [replace(plain, end=half), more]
    fate -= faults.added
    if 0 <= fate < faults.twice and end - at > 0.26:
        return [
            replace(plain, end=half),
            replace(plain, at=half, how="tongued", of=None, call="twice"),
        ]
    return [plain]


def _joined(
    rng: np.random.Generator,
    played: Sequence[Played],
    wanted: Wanted,
    rises: Mapping[int, float],
    soft: bool,
) -> list[Played]:
    """The same with how each note follows the one before, and when its key goes up."""
    found: list[Played] = []
    own = not any(note.slurred for note in wanted.notes)  # no slurs are written: at pleasure
    slurring = False
    for one in played:
        rise = rises[int(one.key)]
        note = replace(one, at=one.at - rise)
        if found:
            before = found[-1]
            slurring = slurring if rng.random() < 0.7 else not slurring
            close = before.end > note.at - 0.08 and before.run == note.run
            same = before.key == note.key
            how = "slurred" if (slurring if own else note.how == "slurred") else "tongued"
            if not close:
                how = "after a gap"
            elif same:
                how = "again, softly" if soft else "again"
            gap = {"slurred": (-0.012, 0.002), "again, softly": (0.0, 0.012)}.get(how, (0.02, 0.06))
            if close:
                up = note.at - float(rng.uniform(*gap)) + (rise if how == "slurred" else 0.0)
                found[-1] = replace(before, end=max(up, before.at + 0.05))
            note = replace(note, how=how)
        else:
            note = replace(note, how="after a gap")
        found.append(note)
    return found


# --- the sound ---------------------------------------------------------------------


def sounded(
    rng: np.random.Generator,
    played: Sequence[Played],
    instrument: str,
    font: str,
    cents: float,
    vibrato: int,
) -> tuple[Samples, list[Played]]:
    """The dry sound, and the same notes with when each begins to sound."""
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


# --- the room and the phone --------------------------------------------------------


def echoes(room: Room, folder: Path) -> Samples:
    """A room's answer from its direct sound on; kept in ``folder``, since it takes a while."""
    name = "x".join(f"{side:g}" for side in room.size) + f"-{room.seconds:g}s-{room.away:g}m.npy"
    kept = folder / name
    if not kept.exists():
        share, _ = pyroomacoustics.inverse_sabine(room.seconds, room.size)
        taken = [float(min(share * tilt, 0.95)) for tilt in TILT]
        walls = pyroomacoustics.Material({"coeffs": taken, "center_freqs": list(CENTRES)}, 0.1)
        box = pyroomacoustics.ShoeBox(
            room.size, RATE, materials=walls, max_order=12, ray_tracing=True, air_absorption=True
        )
        box.set_ray_tracing(n_rays=20_000)
        bell = np.array([room.size[0] / 2 - 0.27, room.size[1] / 2 + 0.19, 1.15])
        towards = np.array([0.61, -0.77, 0.17])
        box.add_source(bell)
        box.add_microphone(bell + towards / np.linalg.norm(towards) * room.away)
        np.random.seed(1)  # the rays are its own
        box.compute_rir()
        folder.mkdir(parents=True, exist_ok=True)
        np.save(kept, box.rir[0][0])
    answer = np.load(kept)
    direct = int(np.argmax(np.abs(answer) > 0.5 * np.abs(answer).max()))
    return np.asarray(answer[max(direct - 1, 0) :] / np.abs(answer).max())


def in_room(dry: Samples, answer: Samples) -> Samples:
    """The sound at the microphone."""
    size = len(dry) + len(answer)
    n = 1 << (size - 1).bit_length()
    return np.asarray(np.fft.irfft(np.fft.rfft(dry, n) * np.fft.rfft(answer, n), n)[: len(dry)])


def hum_and_hiss(rng: np.random.Generator, samples: Samples, decibels: float) -> Samples:
    """With a room's noise, falling by 5 dB an octave, and the mains."""
    f = np.fft.rfftfreq(len(samples), 1 / RATE)
    noise = np.fft.irfft(np.fft.rfft(rng.normal(size=len(samples))) / np.maximum(f, 60) ** 0.8)
    noise = np.resize(noise, len(samples)) / noise.std()
    time = np.arange(len(samples)) / RATE
    noise += sum(0.3 / h * np.sin(2 * np.pi * 50 * h * time + h) for h in (1, 2, 3))
    power = np.sort(samples**2)[len(samples) // 4 :].mean()
    return np.asarray(samples + noise * np.sqrt(power / (noise**2).mean()) * 10 ** (-decibels / 20))


def by_phone(samples: Samples) -> Samples:
    """No lows, a gain that creeps up in a second and ducks in 10 ms, a limit."""
    f = np.fft.rfftfreq(len(samples), 1 / RATE)
    band = 1 / np.sqrt(1 + (180 / np.maximum(f, 1)) ** 4) / np.sqrt(1 + (f / 11_000) ** 12)
    x = np.fft.irfft(np.fft.rfft(samples) * band, len(samples))
    step = RATE // 200
    loud = np.sqrt(np.pad(x**2, (0, -len(x) % step)).reshape(-1, step).mean(1))
    gain, now = np.empty(len(loud)), 1.0
    for n, level in enumerate(loud / max(np.percentile(loud, 95), 1e-9)):
        aim = min(1 / max(level, 1e-3), 4.0) ** 0.5
        now += (aim - now) * (0.4 if aim < now else 0.005)
        gain[n] = now
    x *= np.interp(np.arange(len(x)) / step - 0.5, np.arange(len(gain)), gain)
    return np.asarray(np.tanh(x / np.max(np.abs(x)) * 1.1))


CODECS: Final = {
    ".m4a": ("aac", 64_000),
    ".opus": ("libopus", 32_000),
    ".mp3": ("libmp3lame", 96_000),
}


def kept(samples: Samples, path: Path) -> None:
    """Write a file: by PyAV where a codec is meant, else by soundfile (.wav)."""
    quiet = (0.6 * samples / max(float(np.max(np.abs(samples))), 1e-9)).astype(np.float32)
    if path.suffix not in CODECS:
        soundfile.write(path, quiet, RATE)
        return
    codec, bits = CODECS[path.suffix]
    with av.open(str(path), "w") as container:
        stream = container.add_stream(codec, rate=RATE, layout="mono")
        stream.bit_rate = bits
        frame = av.AudioFrame.from_ndarray(quiet[None, :], format="fltp", layout="mono")
        frame.sample_rate = RATE
        frame.pts = 0
        fifo = av.AudioFifo()
        resampler = av.AudioResampler(stream.codec_context.format, "mono", RATE)
        for part in resampler.resample(frame):
            fifo.write(part)
        while (
            part := fifo.read(stream.codec_context.frame_size or 1024, partial=True)
        ) is not None:
            container.mux(stream.encode(part))
        container.mux(stream.encode(None))
