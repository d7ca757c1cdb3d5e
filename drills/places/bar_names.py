"""What a player calls a bar and a beat: printed numbers, beats counted, "the first bar of E".

A bar that only completes the one before it (a bar split by a repeat or a double
bar) has no number of its own.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from drills.music.score import Bar, Part
from drills.music.time import Position


def completes_previous(part: Part, index: int) -> bool:
    """True for the second half of a bar that the score splits in two."""
    bar = part.bars[index]
    if index == 0 or not bar.offset:
        return False
    return bar.offset.quarters + bar.length.quarters <= bar.time.bar_length.quarters


def spoken_beat(bar: Bar, at: Position) -> str:
    """A position as a player counts it: "1", "2.5", "2+1/3"."""
    return spoken_count(1 + (bar.offset.quarters + at.quarters) / bar.time.beat.quarters)


def spoken_count(count: Fraction) -> str:
    """A beat, counted from 1, as a player says it: "1", "2.5", "2+1/3"."""
    whole, rest = divmod(count, 1)
    if not rest:
        return str(whole)
    if rest.denominator in (2, 4, 8, 16):
        return f"{float(count):g}"
    return f"{whole}+{rest}"


def bar_name(part: Part, index: int) -> str:
    """The printed number of a bar; of the second half of a split bar that of the first."""
    while index > 0 and completes_previous(part, index):
        index -= 1
    return part.bars[index].number or f"number {index + 1} of the part"


def place_words(part: Part, index: int, start: Position | None) -> str:
    """ "beat 3 of bar 33, the first bar of E"; the bar alone without ``start``."""
    mark = mark_words(part, index)
    head = f"bar {bar_name(part, index)}"
    if start is not None:
        head = f"beat {spoken_beat(part.bars[index], start)} of {head}"
    return f"{head}, {mark}" if mark else head


def stretch_words(
    part: Part, first: tuple[int, Position | None], last: tuple[int, Position | None]
) -> str:
    """ "bar 33, the first bar of E, to beat 1 of bar 34": bars with a position each, or whole."""
    begins = place_words(part, *first)
    comma = "," if "," in begins else ""
    index, start = last
    ends = f"bar {bar_name(part, index)}"
    if start is not None:
        beat = f"beat {spoken_beat(part.bars[index], start)}"
        same_bar = bar_name(part, index) == bar_name(part, first[0]) and first[1] is not None
        ends = beat if same_bar else f"{beat} of {ends}"
    return f"{begins}{comma} to {ends}"


_ORDINALS: Final = (
    *("first", "second", "third", "fourth", "fifth", "sixth"),
    *("seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"),
)


def mark_words(part: Part, index: int) -> str:
    """ "the first bar of E": counted from the last mark at or before the bar."""
    count = 0
    for at in range(index, -1, -1):
        count += not completes_previous(part, at)
        if part.bars[at].marks:
            text = part.bars[at].marks[-1].text
            return f"the {_ordinal(count)} bar of {f'mark {text}' if text.isdigit() else text}"
    return ""


def _ordinal(count: int) -> str:
    if count <= len(_ORDINALS):
        return _ORDINALS[count - 1]
    suffix = {1: "st", 2: "nd", 3: "rd"}.get(count % 10, "th") if count % 100 // 10 != 1 else "th"
    return f"{count}{suffix}"
