"""The chapters of an MP3 file: where each begins, and its words.

Source: ID3v2 Chapter Frame Addendum, version 1.0 (2005), and ID3 tag version 2.3.0 and 2.4.0
(Nilsson 1999, 2000): a tag begins with "ID3", two bytes of version, one of flags and four of
size, seven bits each; a frame has a name of four letters, its size (in 2.4 of seven bits a byte
too) and two bytes of flags.  A chapter: a name that ends with a zero, four times four bytes (the
first its start in milliseconds), and frames of its own, of which TIT2 has the words.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from typing import BinaryIO, Final

LARGEST: Final = 4_000_000
"""Bytes of a tag."""
_HEAD: Final = 10
_TEXTS: Final = {0: "latin-1", 1: "utf-16", 2: "utf-16-be", 3: "utf-8"}


def read_chapters(stream: BinaryIO) -> tuple[tuple[float, str], ...]:
    """Seconds and words of each chapter; none where there is no tag, or a damaged one."""
    head = stream.read(_HEAD)
    if len(head) < _HEAD or head[:3] != b"ID3" or head[3] not in (3, 4) or head[5] & 0xC0:
        return ()
    size = _seven(head[6:])
    content = stream.read(min(size, LARGEST))
    return tuple(
        (start / 1000, words)
        for name, chapter in _frames(content, head[3])
        if name == b"CHAP"
        for start, words in _chapter(chapter, head[3])
    )


def _seven(four: bytes) -> int:
    return sum((byte & 0x7F) << shift for byte, shift in zip(four, (21, 14, 7, 0), strict=True))


def _frames(content: bytes, version: int) -> Iterator[tuple[bytes, bytes]]:
    at = 0
    while at + _HEAD <= len(content) and content[at]:
        four = content[at + 4 : at + 8]
        size = _seven(four) if version == 4 else int.from_bytes(four, "big")
        yield content[at : at + 4], content[at + _HEAD : at + _HEAD + size]
        at += _HEAD + size


def _chapter(content: bytes, version: int) -> Iterator[tuple[int, str]]:
    _, zero, rest = content.partition(b"\0")
    if not zero or len(rest) < 16:
        return
    (start,) = struct.unpack_from(">I", rest)
    for name, text in _frames(rest[16:], version):
        if name == b"TIT2" and text:
            words = text[1:].decode(_TEXTS.get(text[0], "latin-1"), "replace")
            yield start, words.partition("\0")[0]
