"""Making XML elements whose text a parser will take back."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from lxml import etree

_NOT_XML: Final = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What is outside the production Char of XML 1.0, section 2.2."""


def add(
    parent: etree._Element, tag: str, text: str | int | None = None, **attributes: str
) -> etree._Element:
    """A new last child of ``parent``; an underscore in an attribute's name is a hyphen."""
    made = etree.SubElement(parent, tag)
    for name, value in attributes.items():
        made.set(name.rstrip("_").replace("_", "-"), xml_text(value))
    if text is not None:
        made.text = xml_text(str(text))
    return made


def xml_text(text: str) -> str:
    """``text`` with a replacement sign for every character that XML cannot hold."""
    return _NOT_XML.sub("\ufffd", text)


def decimal(number: Fraction) -> str:
    """A Fraction as an ``xs:decimal``: whole where it is, else up to six places."""
    if number.denominator == 1:
        return str(number.numerator)
    return f"{float(number):.6f}".rstrip("0").rstrip(".")
