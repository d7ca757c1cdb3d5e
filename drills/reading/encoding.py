"""From the bytes of a score to text that an XML parser reads the same way.

Exporters mislabel their files: UTF-16 declared as UTF-8 and the reverse, cp1252
bytes under a UTF-8 label, a blank line before the declaration.  The order that
reads them all: byte-order mark, then the look of the first bytes, then the
declared encoding if the bytes fit it, then UTF-8, then cp1252.  (The W3C
Recommendation XML 1.0, fifth edition, appendix F describes the first steps.)
"""

from __future__ import annotations

import codecs
import re
from typing import Final

from drills.errors import NotMusicXMLError

_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
"""Byte-order marks; the longer ones first, since UTF-32's begins with UTF-16's."""
_UNMARKED: Final = ((b"<\x00", "utf-16-le"), (b"\x00<", "utf-16-be"))
"""How a document begins in UTF-16 without a mark."""
_DECLARED: Final = re.compile(
    rb"""^\s*<\?xml[^>]{0,200}?encoding\s*=\s*["']([A-Za-z0-9._-]{1,40})"""
)
_CHARACTER_SETS: Final = re.compile(
    r"(us-?)?ascii|utf-?8|latin-?\d+|iso-?8859.*|windows-?\d+|cp-?\d+|mac.*|koi8.*"
    r"|gb.*|big5.*|shift_?-?jis.*|s?jis.*|euc.*|iso-?2022.*"
)
"""Encodings that a declaration may name; Python's other codecs (zip, idna,
escapes) are no character sets of documents, and some take quadratic time."""
_BLANKS: Final = b" \t\r\n\x00"
_ILLEGAL: Final = bytes(set(range(0x20)) - set(b"\t\n\r"))


def to_utf8(data: bytes, where: str) -> bytes:
    """The document as UTF-8 without a byte-order mark.

    A parser must be told that it is UTF-8, whatever the declaration inside
    says.  Raises NotMusicXMLError for an empty file.
    """
    if not data[:1024].strip(_BLANKS) and not data.strip(_BLANKS):
        raise NotMusicXMLError(f"{where}: the file is empty")
    if not data.startswith(b"<") or _declared(data) not in {(), ("utf-8",)} or not _is_utf8(data):
        data = _decode(data).encode("utf-8", "replace")
    return data.lstrip()


def without_illegal(text: bytes) -> bytes:
    """The text without the control characters that XML 1.0 forbids (production [2] Char)."""
    return text.translate(None, _ILLEGAL)


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def _decode(data: bytes) -> str:
    for mark, name in _MARKS:
        if data.startswith(mark):
            return data[len(mark) :].decode(name, "replace")
    for start, name in _UNMARKED:
        if data.startswith(start):
            return data.decode(name, "replace")
    for name in (*_declared(data), "utf-8"):
        try:
            return data.decode(name)
        except (UnicodeDecodeError, LookupError):
            continue
    return data.decode("cp1252", "replace")


def _declared(data: bytes) -> tuple[str, ...]:
    found = _DECLARED.match(data[:400])
    if found is None:
        return ()
    name = found[1].decode("ascii").lower()
    return (name,) if _CHARACTER_SETS.fullmatch(name) else ()
