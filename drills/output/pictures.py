"""PNG and SVG pages that carry the mark of their input.

Formats: PNG (ISO/IEC 15948), where a ``tEXt`` chunk of Latin-1 text may follow
the header chunk; SVG 1.1, where a comment may follow the XML declaration.
"""

from __future__ import annotations

import io
import struct
import zlib
from typing import Final

PNG_SIGNATURE: Final = b"\x89PNG\r\n\x1a\n"
_HEADER_CHUNK: Final = 4 + 4 + 13 + 4
"""Bytes of the chunk IHDR, which always comes first: length, name, 13 of data, checksum."""


def marked_png(picture: bytes, mark: str) -> bytes:
    """The picture with ``mark`` in a text chunk named Software."""
    if not mark:
        return picture
    body = b"tEXtSoftware\0" + mark.encode("latin-1", "replace")
    chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
    head = len(PNG_SIGNATURE) + _HEADER_CHUNK
    return picture[:head] + chunk + picture[head:]


def trimmed_png(picture: bytes, mark: str) -> bytes:
    """The picture without the empty paper under it, with its mark and resolution."""
    from PIL import Image  # noqa: PLC0415 - only for bars alone

    with Image.open(io.BytesIO(picture)) as page:
        plain = page.convert("L")
        printed = plain.point(lambda level: 255 - level).getbbox()
        bottom = plain.height if printed is None else min(plain.height, printed[3] + _MARGIN)
        made = io.BytesIO()
        page.crop((0, 0, plain.width, bottom)).save(made, "PNG", dpi=page.info.get("dpi", _DPI))
    return marked_png(made.getvalue(), mark)


_MARGIN: Final = 40
"""Dots under what is printed."""
_DPI: Final = (150, 150)


def marked_svg(picture: bytes, mark: str) -> bytes:
    """The picture with ``mark`` in a comment."""
    if not mark:
        return picture
    comment = f"<!-- {mark.replace('--', '- -')} -->\n".encode("utf-8", "replace")
    if not picture.startswith(b"<?xml"):
        return comment + picture
    head, end, rest = picture.partition(b"?>\n")
    return head + end + comment + rest
