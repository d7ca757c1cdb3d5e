"""Text and numbers of XML elements, with errors that name the bar."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Final

from lxml import etree

from drills.errors import ReadError

_DECIMAL: Final = re.compile(r"[+-]?\d{1,15}(\.\d{0,15})?|[+-]?\.\d{1,15}")
"""A decimal number as XML Schema has it, of a length that music may need."""


def text_of(element: etree._Element | None) -> str:
    """The element's text without blanks at its ends; "" where there is none."""
    return "" if element is None else (element.text or "").strip()


def child_text(element: etree._Element, tag: str) -> str:
    """The text of the first child of that name; "" where there is none."""
    return (element.findtext(tag) or "").strip()


@lru_cache(maxsize=4096)
def as_decimal(text: str) -> Fraction | None:
    """The number that ``text`` reads, exactly; None where it is no decimal number."""
    text = text.strip()
    return Fraction(text) if _DECIMAL.fullmatch(text) else None


@lru_cache(maxsize=4096)
def as_int(text: str | None) -> int | None:
    """The whole number that ``text`` reads ("2" or "2.0"); None where it is none."""
    value = as_decimal(text or "")
    return int(value) if value is not None and value.denominator == 1 else None


def decimal(element: etree._Element | None, where: str, what: str) -> Fraction:
    """The element's number; raises ReadError where its text is no number."""
    value = as_decimal(text_of(element))
    if value is None:
        raise ReadError(
            f"{where}: {text_of(element)[:40]!r} is not a number of {what}; export it again"
        )
    return value


def bar_of(element: etree._Element) -> str:
    """The printed number of the bar that an element stands in, "57#2" for the second of two."""
    for ancestor in element.iterancestors("measure"):
        before = [*ancestor.itersiblings("measure", preceding=True)][::-1]
        bars = [*before, ancestor, *ancestor.itersiblings("measure")]
        return names_of_bars(bars)[len(before)] or str(len(before) + 1)
    return "?"


def names_of_bars(measures: Sequence[etree._Element]) -> list[str]:
    """Printed numbers, with a figure where one stands more than once: "57#2" for the second.

    Second halves of split bars (``implicit``) count for nothing.
    """
    numbers = [measure.get("number") or "" for measure in measures]
    own = [
        number if measure.get("implicit") != "yes" else ""
        for number, measure in zip(numbers, measures, strict=True)
    ]
    often, seen = Counter(own), Counter[str]()
    names = []
    for number, counted in zip(numbers, own, strict=True):
        seen[counted] += 1
        repeats = bool(counted) and often[counted] > 1
        names.append(f"{number}#{seen[counted]}" if repeats else number)
    return names


def holds(element: etree._Element, xpath: str) -> bool:
    """True where the XPath expression finds a node."""
    return element.xpath(f"boolean({xpath})") is True


def count(element: etree._Element, xpath: str) -> int:
    """How many nodes an XPath expression finds."""
    found = element.xpath(f"count({xpath})")
    return int(found) if isinstance(found, float) else 0


def elements(element: etree._Element, xpath: str) -> list[etree._Element]:
    """The elements that an XPath expression finds."""
    found = element.xpath(xpath)
    return (
        [node for node in found if isinstance(node, etree._Element)]
        if isinstance(found, list)
        else []
    )
