"""Rhythms: repeating patterns of lengths laid over a line in place of its own.

A rhythm is a cycle of whole-number proportions over successive attacks, with
accents.  Whatever the rhythm, the pitches, their order and their spelling stay.

Conventions.  A cycle fills whole beats (``beats``), so that the ladder's beat is
the music's beat; a rhythm with ``beats`` 0 keeps the levelled value instead.
The last note of a line sounds to the end of the beat that it starts in.  A
cycle that is turned by n starts with its last n entries as an upbeat, so that
the cycle proper still starts on a beat.

The rhythms are common practice; the pairs, threes and fours are listed, for
example, by L. Garrison, "practice3" (University of Idaho), and by B. Pimentel
(bretpimentel.com), both without fixed durations.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.music.metre import rounded_up
from drills.music.time import ZERO, Length, TimeSignature

LARGEST_TUPLET: Final = 7
LONGEST_CYCLE: Final = 8
"""Beats; a cycle that needs more is no longer heard as one."""


@dataclass(frozen=True, slots=True)
class Rhythm:
    """One way to play a line."""

    key: str
    """What the player types: "reversed-dotted", or "3:1:1:2" for one of their own."""
    name: str
    """What the sheet prints."""
    weights: tuple[int, ...]
    """Proportions of successive attacks."""
    beats: int
    """Whole beats that a cycle fills; 0 keeps the levelled value for every weight of 1."""
    accents: tuple[int, ...] = ()
    """Accented entries of the cycle, from 0."""
    regroups: bool = False
    """Takes other group sizes where the music already has these (see ``fitted``)."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A stretch of a line in a rhythm: one attack, or silence."""

    attack: int | None
    """Index of the attack in the line; None for a rest."""
    length: Length
    accent: bool = False


_TABLE: Final = (
    Rhythm("even", "even", (1,), 0),
    Rhythm("dotted", "dotted", (3, 1), 1),
    Rhythm("reversed-dotted", "reversed dotted", (1, 3), 1),
    Rhythm("swung", "swung", (2, 1), 1),
    Rhythm("reversed-swung", "reversed swung", (1, 2), 1),
    Rhythm("grouped-in-threes", "grouped in threes", (1, 1, 1), 1, (0,), regroups=True),
    Rhythm("threes-across", "threes across", (1, 1, 1), 0, (0,)),
    Rhythm("long-short-short", "long-short-short", (2, 1, 1), 1),
    Rhythm("short-short-long", "short-short-long", (1, 1, 2), 1),
    Rhythm("short-long-short", "short-long-short", (1, 2, 1), 1),
    Rhythm("first-long-of-four", "one long in four: the first", (5, 1, 1, 1), 2),
    Rhythm("second-long-of-four", "one long in four: the second", (1, 5, 1, 1), 2),
    Rhythm("third-long-of-four", "one long in four: the third", (1, 1, 5, 1), 2),
    Rhythm("last-long-of-four", "one long in four: the last", (1, 1, 1, 5), 2),
    Rhythm("bursts", "bursts of two, three and four", (1, 7, 1, 1, 6, 1, 1, 1, 5), 6, (1, 4, 8)),
)

RHYTHMS: Final = {rhythm.key: rhythm for rhythm in _TABLE}
"""Every rhythm by its key, in the order of the handbook: add a row to add a rhythm."""

FAMILIES: Final = {
    "one-long-in-four": (
        "first-long-of-four",
        "second-long-of-four",
        "third-long-of-four",
        "last-long-of-four",
    ),
    "all": tuple(RHYTHMS),
}
"""Names that stand for several rhythms."""

_IN_THREES: Final = {"dotted": (2, 1), "reversed-dotted": (1, 2)}
"""Long and short where the beat has three parts."""

_REGROUPED: Final = (
    Rhythm("grouped-in-fours", "grouped in fours", (1, 1, 1, 1), 1, (0,)),
    Rhythm("grouped-in-twos", "grouped in twos", (1, 1), 1, (0,)),
)


