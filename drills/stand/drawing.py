"""Music on the screen: MusicXML -> one tall SVG picture, made harmless.

Verovio draws it.  Its picture repeats text of the score, so it is treated as hostile: it is
parsed, and only the elements and attributes of a drawing are kept.  Ids of bars and notes
survive, by which the browser knows what is pointed at.
"""

from __future__ import annotations

import re
from base64 import b64decode
from functools import cache
from pathlib import Path
from typing import Any, Final

from lxml import etree

from drills.errors import EngraveError

_SVG: Final = "{http://www.w3.org/2000/svg}"
_HREF: Final = "{http://www.w3.org/1999/xlink}href"
_KEPT: Final = frozenset(
    f"{_SVG}{name}"
    for name in (
        *("svg", "g", "defs", "use", "path", "rect", "ellipse", "circle", "line"),
        *("polygon", "polyline", "text", "tspan"),
    )
)
_ATTRIBUTES: Final = frozenset(
    (
        *("id", "class", "viewBox", "transform", "d", "points", "x", "y", "cx", "cy", "r"),
        *("x1", "x2", "y1", "y2", "rx", "ry", "width", "height", "fill", "fill-opacity"),
        *("stroke", "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-dasharray"),
        *("font-size", "font-family", "font-style", "font-weight", "text-anchor", "color"),
        *("overflow", "version"),
    )
)
TALL: Final = 60_000
"""The most that Verovio lets a page be, in tenths of a pixel: all systems under each other."""


@cache
def _engraver() -> Any:  # noqa: ANN401 - the library is untyped
    import verovio  # noqa: PLC0415 - an extra of the package

    verovio.enableLog(verovio.LOG_OFF)
    return verovio.toolkit()


def note_font() -> bytes:
    """The typeface of notes among words (tempo marks, chord symbols), as WOFF2.

    Leipzig comes with Verovio (SIL Open Font License 1.1); in its package it stands inside a
    style sheet, which the page may not load.  Raises EngraveError where it is missing.
    """
    import verovio  # noqa: PLC0415 - an extra of the package

    sheet = (Path(verovio.__file__).parent / "data" / "Leipzig.css").read_text("utf-8")
    found = re.search(r"base64,([A-Za-z0-9+/=]+)", sheet)
    if found is None:
        raise EngraveError("the typeface of notes is missing from this installation of verovio")
    return b64decode(found[1])


def drawn(document: bytes, width: int, scale: int) -> str:
    """A MusicXML document as SVG text for a window ``width`` pixels wide.

    ``scale`` is the size of a staff in percent of the usual.  Raises EngraveError where
    Verovio cannot read the document.
    """
    engraver = _engraver()
    engraver.setOptions(
        {
            "breaks": "auto",
            "scale": scale,
            "pageWidth": max(200, width * 100 // scale),
            "pageHeight": TALL,
            "adjustPageHeight": True,
            "header": "none",
            "footer": "none",
            "svgViewBox": True,
            "svgRemoveXlink": False,
            "mnumInterval": 1,
            "condense": "none",
        }
    )
    if not engraver.loadData(document.decode()):
        raise EngraveError("the part cannot be drawn on the screen; the printed sheet may still do")
    pages = [engraver.renderToSVG(page) for page in range(1, engraver.getPageCount() + 1)]
    return "\n".join(harmless(page) for page in pages)


def harmless(picture: str) -> str:
    """An SVG picture without anything but shapes and text of its own.

    Scripts, styles, links to elsewhere, event attributes and foreign elements go; nothing
    in it can run or load anything.
    """
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False)
    root = etree.fromstring(picture.encode(), parser)
    for element in list(root.iter()):
        if not _is_drawn(element):
            parent = element.getparent()
            if parent is None:
                raise EngraveError("the picture of the part is no drawing")
            parent.remove(element)
            continue
        for name in list(element.attrib):
            inner = name == _HREF and str(element.get(name, "")).startswith("#")
            if not (inner or name in _ATTRIBUTES):
                del element.attrib[name]
    return etree.tostring(root, encoding="unicode")


def _is_drawn(element: etree._Element) -> bool:
    """A shape or a text, and not where Verovio only marks the beginning of something."""
    if not isinstance(element.tag, str) or element.tag not in _KEPT:
        return False
    return "placeholder" not in str(element.get("class", "")).split()
