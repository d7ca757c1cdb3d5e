"""What a file is, by its content: the name proves nothing.

Each open format says what it is near its start: ``MThd`` (Standard MIDI Files 1.0),
``**kern`` as the first exclusive interpretation (Humdrum Toolkit, "Representation"), an
``X:`` or ``K:`` field (ABC 2.1, 2.2), the root element of XML.  The first bytes of pictures
and other files stand in their own specifications and in the ``file`` program's tables.
"""

from __future__ import annotations

import re
from enum import StrEnum
from typing import Final


class Kind(StrEnum):
    """What is read."""

    MUSICXML = "MusicXML"
    MEI = "MEI"
    ABC = "ABC"
    HUMDRUM = "Humdrum"
    MIDI = "MIDI"
    BARS = "typed bars"


_START: Final = 1 << 16
"""How far a file is looked at."""
_MEI: Final = re.compile(rb"<(?:[A-Za-z_][\w.-]*:)?mei[\s>]")
_KERN: Final = re.compile(rb"^(?:!![^\n]*\n|\s*\n)*\*\*\w", re.MULTILINE)
_ABC: Final = re.compile(rb"\A(?:%[^\n]*\n|[A-Za-z+]:[^\n]*\n|\s*\n)*?[XK]:\s*\S", re.MULTILINE)
_ABC_LATER: Final = re.compile(rb"^X:\s*\d", re.MULTILINE)
_ABC_KEY: Final = re.compile(rb"^K:", re.MULTILINE)
_BARS: Final = re.compile(
    rb"\A(?:\s|#[^\n]*\n)*(?:(?:title|composer|part|instrument|tempo)\s*:|\d{1,2}(?:\+\d{1,2})*/\d)",
    re.IGNORECASE,
)

_PICTURE: Final = "a picture"
_TO_MUSIC: Final = (
    "drills reads no pictures; ask the library or the composer for MusicXML, export it from the "
    "notation program that the part was made with, recognise the page with a program for that "
    "and check its result, or type the bar: drills sheet --notes"
)
_PICTURES: Final = (
    (b"%PDF", "a PDF"),
    (b"\x89PNG", _PICTURE),
    (b"\xff\xd8\xff", _PICTURE),
    (b"GIF8", _PICTURE),
    (b"II*\x00", _PICTURE),
    (b"MM\x00*", _PICTURE),
    (b"BM", _PICTURE),
    (b"%!PS", "a page for a printer"),
)
"""How files of printed or photographed pages begin."""
_HEIF: Final = re.compile(rb"\A.{4}ftyp(?:hei|hev|mif1|msf1|avif)", re.DOTALL)
_WEBP: Final = re.compile(rb"\ARIFF.{4}WEBP", re.DOTALL)
_SOUND: Final = (
    (b"RIFF", "a sound file"),
    (b"fLaC", "a sound file"),
    (b"OggS", "a sound file"),
    (b"ID3", "a sound file"),
)


def kind_of(data: bytes) -> Kind | None:
    """The format of a file, unpacked; None where it is none that is read.

    ``data`` as it stands in the file, or as UTF-8 text where it is text.
    """
    if data.startswith(b"MThd") or (data.startswith(b"RIFF") and data[8:12] == b"RMID"):
        return Kind.MIDI
    start = data[:_START].lstrip(b"\xef\xbb\xbf \t\r\n")
    if start.startswith(b"<"):
        return Kind.MEI if _MEI.search(start) else Kind.MUSICXML
    if _KERN.match(start):
        return Kind.HUMDRUM
    if _BARS.match(start):
        return Kind.BARS
    if _ABC.match(start) or (_ABC_LATER.search(start) and _ABC_KEY.search(start)):
        return Kind.ABC
    return None


def refusal(data: bytes) -> str:
    """For a file of pages or sound: what it is and what to do; "" for any other."""
    if _HEIF.match(data) or _WEBP.match(data):
        return f"{_PICTURE}; {_TO_MUSIC}"
    for begins, what in _PICTURES:
        if data.startswith(begins):
            return f"{what}; {_TO_MUSIC}"
    for begins, what in _SOUND:
        if data.startswith(begins):
            return f"{what}; drills needs the written part: a score as MusicXML, or typed bars"
    return ""
