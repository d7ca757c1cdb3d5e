"""Opening a MusicXML file that may come from anyone.

Problem: a score is a file from a stranger.  It may be huge, deeply nested, a
bomb of entities, packed a thousandfold, mislabelled or no score at all.
Method: bytes are counted before they are read, unpacked or decoded by our own
hand, parsed by lxml without entities, document type or network, and what is
counted in the tree (bars, notes, beats ...) is compared with ``Limits`` before
anything is built from it.  Nothing is ever fetched: the standard DOCTYPE of
MusicXML is accepted and ignored, one with declarations of its own is refused.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

from lxml import etree

from drills.errors import NotMusicXMLError, ReadError
from drills.reading.check import check_counts, check_values
from drills.reading.container import is_zip, unpack
from drills.reading.encoding import to_utf8
from drills.reading.limits import Limits, place_of
from drills.reading.shape import to_partwise

_ROOTS: Final = ("score-partwise", "score-timewise")
_END: Final = re.compile(rb"</(?:[A-Za-z_][\w.-]*:)?score-(?:part|time)wise\s*>")
_OWN_DECLARATIONS: Final = re.compile(rb"<!DOCTYPE[^>\[]*\[|<!ENTITY", re.IGNORECASE)
_OTHER_FILES: Final = (
    (b"MThd", "a MIDI file"),
    (b"%PDF", "a PDF"),
    (b"RIFF", "a sound file"),
    (b"\\version", "LilyPond text"),
    (b"X:", "ABC text"),
)
"""How files begin that players confuse with MusicXML."""


def open_tree(path: Path, limits: Limits) -> etree._Element:
    """The root of the file's score, partwise, checked against ``limits``.

    Comments and processing instructions are gone, and so are namespaces.
    Raises ReadError, LimitError or NotMusicXMLError.
    """
    where = place_of(path)
    data = _bytes_of(path, limits, where)
    if is_zip(data):
        data = unpack(data, limits, where)
        limits.check("unpacked_size", len(data), where)
    root = _parse(to_utf8(data, where), data, limits, where)
    if etree.QName(root).localname not in _ROOTS:
        raise NotMusicXMLError(
            f"{where}: XML of another kind (it begins with <{etree.QName(root).localname}>); "
            "export the score as MusicXML"
        )
    root = to_partwise(root)
    check_counts(root, limits, where)
    check_values(root, limits, where)
    return root


def _bytes_of(path: Path, limits: Limits, where: str) -> bytes:
    try:
        if path.is_dir():
            raise ReadError(f"{where}: a folder, not a file; name the score inside it")
        with path.open("rb") as file:
            data = file.read(limits.file_size + 1)
            if len(data) > limits.file_size:
                raise limits.exceeded("file_size", f"{path.stat().st_size:,}", where)
            return data
    except OSError as error:
        reason = error.strerror or "unreadable"
        raise ReadError(f"{where}: {reason.lower()}; check the name and the rights") from error


def _parse(text: bytes, original: bytes, limits: Limits, where: str) -> etree._Element:
    if not text.startswith(b"<"):
        kind = next((k for start, k in _OTHER_FILES if original.startswith(start)), "no XML")
        raise NotMusicXMLError(f"{where}: this is {kind}; export the score as MusicXML")
    if _OWN_DECLARATIONS.search(text, 0, 1 << 16):
        raise ReadError(
            f"{where}: the file declares entities of its own, which no score needs and which "
            "can hide an attack; export it again"
        )
    ends = list(_END.finditer(text[-2_000:]))
    if ends:
        text = text[: len(text) - len(text[-2_000:]) + ends[-1].end()]
    parser = etree.XMLParser(
        encoding="utf-8",
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        dtd_validation=False,
        huge_tree=limits.depth > 200,
        remove_comments=True,
        remove_pis=True,
    )
    try:
        root = etree.fromstring(text, parser)
    except etree.XMLSyntaxError as error:
        if "xcessive depth" in str(error):
            raise limits.exceeded("depth", "more than 256", where) from error
        raise ReadError(
            f"{where}: not well-formed XML ({error.msg}); export it again, or open and save it "
            "in a notation program"
        ) from error
    return root
