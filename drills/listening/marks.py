"""The marks inside a practice sound as its plan: what is played from when, at which tempo.

Problem.  The plan that ``drills click --json`` prints may not be at hand; the sound is.
Method.  It has a mark where each stage begins, whose words name what is played and its tempo
("quarter = 72, clicks on beat 4"): a WAV file in a chunk, an MP3 file as a chapter, the others
as a line of their comment.  Times through are not marked: they are found in the recording.

Source: Multimedia Programming Interface and Data Specifications 1.0 (IBM and Microsoft,
1991), "Waveform Audio File Format": chunks of a name, a length and content on even bytes;
``cue `` points name samples, ``labl`` in a ``LIST`` of the type ``adtl`` their texts.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import BinaryIO, Final

from drills.errors import LimitError, ReadError
from drills.listening.chapters import read_chapters
from drills.listening.rung import Rung
from drills.listening.sound_file import open_recording
from drills.music.time import NOTE_KINDS, NoteValue
from drills.sheets.clicks.words import DOTS, SINGULARS

MOST_CHUNKS: Final = 1000
LARGEST: Final = 4_000_000
"""Bytes of marks or of their texts."""
POINT: Final = 24
"""Bytes of a cue point."""
BEATS: Final = {
    f"{DOTS[dots]}{SINGULARS[kind]}": float(NoteValue(kind, dots).length.quarters)
    for kind in NOTE_KINDS
    if kind in SINGULARS
    for dots in range(2)
}
"""Words of a beat -> quarters."""
_STAGE: Final = re.compile(r"(?:(?P<what>.+?): )?(?P<beat>[a-z -]+) = (?P<number>\d+(?:\.\d+)?)")
_LINE: Final = re.compile(r"(\d+):(\d\d\.\d{3})  (.+)")
"""A cue in a comment: minutes, seconds, words."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark of a sound file."""

    at: float
    """Seconds."""
    words: str


def has_marks(path: Path) -> bool:
    """Whether a file begins as a sound does that may hold marks; raises OSError."""
    with path.open("rb") as stream:
        head = stream.read(12)
    return _is_wav(head) or head[:4] in (b"fLaC", b"OggS") or head[:3] == b"ID3"


def _is_wav(head: bytes) -> bool:
    return head[:4] == b"RIFF" and head[8:] == b"WAVE"


def marks_of(path: Path) -> tuple[tuple[Mark, ...], float]:
    """The marks of a sound in order, and how many seconds it lasts.

    Those of a WAV file stand in its chunks, of an MP3 file in its chapters, of FLAC, Ogg and
    Opus as lines of the comment.  Raises ReadError, LimitError, OSError.
    """
    with path.open("rb") as stream:
        head = stream.read(12)
        stream.seek(0)
        chapters = read_chapters(stream) if head[:3] == b"ID3" else ()
    if _is_wav(head):
        return read_marks(path)
    with open_recording(path) as sound:
        lines = (_LINE.match(line) for line in sound.comment.splitlines())
        told = [(60 * int(m[1]) + float(m[2]), m[3]) for m in lines if m is not None]
        return tuple(Mark(*one) for one in sorted((*chapters, *told))), sound.seconds


def read_marks(path: Path) -> tuple[tuple[Mark, ...], float]:
    """The marks of a WAV file in order, and how many seconds it lasts.

    Raises ReadError for a broken file, LimitError for one beyond the limits, OSError.
    """
    try:
        with path.open("rb") as stream:
            found = dict(_chunks(stream, path.stat().st_size))
        rate, size = struct.unpack_from("<I4xH", found[b"fmt "], 4)
        seconds = struct.unpack("<Q", found[b"data"])[0] / (rate * size)
        texts = dict(_labels(found.get(b"LIST", b"adtl")))
        points = found.get(b"cue ", b"\0\0\0\0")
        count = min(struct.unpack_from("<I", points)[0], (len(points) - 4) // POINT)
        marks = []
        for number in range(count):
            name, sample = struct.unpack_from("<I16xI", points, 4 + POINT * number)
            marks.append(Mark(sample / rate, texts.get(name, "")))
    except (struct.error, KeyError, ZeroDivisionError) as error:
        raise ReadError(f"{path}: this WAV file is damaged") from error
    return tuple(sorted(marks, key=lambda mark: mark.at)), seconds


def _chunks(stream: BinaryIO, end: int) -> Iterator[tuple[bytes, bytes]]:
    """Chunks by name with their content; of the sound itself its length only."""
    at = 12
    for _ in range(MOST_CHUNKS):
        stream.seek(at)
        head = stream.read(8)
        if len(head) < 8:
            return
        name, size = struct.unpack("<4sI", head)
        if name == b"data":
            yield name, struct.pack("<Q", min(size, end - at - 8))
        elif name in (b"fmt ", b"cue ", b"LIST"):
            if size > LARGEST:
                raise LimitError(f"the marks of a WAV file take more than {LARGEST} bytes")
            content = stream.read(size)
            if name != b"LIST" or content[:4] == b"adtl":
                yield name, content
        at += 8 + size + size % 2


def _labels(content: bytes) -> Iterator[tuple[int, str]]:
    at = 4
    while at + 12 <= len(content):
        name, size = struct.unpack_from("<4sI", content, at)
        if name == b"labl":
            (number,) = struct.unpack_from("<I", content, at + 8)
            text = content[at + 12 : at + 8 + size]
            yield number, text.partition(b"\0")[0].decode("utf-8", "replace")
        at += 8 + size + size % 2


def rungs_in_marks(path: Path, unnamed: str) -> tuple[Rung, ...]:
    """The stages of a practice sound; ``unnamed`` is what is played where no mark names it.

    Raises ReadError for a sound without the marks of a practice, LimitError, OSError.
    """
    marks, seconds = marks_of(path)
    ends = [*(mark.at for mark in marks), seconds]
    rungs = []
    for mark, (start, end) in zip(marks, pairwise(ends), strict=True):
        told = _STAGE.match(mark.words)
        if told is None or told["beat"] not in BEATS or not float(told["number"]):
            raise ReadError(
                f"{path}: its marks are not those of a practice sound; give the plan that "
                "drills click ... --json prints"
            )
        number = float(told["number"])
        tempo = number * BEATS[told["beat"]]
        rungs.append(Rung(told["what"] or unnamed, tempo, f"{number:g}", start, (), end))
    if not rungs:
        raise ReadError(
            f"{path} has no marks; give the sound that drills click wrote, or its plan "
            "(drills click ... --json)"
        )
    return tuple(rungs)
