"""The tag of an MP3 file, with a chapter for every cue.

Source: ID3 tag version 2.4.0, main structure and native frames (2000), and the ID3v2
Chapter Frame Addendum 1.0 (2005).  Texts are UTF-8, which the library's own tag
cannot hold.  Sizes are "synchsafe": seven bits a byte.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from drills.output.audio.tags import SOFTWARE, Tags, plain

_UTF_8: Final = b"\x03"
_NO_OFFSET: Final = b"\xff" * 8
"""Of a chapter: only its times count."""
_HEADER: Final = 10


def tag(tags: Tags, markers: Sequence[tuple[int, str]], end: int) -> bytes:
    """The whole tag; ``markers`` are milliseconds and texts, the last one lasts to ``end``."""
    texts = {
        b"TIT2": tags.heading,
        b"TPE1": plain(tags.part),
        b"TCOP": plain(tags.rights),
        b"TSSE": SOFTWARE,
    }
    frames = [_text(name, text) for name, text in texts.items() if text]
    if tags.mark:
        frames.append(_frame(b"COMM", _UTF_8 + b"eng\0" + tags.mark.encode()))
    frames += _chapters(markers, end)
    body = b"".join(frames)
    return b"ID3\x04\x00\x00" + _synchsafe(len(body)) + body


def _chapters(markers: Sequence[tuple[int, str]], end: int) -> list[bytes]:
    names = [f"chp{number}".encode() for number in range(len(markers))]
    ends = [*(at for at, _ in markers), end][1:]
    chapters = [
        _frame(
            b"CHAP",
            name + b"\0" + struct.pack(">II", at, last) + _NO_OFFSET + _text(b"TIT2", text),
        )
        for name, (at, text), last in zip(names, markers, ends, strict=True)
    ]
    if 0 < len(names) <= 255:  # the table of contents counts them in one byte
        ordered_and_on_top = b"\x03"
        table = b"toc\0" + ordered_and_on_top + bytes([len(names)])
        chapters.insert(0, _frame(b"CTOC", table + b"".join(name + b"\0" for name in names)))
    return chapters


def room_for(whole: bytes) -> str:
    """A comment for which the library leaves a tag of at least this size at the start.

    A short one would only go into its small tag at the end of the file (30 letters).
    """
    return " " * max(len(whole), 256)


def put_tag(path: Path, whole: bytes) -> None:
    """Put a tag over that which the library left at the start, at least as large.

    What it does not fill is padding.  Raises OSError where there is none of that size.
    """
    with path.open("r+b") as stream:
        header = stream.read(_HEADER)
        room = _HEADER + _plain_size(header[6:]) if header[:3] == b"ID3" else 0
        if room < len(whole):
            raise OSError(f"the MP3 library left {room} bytes for a tag of {len(whole)}")
        stream.seek(0)
        stream.write(whole[:6] + header[6:] + whole[_HEADER:] + bytes(room - len(whole)))


def _text(name: bytes, text: str) -> bytes:
    return _frame(name, _UTF_8 + text.encode())


def _frame(name: bytes, content: bytes) -> bytes:
    return name + _synchsafe(len(content)) + b"\0\0" + content


def _synchsafe(size: int) -> bytes:
    return bytes(size >> shift & 0x7F for shift in (21, 14, 7, 0))


def _plain_size(synchsafe: bytes) -> int:
    return sum(byte << shift for byte, shift in zip(synchsafe, (21, 14, 7, 0), strict=True))
