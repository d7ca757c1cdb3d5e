"""The same Ogg file every time: its stream gets a serial number of our own.

Problem: the library draws the serial number of a stream by lot, so that two files of the
same sound differ in every page.  Method: each page header (RFC 3533, section 6) gets
the number SERIAL, and its checksum the change that follows from it.  The checksum is a
CRC of 32 bits without any final step, hence linear: it changes by the CRC of the
difference, which is the four bytes of the serial number and then zeros to the end of
the page.  So no page has to be read as a whole.
"""

from __future__ import annotations

import struct
from functools import cache
from pathlib import Path
from typing import BinaryIO, Final

SERIAL: Final = 1
_POLYNOMIAL: Final = 0x04C11DB7
_HEADER: Final = 27
"""Bytes up to the table of segments; its length is the last of them."""
_SERIAL_AT: Final = 14
_CHECKSUM_AT: Final = 22


def fix_serial(path: Path) -> None:
    """Give the one stream of a finished Ogg file the number SERIAL."""
    with path.open("r+b") as stream:
        while size := _fix_page(stream):
            stream.seek(size, 1)


def _fix_page(stream: BinaryIO) -> int:
    """Fix the page that begins here, and stay; its size, 0 at the end of the file."""
    begin = stream.tell()
    header = stream.read(_HEADER)
    if len(header) < _HEADER or header[:4] != b"OggS":
        return 0
    segments = stream.read(header[-1])
    size = _HEADER + len(segments) + sum(segments)
    old, _, checksum = struct.unpack_from("<III", header, _SERIAL_AT)
    difference = int.from_bytes(struct.pack("<I", old ^ SERIAL))
    checksum ^= _times(difference, _power(size - _SERIAL_AT))
    stream.seek(begin + _SERIAL_AT)
    stream.write(struct.pack("<I", SERIAL))
    stream.seek(begin + _CHECKSUM_AT)
    stream.write(struct.pack("<I", checksum))
    stream.seek(begin)
    return size


def _times(one: int, other: int) -> int:
    """The product of two polynomials over GF(2), modulo that of the checksum."""
    product = 0
    while other:
        if other & 1:
            product ^= one
        one = one << 1 ^ (_POLYNOMIAL | 1 << 32 if one >> 31 else 0)
        other >>= 1
    return product


@cache
def _power(count: int) -> int:
    """x ** (8 * count), modulo the polynomial: what ``count`` bytes shift by."""
    if count == 0:
        return 1
    half = _power(count // 2)
    square = _times(half, half)
    return _times(square, 1 << 8) if count % 2 else square
