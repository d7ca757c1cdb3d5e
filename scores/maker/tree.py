"""One short word for making XML elements."""

from __future__ import annotations

from typing import TypeAlias

from lxml import etree

Element: TypeAlias = etree._Element


def add(parent: Element, tag: str, text: str = "", /, **attributes: str) -> Element:
    """Append an element with text and attributes, and return it."""
    element = etree.SubElement(parent, tag, attributes)
    if text:
        element.text = text
    return element
