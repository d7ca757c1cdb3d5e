"""Marks of WAV files, built byte by byte as the format's specification has them."""

from __future__ import annotations

import struct
from pathlib import Path

import pytest

from drills.cli import run
from drills.errors import ReadError
from drills.listening.marks import has_marks, rungs_in_marks


def chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)


def wav(path: Path, marks: list[tuple[int, str]], *, cut: int = 0) -> Path:
    """A WAV file of 8 s at 1000 samples a second, 16 bits, one channel (IBM and Microsoft 1991)."""
    body = b"WAVE" + chunk(b"fmt ", struct.pack("<HHIIHH", 1, 1, 1000, 2000, 2, 16))
    body += chunk(b"data", bytes(16_000))
    points = [
        struct.pack("<II4sIII", n, at, b"data", 0, 0, at) for n, (at, _) in enumerate(marks, 1)
    ]
    body += chunk(b"cue ", struct.pack("<I", len(points)) + b"".join(points))
    labels = [
        chunk(b"labl", struct.pack("<I", n) + words.encode() + b"\0")
        for n, (_, words) in enumerate(marks, 1)
    ]
    body += chunk(b"LIST", b"adtl" + b"".join(labels))
    whole = b"RIFF" + struct.pack("<I", len(body)) + body
    path.write_bytes(whole[: len(whole) - cut])
    return path


def test_marks_are_a_plan(tmp_path: Path) -> None:
    words = "Two notes at a time, 4-6: dotted quarter = 72.5, clicks on beat 4 only: 18"
    path = wav(tmp_path / "a.wav", [(5000, words), (0, "quarter = 60, clicks on every beat")])
    assert has_marks(path)
    first, second = rungs_in_marks(path, "the spot")
    assert (first.what, first.tempo, first.words) == ("the spot", 60.0, "60")
    assert (first.start, first.end, first.times) == (0.0, 5.0, ())
    assert (second.what, second.words) == ("Two notes at a time, 4-6", "72.5")
    assert second.tempo == pytest.approx(72.5 * 1.5)
    assert (second.start, second.end) == (5.0, 8.0)


@pytest.mark.parametrize("marks", [[], [(0, "Verse")], [(0, "quarter = 0")], [(0, "beat = 60")]])
def test_other_marks_are_none(marks: list[tuple[int, str]], tmp_path: Path) -> None:
    with pytest.raises(ReadError, match="drills click"):
        rungs_in_marks(wav(tmp_path / "a.wav", marks), "the spot")


@pytest.mark.parametrize("cut", [1, 20, 60, 100, 16_100])
def test_a_damaged_file_is_an_error(cut: int, tmp_path: Path) -> None:
    """Or its marks are read as far as they go; never anything else."""
    path = wav(tmp_path / "a.wav", [(0, "quarter = 60")], cut=cut)
    try:
        (rung,) = rungs_in_marks(path, "the spot")
    except ReadError:
        return
    assert rung.tempo == 60.0


@pytest.mark.parametrize("ending", ["flac", "mp3"])
def test_a_sound_of_any_format_tells_its_rungs(ending: str, tmp_path: Path) -> None:
    """What ``drills click`` writes is read again; one drill by itself is named too."""
    path = tmp_path / f"a.{ending}"
    asked = ["--notes", "4/4: 16ths c5 d5 e5 d5 c5 d5 e5 d5 half c5", "--instrument", "flute"]
    climb = ["--start", "120", "--tempo", "160", "--rungs", "2", "--times", "1"]
    assert (
        run(["click", *asked, *climb, "--play", "lines", "--rhythm", "even", "-o", str(path)]) == 0
    )
    first, second = rungs_in_marks(path, "the spot")
    assert (first.words, second.words) == ("120", "160")
    assert first.what == second.what == "The whole line, even"
    assert first.end == second.start == pytest.approx(6.0, abs=1e-3)
