"""What a score says about itself: title, composer, rights."""

from __future__ import annotations

from itertools import islice
from typing import Final

from lxml import etree

from drills.music.score import Credits
from drills.reading.directions import clean
from drills.reading.xmltext import child_text, text_of

_MOST_CREDITS: Final = 1_000
"""Words on the first page that are looked at: a title stands near the first."""


def read_credits(root: etree._Element) -> Credits:
    """Title, composer and rights line.

    A work of several movements is named with its movement.  Scores that name
    themselves only in words on the first page are read there.
    """
    work, movement = child_text(root, "work/work-title"), child_text(root, "movement-title")
    title = f"{work}: {movement}" if work and movement and work != movement else work or movement
    composers = [
        text_of(creator)
        for creator in root.iterfind("identification/creator")
        if (creator.get("type") or "composer").lower() == "composer"
    ]
    rights = [text_of(line) for line in root.iterfind("identification/rights")]
    return Credits(
        title=clean(title or _on_page(root, "title")),
        composer=clean(", ".join(filter(None, composers)) or _on_page(root, "composer")),
        rights=clean("; ".join(filter(None, rights)) or _on_page(root, "rights")),
    )


def _on_page(root: etree._Element, kind: str) -> str:
    """The words on the page that are marked as title, composer or rights."""
    for credit in islice(root.iterfind("credit"), _MOST_CREDITS):
        if child_text(credit, "credit-type").lower() == kind:
            return " ".join(text_of(line) for line in credit.iterfind("credit-words"))
    return ""
