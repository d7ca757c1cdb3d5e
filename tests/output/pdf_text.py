"""The words of a PDF page, by ISO 32000-1 section 9.10.2: codes through ToUnicode maps.

Enough for what cairo writes: horizontal text, codes of one or two bytes.
"""

from __future__ import annotations

import re
import unicodedata
from io import BytesIO

import pikepdf


def page_texts(pdf: bytes) -> list[str]:
    """What stands on each page, in the order in which it was drawn, without any blanks."""
    with pikepdf.open(BytesIO(pdf)) as document:
        return ["".join(_plain(_page_text(page)).split()) for page in document.pages]


def _plain(text: str) -> str:
    """Ligatures as their letters."""
    return unicodedata.normalize("NFKC", text)


def _page_text(page: pikepdf.Page) -> str:
    fonts = _fonts(page)
    current: tuple[int, dict[int, str]] = (1, {})
    found = []
    for step in pikepdf.parse_content_stream(page):
        operands, name = step.operands, str(step.operator)
        if name == "Tf":
            current = fonts[str(operands[0])]
        elif name == "Tj":
            found.append(_decoded(bytes(operands[0]), *current))
        elif name == "TJ":
            found += [
                _decoded(bytes(piece), *current)
                for piece in operands[0]
                if isinstance(piece, pikepdf.String)
            ]
    return "".join(found)


def _fonts(page: pikepdf.Page) -> dict[str, tuple[int, dict[int, str]]]:
    """Name of each font -> bytes per code, and the character of each code."""
    fonts = {}
    for name, font in page.resources.get("/Font", {}).items():
        cmap = font.ToUnicode.read_bytes().decode("latin-1") if "/ToUnicode" in font else ""
        fonts[str(name)] = (2 if font.Subtype == "/Type0" else 1, _codes(cmap))
    return fonts


def _codes(cmap: str) -> dict[int, str]:
    """The entries of bfchar and bfrange blocks."""
    codes = {}
    for block in re.findall(r"beginbfchar(.*?)endbfchar", cmap, re.DOTALL):
        for code, text in re.findall(r"<(\w+)>\s*<(\w+)>", block):
            codes[int(code, 16)] = _characters(text)
    for block in re.findall(r"beginbfrange(.*?)endbfrange", cmap, re.DOTALL):
        for low, high, text in re.findall(r"<(\w+)>\s*<(\w+)>\s*<(\w+)>", block):
            for step in range(int(high, 16) - int(low, 16) + 1):
                codes[int(low, 16) + step] = chr(ord(_characters(text)) + step)
        for low, _, texts in re.findall(r"<(\w+)>\s*<(\w+)>\s*\[(.*?)\]", block, re.DOTALL):
            for step, text in enumerate(re.findall(r"<(\w+)>", texts)):
                codes[int(low, 16) + step] = _characters(text)
    return codes


def _characters(digits: str) -> str:
    return bytes.fromhex(digits).decode("utf-16-be")


def _decoded(data: bytes, size: int, codes: dict[int, str]) -> str:
    numbers = (int.from_bytes(data[at : at + size], "big") for at in range(0, len(data), size))
    return "".join(codes.get(number, "") for number in numbers)
