"""Which tuplets each note belongs to, and where their brackets begin and end.

Problem: the time modification of a note is the product of all tuplets around
it; the brackets (``<tuplet>``) are often left out, unfinished or without ratio.
Method: one pass over the notes of a voice in a bar with a stack of open
tuplets.  A bracket opens one; without a bracket one opens where the ratio
begins and closes as soon as its notes add up to whole tuplets.  What is open at
the end of the bar is closed there, so that no tuplet is ever left open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.music.notes import TupletBracket
from drills.music.time import Length, NoteValue, Tuplet
from drills.reading.clocks import NONE
from drills.reading.clusters import Cluster
from drills.reading.timing import ONE
from drills.reading.xmltext import as_int, child_text

_MOST_BRACKETS: Final = 8
"""Tuplet signs of one note that are looked at."""


@dataclass(slots=True)
class _Open:
    """A tuplet that has begun."""

    ratio: Tuplet
    number: str
    """Number of its bracket in the file; "" where it has none."""
    first: int
    """Index of its first note."""
    written: Fraction = NONE
    """What its notes add up to as written inside it."""
    shortest: Fraction | None = None
    """The shortest of them."""
    last: int = -1


@dataclass(slots=True)
class _Closed:
    """A tuplet and the notes it holds."""

    ratio: Tuplet
    first: int
    last: int
    depth: int


@dataclass(slots=True)
class _Pass:
    """The state of the pass over one voice of one bar."""

    stack: list[_Open] = field(default_factory=list)
    closed: list[_Closed] = field(default_factory=list)

    @property
    def product(self) -> Fraction:
        result = ONE
        for opened in self.stack:
            result *= opened.ratio.factor
        return result

    def close(self, number: int) -> None:
        """Close the open tuplets from the stack's index ``number`` inwards."""
        while len(self.stack) > number:
            opened = self.stack.pop()
            if opened.last >= 0:
                depth = len(self.stack)
                self.closed.append(_Closed(opened.ratio, opened.first, opened.last, depth))


def brackets(voice: Sequence[Cluster]) -> dict[int, tuple[TupletBracket, ...]]:
    """The tuplets of every cluster that is in one, by the cluster's key, outermost first.

    ``voice``: the notes and rests of one voice of one bar in order, without
    grace notes.
    """
    if all(cluster.time.ratio == ONE for cluster in voice):
        return {}
    state = _Pass()
    for index, cluster in enumerate(voice):
        _step(state, index, cluster)
    state.close(0)
    found: dict[int, list[TupletBracket]] = {}
    for closed in sorted(state.closed, key=lambda c: c.depth):
        for index in range(closed.first, closed.last + 1):
            bracket = TupletBracket(closed.ratio, index == closed.first, index == closed.last)
            found.setdefault(voice[index].key, []).append(bracket)
    return {key: tuple(value) for key, value in found.items()}


def _step(state: _Pass, index: int, cluster: Cluster) -> None:
    """Account for one note: open what begins, count it, close what ends."""
    ratio = cluster.time.ratio
    signed = ratio != ONE and "notations" in cluster.fields
    signs = cluster.element.findall("notations/tuplet")[:_MOST_BRACKETS] if signed else []
    starts = [sign for sign in signs if sign.get("type") == "start"]
    if state.stack and (ratio == ONE or (starts and state.product == ratio)):
        state.close(0)
    _open(state, index, ratio, starts, cluster.element)
    if ratio == ONE or cluster.time.value is None:
        return
    inside = cluster.time.value.length.quarters
    for opened in reversed(state.stack):
        opened.written += inside
        opened.shortest = inside if opened.shortest is None else min(inside, opened.shortest)
        opened.last = index
        inside *= opened.ratio.factor
    _close_stopped(state, signs)
    _close_full(state)


def _open(
    state: _Pass,
    index: int,
    ratio: Fraction,
    starts: list[etree._Element],
    note: etree._Element,
) -> None:
    """Open tuplets until the open ones account for the note's whole ratio."""
    missing = ratio / state.product
    if missing == ONE:
        return
    if state.stack and not starts:
        state.close(0)
        missing = ratio
    before = len(state.stack)
    for sign, own in _own_ratios(starts, missing, note):
        state.stack.append(_Open(own, sign.get("number") or "1", index))
    if state.product != ratio:
        state.close(before)
    missing = ratio / state.product
    if missing != ONE:
        state.stack.append(_Open(_as_printed(missing, note), "", index))


def _own_ratios(
    starts: list[etree._Element], missing: Fraction, note: etree._Element
) -> list[tuple[etree._Element, Tuplet]]:
    """The ratio of each bracket that starts; one that does not say takes what is missing."""
    ordered = sorted(starts, key=lambda sign: as_int(sign.get("number")) or 1)
    said = {id(sign): _said_ratio(sign) for sign in ordered}
    for ratio in said.values():
        missing /= ratio.factor if ratio else ONE
    silent = [sign for sign in ordered if said[id(sign)] is None]
    if len(silent) > 1 or (silent and missing == ONE):
        return []
    result: list[tuple[etree._Element, Tuplet]] = []
    for sign in ordered:
        own = said[id(sign)] or _as_printed(missing, note)
        result.append((sign, own))
    return result


def _said_ratio(sign: etree._Element) -> Tuplet | None:
    actual = as_int(child_text(sign, "tuplet-actual/tuplet-number"))
    normal = as_int(child_text(sign, "tuplet-normal/tuplet-number"))
    if not actual or not normal or actual < 1 or normal < 1:
        return None
    units = [child_text(sign, f"tuplet-{side}/tuplet-type") for side in ("actual", "normal")]
    if units[0] != units[1] and all(units):
        return None
    return Tuplet(actual, normal)


def _as_printed(missing: Fraction, note: etree._Element) -> Tuplet:
    """6:4 rather than 3:2 where the note says so and it is all there is to say."""
    actual = as_int(child_text(note, "time-modification/actual-notes")) or 0
    normal = as_int(child_text(note, "time-modification/normal-notes")) or 0
    if actual > 0 and Fraction(normal, actual) == missing:
        return Tuplet(actual, normal)
    return Tuplet(missing.denominator, missing.numerator)


def _close_stopped(state: _Pass, signs: list[etree._Element]) -> None:
    stops = {sign.get("number") or "1" for sign in signs if sign.get("type") == "stop"}
    numbers = [place for place, opened in enumerate(state.stack) if opened.number in stops]
    if numbers:
        state.close(numbers[0])


def _close_full(state: _Pass) -> None:
    """Close the innermost tuplets without a bracket whose notes are complete.

    Complete: what is written in it, divided by the number of its notes, is a
    plain note value (three eighths: 3/2 : 3 = 1/2, an eighth) that is not shorter
    than the shortest of them (one eighth is no complete 4:3 of 32nds).
    """
    while state.stack and not state.stack[-1].number:
        opened = state.stack[-1]
        unit = opened.written / opened.ratio.actual
        plain = NoteValue.of(Length(unit), max_dots=0) is not None
        if not plain or opened.shortest is None or unit < opened.shortest:
            return
        state.close(len(state.stack) - 1)
