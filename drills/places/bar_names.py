"""What a player calls a bar and a beat: printed numbers, beats counted, "the first bar of E".

A bar that only completes the one before it (a bar split by a repeat or a double
bar) has no number of its own.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from typing import Final

from drills.music.lines import PARTS_KEPT
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


def told_name(part: Part, index: int) -> str:
    """The name of a bar as find_span reads it: "57#2" for the second bar 57 of the part."""
    count, name = _which(part, index), bar_name(part, index)
    return f"{name}#{count}" if count else name


def bar_words(part: Part, index: int) -> str:
    """ "bar 57"; "the second bar 57" where several have that number."""
    count, name = _which(part, index), bar_name(part, index)
    return f"the {ordinal(count)} bar {name}" if count else f"bar {name}"


def _which(part: Part, index: int) -> int:
    """Which of the bars that have its number a bar is, from 1; 0 where it is the only one."""
    while index > 0 and completes_previous(part, index):
        index -= 1
    same = _numbered(part).get(part.bars[index].number, [])
    return same.index(index) + 1 if len(same) > 1 else 0


@lru_cache(maxsize=PARTS_KEPT)
def _numbered(part: Part) -> dict[str, list[int]]:
    """The bars of each printed number, second halves of split bars left out."""
    found: dict[str, list[int]] = {}
    for bar in part.bars:
        if bar.number and not completes_previous(part, bar.index):
            found.setdefault(bar.number, []).append(bar.index)
    return found


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
            return f"the {ordinal(count)} bar of {f'mark {text}' if text.isdigit() else text}"
    return ""


def ordinal(count: int) -> str:
    """ "first", "second", ... and "13th" after "twelfth"."""
    if count <= len(_ORDINALS):
        return _ORDINALS[count - 1]
    suffix = {1: "st", 2: "nd", 3: "rd"}.get(count % 10, "th") if count % 100 // 10 != 1 else "th"
    return f"{count}{suffix}"