def find_rhythms(text: str) -> tuple[Rhythm, ...]:
    """The rhythms that a name or a list of proportions stands for.

    Raises UsageError for a name that is none (with the nearest one) and for
    proportions that cannot be written.
    """
    wanted = text.strip().lower().replace(" ", "-").replace("_", "-")
    if ":" in wanted:
        return (_own(wanted),)
    if wanted in FAMILIES:
        return tuple(RHYTHMS[key] for key in FAMILIES[wanted])
    if wanted in RHYTHMS:
        return (RHYTHMS[wanted],)
    near = get_close_matches(wanted, [*RHYTHMS, *FAMILIES], 1, 0.5)
    hint = f"did you mean {near[0]}?" if near else f"choose from {', '.join(RHYTHMS)}"
    raise UsageError(f"there is no rhythm {text!r}; {hint} Or give proportions such as 3:1:1:2.")


def _own(text: str) -> Rhythm:
    parts = text.split(":")
    if not all(re.fullmatch(r"[0-9]{1,2}", part) and int(part) > 0 for part in parts):
        raise UsageError(f"{text!r} is not a rhythm; write whole proportions such as 3:1:1:2")
    weights = tuple(int(part) for part in parts)
    total = sum(weights)
    for beats in range(1, LONGEST_CYCLE + 1):
        if total % beats == 0 and total // beats <= LARGEST_TUPLET:
            return Rhythm(text, ":".join(parts), weights, beats)
    raise UsageError(
        f"the rhythm {text} has {total} parts, which do not divide into beats of at most "
        f"{LARGEST_TUPLET} (a beat is written with values down to a 64th and tuplets of 3, 5, 6 "
        "and 7); choose proportions with another sum"
    )


def fitted(rhythm: Rhythm, time: TimeSignature, level: Length) -> tuple[Rhythm, ...]:
    """The rhythm as it makes sense over this music.

    Grouping in threes means other notes on the beat; where the music already
    has three or six notes to the beat, it is grouped in fours and in twos.  In compound
    time dotted is long and short in three (quarter and eighth, or eighth and sixteenth
    where the music has six to the beat), not four against three.
    """
    if rhythm.regroups and time.beat / level in (3, 6):
        return _REGROUPED
    if time.is_compound and rhythm.key in _IN_THREES:
        times = 2 if time.beat / level == 6 else 1
        return (replace(rhythm, weights=_IN_THREES[rhythm.key] * times),)
    return (rhythm,)


def lay(
    count: int,
    rhythm: Rhythm,
    time: TimeSignature,
    level: Length,
    turn: int = 0,
    *,
    lead: Length = ZERO,
) -> tuple[Laid, ...]:
    """Lay a rhythm over ``count`` attacks, from the start of a bar.

    ``level`` is the length of an attack of the levelled line.  ``turn`` starts
    the cycle that many notes later.  ``lead`` is the rest before a line that
    keeps the music's own value, where the music starts off the beat.  The last
    attack lasts to the end of its beat; rests that fill the bar are not included.
    """
    unit = _unit(rhythm, time, level)
    size = len(rhythm.weights)
    turn %= size
    laid: list[Laid] = []
    if rhythm.beats == 0:
        at = lead.quarters
    else:
        upbeat = sum(rhythm.weights[size - turn :]) * unit if turn else Fraction(0)
        at = -upbeat % (time.beat.quarters * rhythm.beats) % time.bar_length.quarters
    if at:
        laid.append(Laid(None, Length(at)))
    for index in range(count):
        entry = (index - turn) % size
        length = rhythm.weights[entry] * unit
        if index == count - 1:
            length = max(rounded_up(at + min(length, unit), time.beat) - at, min(length, unit))
        laid.append(Laid(index, Length(length), entry in rhythm.accents))
        at += length
    return tuple(laid)


def _unit(rhythm: Rhythm, time: TimeSignature, level: Length) -> Fraction:
    if rhythm.beats == 0:
        return level.quarters
    return rhythm.beats * time.beat.quarters / sum(rhythm.weights)


def played_turned(rhythm: Rhythm, turn: int) -> Rhythm:
    """The rhythm with a name that says how far it is turned."""
    turn %= len(rhythm.weights)
    if turn == 0:
        return rhythm
    notes = "one note" if turn == 1 else f"{turn} notes"
    return replace(rhythm, name=f"{rhythm.name}, turned by {notes}")


def most_common(lengths: Sequence[Length]) -> Length:
    """The commonest length; of several equally common the shortest."""
    return min(set(lengths), key=lambda length: (-lengths.count(length), length))
