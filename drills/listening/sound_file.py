"""Sound files of any usual kind as mono samples at a rate that is worked with.

Problem.  A recording is a file from a stranger, long, in any format and at any rate.
Method.  It is decoded by a child process (decoding.py), bounded in time and memory, into a
plain file of samples in a folder of its own, of which pieces are read: however long the
recording is, no more than a piece of it is in memory.  A decoder that crashes ends its
process only.

Conventions.  Samples are float32, mono (the mean of all channels), at ``Recording.rate``:
the file's own rate divided by a whole number, so that it lies between 16 and 32 kHz where
the file has as much.  Nothing is kept: the folder goes when the recording is closed.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Final

import numpy as np

from drills.errors import LimitError, ReadError
from drills.listening.decoding import Bounds
from drills.listening.spectra import Floats, Samples
from drills.reading.confined import OUT_OF_TIME, Child

BOUNDS: Final = Bounds()
WAIT: Final = 600.0
"""Seconds that decoding may take."""


@dataclass(frozen=True, slots=True)
class Recording:
    """A recording that is open."""

    path: Path
    samples: Samples
    rate: int
    comment: str = ""
    """The words that stand in the file."""

    @property
    def seconds(self) -> float:
        """How long it is."""
        return len(self.samples) / self.rate


@dataclass(frozen=True, slots=True)
class _Stored:
    """Samples in a plain file."""

    path: Path
    size: int

    def __len__(self) -> int:
        return self.size

    def __getitem__(self, piece: slice, /) -> Floats:
        low, high, _ = slice(piece.start, piece.stop).indices(self.size)
        return np.fromfile(self.path, dtype=np.float32, count=max(high - low, 0), offset=4 * low)


@contextmanager
def kept(blocks: Iterable[Floats]) -> Iterator[Samples]:
    """Samples that are made block by block, in a file of their own as long as they are used."""
    with tempfile.TemporaryDirectory(prefix="drills-take-") as folder:
        target, size = Path(folder) / "samples", 0
        with target.open("wb") as stream:
            for block in blocks:
                stream.write(block.astype(np.float32).tobytes())
                size += len(block)
        yield _Stored(target, size)


@contextmanager
def open_recording(path: Path, bounds: Bounds = BOUNDS) -> Iterator[Recording]:
    """Decode a sound file and give its samples.

    Raises ReadError for what is no sound file or cannot be decoded, LimitError for one
    beyond the bounds.
    """
    if not path.is_file():
        raise ReadError(f"{path} is not there or is no file; name a recording")
    with tempfile.TemporaryDirectory(prefix="drills-take-") as folder:
        target = Path(folder) / "samples"
        rate, comment = _decoded(path, target, bounds)
        size = target.stat().st_size // 4
        if size < rate // 10:
            raise ReadError(f"{path}: the recording holds no sound, or less than 0.1 s of it")
        yield Recording(path, _Stored(target, size), rate, comment)


def _decoded(path: Path, target: Path, bounds: Bounds) -> tuple[int, str]:
    """Run the decoder and wait for it; the rate of what it wrote, and the file's comment."""
    asked = {"path": str(path), "target": str(target), "bounds": asdict(bounds)}
    try:
        child = Child("drills.listening.decoding", "serve")
    except OSError as error:
        raise ReadError(f"the decoder cannot be started ({error})") from error
    code = 0
    try:
        answer = child.ask(json.dumps(asked).encode(), WAIT)
    finally:
        code = child.end()
    if not answer and code in OUT_OF_TIME:
        raise LimitError(f"{path}: decoding took too long and was stopped")
    if not answer:
        raise ReadError(f"{path}: its decoder ended without a word; the file may be damaged")
    kind, value, comment = json.loads(answer)
    if kind == "rate":
        return int(value), comment
    raise (LimitError if kind == "limit" else ReadError)(f"{path}: {value}")
