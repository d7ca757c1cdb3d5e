"""What is counted in a score's tree before anything is built from it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.errors import NotMusicXMLError, ReadError
from drills.reading.limits import Limits
from drills.reading.xmltext import (
    as_decimal,
    bar_of,
    count,
    decimal,
    elements,
    holds,
    text_of,
)

_NUMBERS: Final = re.compile(r"\d+")


def check_size(text: bytes, limits: Limits, where: str) -> None:
    """Count elements and attributes in the text itself, before a tree costs memory.

    In well-formed XML a ``<`` never stands for itself, and an attribute has its equals
    sign; those in words count too, of which no score has many.  Raises LimitError.
    """
    total = text.count(b"<") - text.count(b"</") + text.count(b"=")
    limits.check("elements", total, where)


def check_score(root: etree._Element, limits: Limits, where: str) -> None:
    """Compare everything that is counted with the limits.

    Raises LimitError, NotMusicXMLError for a score without music, and ReadError
    for numbers that make no sense.
    """
    _check_counts(root, limits, where)
    too_long = f"part/measure[string-length(@number) > {limits.number_text}]"
    for measure in elements(root, too_long):
        raise limits.exceeded("number_text", f"{len(measure.get('number') or ''):,}", where)
    for path, check in _CHECKS.items():
        for element in elements(root, path):
            check(element, limits, _Place(where, element))
    for part in root.iterfind("part"):
        _check_times(part, limits, where)


def _check_times(part: etree._Element, limits: Limits, where: str) -> None:
    """Every duration within bounds, and one fraction of a quarter that measures them all.

    Exact times are sums of these lengths: where each brings a denominator of its own,
    the sums grow with every note.  Where no divisions are named durations say little, so
    that only what no divisions could make sense of is refused.
    """
    divisions, common = Fraction(limits.divisions), 1
    named = False
    known: set[tuple[str, str | None]] = set()
    for element in part.iter("divisions", "duration", "actual-notes"):
        key = (str(element.tag), element.text)
        if element.tag == "divisions":
            divisions, named = as_decimal(text_of(element)) or Fraction(1), True
            known.clear()
        elif key not in known:
            known.add(key)
            value = as_decimal(text_of(element)) or Fraction(0)
            if element.tag == "duration":
                value /= divisions
                _check_length(value, limits, _Place(where, element), named=named)
                common = math.lcm(common, value.denominator)
            else:
                common = math.lcm(common, abs(value.numerator) or 1)
            if common >= 10**limits.fineness:
                place = _Place(where, element)
                raise limits.exceeded("fineness", f"more than {limits.fineness}", place)


def _check_length(length: Fraction, limits: Limits, where: _Place, *, named: bool) -> None:
    """A length in quarters that some bar could hold, and, by named divisions, be written."""
    if length > limits.bar_quarters:
        limits.check("bar_quarters", float(length), where)
    if named and 0 < length * limits.divisions < 1:
        limits.check("divisions", math.ceil(1 / length), where)


def _check_counts(root: etree._Element, limits: Limits, where: str) -> None:
    if holds(root, "/*" * (limits.depth + 1)):
        raise limits.exceeded("depth", f"more than {limits.depth:,}", where)
    parts = root.findall("part")
    if not holds(root, "part/measure"):
        raise NotMusicXMLError(f"{where}: the score is empty: it has no bars")
    limits.check("parts", len(parts), where)
    for part in parts:
        limits.check("bars", count(part, "measure"), where)
    limits.check("notes", count(root, "part/measure/note"), where)
    crowded = elements(root, f"part/measure[*[{limits.bar_notes + 1}]]")
    for measure in crowded[:1]:
        limits.check("bar_notes", count(measure, "*"), _Place(where, measure))


@dataclass(frozen=True, slots=True)
class _Place:
    """``reel.musicxml, bar 12``, worked out only where there is something to say."""

    where: str
    element: etree._Element

    def __str__(self) -> str:
        return f"{self.where}, bar {bar_of(self.element)}"


def _beats(element: etree._Element, limits: Limits, where: _Place) -> None:
    total = sum(_bounded(found, limits, "beats", where) for found in _numbers(text_of(element)))
    limits.check("beats", total, where)


def _divisions(element: etree._Element, limits: Limits, where: _Place) -> None:
    value = as_decimal(text_of(element))
    if value is None:  # only now is the place looked for: that takes long where bars are many
        value = decimal(element, str(where), "divisions")
    if value <= 0:
        raise ReadError(f"{where}: {value} divisions of a quarter make no sense; export it again")
    limits.check("divisions", float(value), where)


def _transposition(element: etree._Element, limits: Limits, where: _Place) -> None:
    value = as_decimal(text_of(element)) or Fraction(0)
    limits.check("transposition", math.ceil(abs(value)), where)


def _staves(element: etree._Element, limits: Limits, where: _Place) -> None:
    for found in _numbers(text_of(element)):
        _bounded(found, limits, "staves", where)


def _dots(element: etree._Element, limits: Limits, where: _Place) -> None:
    limits.check("dots", count(element, "dot"), where)


def _tuplet(element: etree._Element, limits: Limits, where: _Place) -> None:
    for found in _numbers(text_of(element)):
        _bounded(found, limits, "tuplet", where)


def _ending(element: etree._Element, limits: Limits, where: _Place) -> None:
    for text in (element.get("number") or "", text_of(element)):
        if len(text) > limits.ending_text:
            raise limits.exceeded("ending_text", f"{len(text):,}", where)
        for found in _numbers(text):
            _bounded(found, limits, "ending_number", where)


def _repeat(element: etree._Element, limits: Limits, where: _Place) -> None:
    for found in _numbers(element.get("times") or ""):
        _bounded(found, limits, "ending_number", where)


def _bounded(text: str, limits: Limits, name: str, where: _Place) -> int:
    """``text`` as a number within the limit ``name``, however many digits it has."""
    if len(text) > 12:
        raise limits.exceeded(name, f"{text[:12]}...", where)
    limits.check(name, int(text), where)
    return int(text)


def _numbers(text: str) -> Iterator[str]:
    return (found[0] for found in _NUMBERS.finditer(text))


_MANY_DOTS: Final = "part/measure/note[dot[2]]"
_CHECKS: Final[dict[str, Callable[[etree._Element, Limits, _Place], None]]] = {
    "part/measure/attributes/time/beats": _beats,
    "part/measure/attributes/divisions": _divisions,
    "part/measure/attributes/staves": _staves,
    "part/measure/attributes/transpose/*": _transposition,
    "part/measure/attributes/for-part/part-transpose/*": _transposition,
    _MANY_DOTS: _dots,
    "part/measure/note/time-modification/*": _tuplet,
    "part/measure/note/notations/tuplet/*/tuplet-number": _tuplet,
    "part/measure/barline/ending": _ending,
    "part/measure/barline/repeat": _repeat,
}
"""Where the numbers stand, and what checks each."""
