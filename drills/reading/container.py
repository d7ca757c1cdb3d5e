"""The score inside a compressed MusicXML file (.mxl), unpacked within limits.

A .mxl file is a zip archive whose ``META-INF/container.xml`` names the root
file (MusicXML 4.0, "Compressed .MXL files").  Nothing is ever written to disk,
so a path that leaves the archive can do no harm; it is refused all the same,
as no honest program writes one.  Sizes in the archive's directory are claims:
the limit is kept while reading.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from pathlib import PurePosixPath
from typing import Final

from lxml import etree

from drills.errors import NotMusicXMLError, ReadError
from drills.reading.limits import Limits

CONTAINER: Final = "META-INF/container.xml"
_CHUNK: Final = 1 << 16
_CONTAINER_BYTES: Final = 100_000
_READABLE: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
"""What the MusicXML format allows; bzip2 and LZMA members unpack a thousandfold."""
_SCORE_TYPES: Final = (".musicxml", ".xml")
_OTHER_TYPES: Final = (".mei", ".krn", ".abc", ".mid", ".midi", ".bars")
"""What else an archive may hold, where there is no MusicXML in it."""


def is_zip(data: bytes) -> bool:
    """True for the first bytes of a zip archive, whatever the file is called."""
    return data[:4] in {b"PK\x03\x04", b"PK\x05\x06"}


def unpack(data: bytes, limits: Limits, where: str) -> bytes:
    """The bytes of the score in the archive ``data``.

    Raises LimitError beyond a limit, NotMusicXMLError for an archive without a
    score, ReadError for a damaged, encrypted or ill-meant one.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            limits.check("members", len(archive.infolist()), where)
            return _read(archive, _root_member(archive, limits, where), limits, where)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError) as error:
        raise ReadError(
            f"{where}: the compressed file is damaged ({error}); export it again"
        ) from error


def _root_member(archive: zipfile.ZipFile, limits: Limits, where: str) -> zipfile.ZipInfo:
    named = _named_root(archive, limits, where)
    if named:
        if PurePosixPath(named).is_absolute() or ".." in PurePosixPath(named).parts:
            raise ReadError(
                f"{where}: its container names {named!r}, a path that leaves the archive; "
                "no notation program writes that, so the file is not read"
            )
        try:
            return archive.getinfo(named)
        except KeyError:
            pass
    candidates = sorted(
        (info for info in archive.infolist() if _may_be_score(info.filename)),
        key=lambda info: (_is_other(info.filename), info.filename.count("/"), info.filename),
    )
    if not candidates:
        raise NotMusicXMLError(f"{where}: no MusicXML file inside the archive")
    return candidates[0]


def _may_be_score(name: str) -> bool:
    path = PurePosixPath(name)
    outside = path.parts[:1] in {("META-INF",), ("__MACOSX",)} or path.name.startswith(".")
    return path.suffix.lower() in (*_SCORE_TYPES, *_OTHER_TYPES) and not outside


def _is_other(name: str) -> bool:
    return PurePosixPath(name).suffix.lower() in _OTHER_TYPES


def _named_root(archive: zipfile.ZipFile, limits: Limits, where: str) -> str:
    """The path in container.xml, or "" where there is no such file or no path in it."""
    try:
        info = archive.getinfo(CONTAINER)
    except KeyError:
        return ""
    if info.file_size > _CONTAINER_BYTES:
        return ""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False)
    try:
        root = etree.fromstring(_read(archive, info, limits, where), parser)
    except etree.XMLSyntaxError:
        return ""
    for element in root.iter(etree.Element):
        if etree.QName(element).localname == "rootfile" and element.get("full-path"):
            return (element.get("full-path") or "").replace("\\", "/")
    return ""


def _read(archive: zipfile.ZipFile, info: zipfile.ZipInfo, limits: Limits, where: str) -> bytes:
    """The bytes of one member, counted while they come."""
    if info.flag_bits & 0x1:
        raise ReadError(f"{where}: the archive is encrypted; export it without a password")
    if info.compress_type not in _READABLE:
        raise ReadError(
            f"{where}: the archive is packed in a way that MusicXML does not allow "
            f"(method {info.compress_type}); export it again"
        )
    chunks: list[bytes] = []
    size = 0
    with archive.open(info) as member:
        while chunk := member.read(_CHUNK):
            size += len(chunk)
            limits.check("unpacked_size", size, where)
            if size > _CHUNK:
                limits.check("ratio", size // max(1, info.compress_size), where)
            chunks.append(chunk)
    return b"".join(chunks)
