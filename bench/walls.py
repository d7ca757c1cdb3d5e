"""Where a take of another maker is recorded: a room with walls, a phone, a codec.

pyroomacoustics makes a shoebox room by image sources and traced rays (early reflections, and
walls that take more of high tones); a phone has no lows and a gain that moves; PyAV writes the
file as a phone would.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import av
import numpy as np
import pyroomacoustics
import soundfile

from bench.font_takes import RATE
from tests.listening.takes import Samples

TILT: Final = (0.6, 0.8, 1.0, 1.1, 1.2, 1.4)
"""Walls take more of high tones: absorption against that at 500 Hz, 125 to 4000 Hz."""
CENTRES: Final = (125, 250, 500, 1000, 2000, 4000)


@dataclass(frozen=True, slots=True)
class Room:
    """A shoebox and a microphone in it."""

    size: tuple[float, float, float]
    """Metres."""
    seconds: float
    """To -60 dB, by Sabine."""
    away: float
    """Metres from the bell to the microphone."""


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
