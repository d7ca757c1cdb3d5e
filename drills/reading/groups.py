"""Names of groups in a part list: "Horns" beside two staves that are called "1" and "2".

A part whose own name is no more than a number takes the name of the innermost group
around it (MusicXML 4.0, elements ``part-group`` and ``group-name``).
"""

from __future__ import annotations

import re
from typing import Final

from lxml import etree

from drills.instruments.player_names import in_group
from drills.reading.directions import clean
from drills.reading.xmltext import child_text

_ONLY_A_NUMBER: Final = re.compile(
    r"(?:\d{1,3}(?:st|nd|rd|th)?|[IVX]{1,4}|a ?\d|[\s.,&+/()-]|and|und|et|e)*", re.IGNORECASE
)


def group_names(root: etree._Element) -> dict[str, str]:
    """The name of the innermost named group around each part, by the part's identifier."""
    found: dict[str, str] = {}
    open_groups: dict[str, str] = {}
    for entry in root.iterfind("part-list/*"):
        if entry.tag == "part-group":
            number = entry.get("number") or "1"
            open_groups.pop(number, None)
            if entry.get("type") == "start":
                open_groups[number] = _name(entry)
        elif entry.tag == "score-part":
            named = [name for name in open_groups.values() if name]
            found[entry.get("id") or ""] = named[-1] if named else ""
    return found


def _name(group: etree._Element) -> str:
    return clean(child_text(group, "group-name") or child_text(group, "group-abbreviation"))


def with_group(name: str, group: str) -> str:
    """``Horn 1`` for "1" in "Horns"; a name that says more stays what it is."""
    return in_group(name, group) if group and name and _ONLY_A_NUMBER.fullmatch(name) else name
