"""Sound files are read at any rate and broken ones refused, in a process of their own."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from drills.errors import LimitError, ReadError
from drills.listening.decoding import Bounds
from drills.listening.sound_file import open_recording


def tone(rate: int, seconds: float = 1.0, channels: int = 1) -> np.ndarray:
    time = np.arange(int(rate * seconds)) / rate
    return np.repeat(0.3 * np.sin(2 * np.pi * 440 * time)[:, None], channels, axis=1)


@pytest.mark.parametrize(
    ("name", "rate", "channels"),
    [
        ("a.wav", 8000, 1),
        ("a.wav", 96_000, 2),
        ("a.flac", 48_000, 2),
        ("a.ogg", 44_100, 1),
        ("a.mp3", 44_100, 2),
    ],
)
def test_the_tone_comes_out(tmp_path: Path, name: str, rate: int, channels: int) -> None:
    soundfile.write(tmp_path / name, tone(rate, channels=channels), rate)
    with open_recording(tmp_path / name) as recording:
        spectrum = np.abs(np.fft.rfft(recording.samples[:]))
        hertz = spectrum.argmax() * recording.rate / len(recording.samples)
        assert hertz == pytest.approx(440, abs=1.5)
        assert recording.seconds == pytest.approx(1.0, abs=0.08)
        assert 8000 <= recording.rate < 32_000
        assert np.max(np.abs(recording.samples[:])) == pytest.approx(0.3, abs=0.03)


@pytest.mark.parametrize(
    "content", [b"", b"RIFF" + bytes(range(256)) * 8, b"not sound at all", b"\0" * 4096]
)
def test_what_is_no_sound_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "a.wav"
    path.write_bytes(content)
    with pytest.raises(ReadError, match=r"a\.wav"), open_recording(path):
        pass


def test_a_cut_file_is_read_as_far_as_it_goes_or_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.flac"
    soundfile.write(path, tone(44_100, 2.0), 44_100)
    path.write_bytes(path.read_bytes()[:-2000])
    try:
        with open_recording(path) as recording:
            found = recording.seconds
    except ReadError as error:
        found, words = None, str(error)
    assert found is None or 0.1 < found < 2.0
    assert found is not None or "a.flac" in words


def test_limits(tmp_path: Path) -> None:
    path = tmp_path / "a.wav"
    soundfile.write(path, tone(8000, 3.0), 8000)
    with pytest.raises(LimitError, match="longer"), open_recording(path, Bounds(seconds=1.0)):
        pass
    with pytest.raises(ReadError, match="is not there"), open_recording(tmp_path / "b.wav"):
        pass


def test_a_phones_file(tmp_path: Path) -> None:
    """AAC in an MP4 file, by PyAV where it is installed."""
    av = pytest.importorskip("av")
    path = tmp_path / "a.m4a"
    samples = tone(44_100)[:, 0].astype(np.float32)
    with av.open(str(path), "w") as container:
        stream = container.add_stream("aac", rate=44_100, layout="mono")
        for begin in range(0, len(samples) - 1024, 1024):
            piece = samples[None, begin : begin + 1024]
            frame = av.AudioFrame.from_ndarray(piece, format="fltp", layout="mono")
            frame.rate, frame.pts = 44_100, begin
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    with open_recording(path) as recording:
        spectrum = np.abs(np.fft.rfft(recording.samples[:]))
        assert spectrum.argmax() * recording.rate / len(recording.samples) == pytest.approx(
            440, abs=2
        )
