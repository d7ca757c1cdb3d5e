"""Markers in a WAV file: a ``cue `` chunk and its labels, put behind the sound.

Source: Multimedia Programming Interface and Data Specifications 1.0 (IBM and Microsoft,
1991), "Waveform Audio File Format": a cue point names a sample of the ``data`` chunk; a
``labl`` chunk in a ``LIST`` of the type ``adtl`` names its text.  Chunks begin on even
bytes, numbers are little-endian, texts end with a zero.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from pathlib import Path


def add_markers(path: Path, markers: Sequence[tuple[int, str]]) -> None:
    """Append a marker (sample, text) for each of ``markers`` to a finished WAV file."""
    if not markers:
        return
    points = [
        struct.pack("<II4sIII", number, sample, b"data", 0, 0, sample)
        for number, (sample, _) in enumerate(markers, 1)
    ]
    labels = [
        _chunk(b"labl", struct.pack("<I", number) + text.encode() + b"\0")
        for number, (_, text) in enumerate(markers, 1)
    ]
    added = _chunk(b"cue ", struct.pack("<I", len(points)) + b"".join(points))
    added += _chunk(b"LIST", b"adtl" + b"".join(labels))
    with path.open("r+b") as stream:
        end = stream.seek(0, 2)
        stream.write(b"\0" * (end % 2) + added)
        size = stream.tell() - 8
        stream.seek(4)
        stream.write(struct.pack("<I", size))


def _chunk(name: bytes, content: bytes) -> bytes:
    return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)
