"""The decoder's own process: a sound file in, plain samples out.

libsndfile (by the package soundfile) reads WAV, FLAC, Ogg, Opus, MP3, CAF and AIFF.  What
it does not know (M4A with AAC or ALAC, 3GP, MP4, WebM) is read by PyAV where that is
installed; it is an extra because its wheels carry many codecs.  The process limits its own
memory and time first, so that a hostile file can do no more than end it.

Conventions.  A question is JSON: the path, the target, the bounds; the answer is ["rate", the
rate, the words that stand in the file], or ["read" or "limit", words, ""].
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from drills.reading.confined import confine, questions

Block = NDArray[np.float32]

HIGHEST: Final = 32_000
"""Samples a second that are kept at most."""
LONGEST: Final = 1_000_000
"""Characters of a comment."""
PIECE: Final = 1 << 16
"""Frames that are decoded at once."""
TAPS: Final = 24
"""Samples of the low-pass on either side, at the new rate."""
EXTRA: Final = "phone formats need PyAV: python -m pip install 'drills[phone]'"


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a recording may be at most."""

    seconds: float = 3900.0
    """An hour and a bit."""
    lowest_rate: int = 8000
    highest_rate: int = 384_000
    channels: int = 32
    memory: int = 2 << 30
    """Bytes of address space for the decoder."""
    work: int = 600
    """Seconds of processor time."""


class _RefusedError(Exception):
    """A bound is broken; the words say which."""


def serve() -> None:
    """Decode what is asked for until the input ends."""
    questions(_answer)


def _answer(question: bytes) -> bytes:
    asked = json.loads(question)
    return json.dumps(decoded(asked["path"], asked["target"], Bounds(**asked["bounds"]))).encode()


def decoded(path: str, target: str, bounds: Bounds) -> tuple[str, int | str, str]:
    """Decode a file and say how it went.  Never raises."""
    size = int(bounds.seconds) * HIGHEST * 4
    confine(seconds=bounds.work, memory=bounds.memory, written=size)
    try:
        return "rate", *_written(path, target, bounds)
    except _RefusedError as error:
        return "limit", str(error), ""
    except MemoryError:
        return "limit", "decoding it takes more memory than is allowed", ""
    except Exception as error:  # whatever a decoder says of a stranger's file is its fault
        return "read", f"it cannot be read as sound ({_words(error)})", ""


def _words(error: Exception) -> str:
    plain = getattr(error, "strerror", None)  # without a number and the name of the file
    if plain:
        return str(plain)
    return str(error).splitlines()[0][:200] if str(error) else type(error).__name__


def _written(path: str, target: str, bounds: Bounds) -> tuple[int, str]:
    """Write the samples and return their rate, and the comment that stands in the file."""
    import soundfile  # noqa: PLC0415 - in the decoder's process only

    try:
        with soundfile.SoundFile(path) as file:
            _check(file.samplerate, file.channels, bounds)
            blocks = (
                block.mean(axis=1) for block in file.blocks(PIECE, dtype="float32", always_2d=True)
            )
            return _kept(blocks, file.samplerate, target, bounds), str(file.comment)[:LONGEST]
    except soundfile.LibsndfileError as error:
        if find_spec("av") is None:
            raise ValueError(f"{_words(error)}; {EXTRA}") from error
        return _by_av(path, target, bounds), ""


def _by_av(path: str, target: str, bounds: Bounds) -> int:
    import av  # noqa: PLC0415 - optional, and in the decoder's process only

    with av.open(path, metadata_errors="ignore") as container:
        if not container.streams.audio:
            raise ValueError("it holds no sound")
        stream = container.streams.audio[0]
        rate = int(stream.rate or 0)
        _check(rate, int(stream.channels or 1), bounds)
        resampler = av.AudioResampler(format="fltp", layout="mono", rate=rate)

        def blocks() -> Iterator[Block]:
            for frame in container.decode(stream):
                for piece in resampler.resample(frame):
                    yield np.asarray(piece.to_ndarray()[0], dtype=np.float32)

        return _kept(blocks(), rate, target, bounds)


def _check(rate: int, channels: int, bounds: Bounds) -> None:
    if not bounds.lowest_rate <= rate <= bounds.highest_rate:
        raise _RefusedError(
            f"it has {rate} samples a second; {bounds.lowest_rate} to {bounds.highest_rate} can "
            "be worked with"
        )
    if not 1 <= channels <= bounds.channels:
        raise _RefusedError(f"it has {channels} channels; at most {bounds.channels} are read")


def _kept(blocks: Iterator[Block], rate: int, target: str, bounds: Bounds) -> int:
    """Write blocks at the rate divided by a whole number."""
    by = max(rate // 16_000, 1) if rate >= 32_000 else 1
    seen = 0
    with open(target, "wb") as file:  # noqa: PTH123 - a plain stream of bytes
        for block in _thinned(blocks, by):
            seen += len(block) * by
            if seen > bounds.seconds * rate:
                raise _RefusedError(f"it is longer than {bounds.seconds / 60:g} minutes; cut it")
            file.write(np.nan_to_num(block, posinf=0.0, neginf=0.0).tobytes())
    return rate // by if rate % by == 0 else round(rate / by)


def _thinned(blocks: Iterator[Block], by: int) -> Iterator[Block]:
    """Every so many samples after a low-pass (a sinc under a Hann window)."""
    if by == 1:
        yield from blocks
        return
    reach = TAPS * by
    place = np.arange(-reach, reach + 1)
    taps = np.sinc(place * 0.92 / by) * np.hanning(2 * reach + 3)[1:-1]
    taps /= taps.sum()
    rest: NDArray[Any] = np.zeros(reach, dtype=np.float32)
    ended = False
    source = iter(blocks)
    while not ended:
        block = next(source, None)
        if block is None:
            ended, block = True, np.zeros(reach, dtype=np.float32)
        rest = np.concatenate([rest, block])
        count = (len(rest) - 2 * reach - 1) // by + 1 if len(rest) > 2 * reach else 0
        if count > 0:
            view = np.lib.stride_tricks.sliding_window_view(rest, 2 * reach + 1)[::by][:count]
            yield np.asarray(view @ taps, dtype=np.float32)
            rest = rest[count * by :]
