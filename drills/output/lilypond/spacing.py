"""How many cells fit on a line: a small estimate of widths, and balanced rows.

Problem.  LilyPond would break a row of cells wherever the music lets it, which
may leave one lone cell in the last row.  Method.  The width of each cell is
estimated from its note values, accidentals and label; the smallest number of
rows that holds them is filled as evenly as the order allows.  All widths are in
staff spaces.  The figures were measured on LilyPond's own tight spacing.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from drills.drill import Drill
from drills.music.pitch import KeySignature, Pitch, Tone
from drills.music.score import Bar, Event, Note

HEAD: Final = 1.4
"""A note head with the least room after it."""
PER_DOUBLING: Final = 0.5
"""More room for each doubling of the length beyond a sixteenth."""
ACCIDENTAL: Final = 1.1
DOT: Final = 0.7
GRACE: Final = 1.5
FLAG: Final = 0.6
REPEAT_SIGNS: Final = 3.6
"""A repeat sign at either end, and the room before the first note."""
NARROWEST_CELL: Final = 13.2
"""Narrower cells would run together before the eye."""
LABEL_RANGES: Final = 3
"""Places of a merged cell that its label names; of more, it names two and counts the rest."""
LABEL_CHARACTER: Final = 0.95
"""One character of a number range over a cell."""
CLEF: Final = 4.0
KEY_SIGN: Final = 1.0
TIME_SIGNATURE: Final = 3.0


def event_width(event: Event, key: KeySignature) -> float:
    """What one note or rest needs."""
    width = HEAD
    ratio = float(event.length.quarters) * 4  # in sixteenths
    while ratio >= 2:
        width += PER_DOUBLING
        ratio /= 2
    width += DOT * (event.value.dots if event.value else 0)
    if isinstance(event, Note):
        width += ACCIDENTAL * any(_differs(tone, key) for tone in event.tones)
        width += GRACE * (len(event.graces) + len(event.graces_after))
        width += FLAG * (event.beam is None and event.value.flags > 0)
    return width


def _differs(tone: Tone, key: KeySignature) -> bool:
    """True where the tone needs an accidental at the start of a bar."""
    return isinstance(tone, Pitch) and tone.alter != key.alter_of(tone.step)


def bars_width(bars: Sequence[Bar]) -> float:
    """What bars need without their outer bar lines."""
    inner = sum(
        event_width(event, bar.key)
        for bar in bars
        for voice in bar.voices[:1]
        for event in voice.events
    )
    return inner + 1.5 * (len(bars) - 1)


def cell_width(bars: Sequence[Bar], label: str) -> float:
    """What a repeated cell needs with its repeat signs and the number range above."""
    inner = max(bars_width(bars), LABEL_CHARACTER * len(label))
    return max(NARROWEST_CELL, REPEAT_SIGNS + inner)


def staff_start_width(bar: Bar) -> float:
    """Clef, key and time at the beginning of a line."""
    signs = len(bar.key.custom) or abs(bar.key.fifths)
    return CLEF + KEY_SIGN * signs + TIME_SIGNATURE


def cell_rows(drills: Sequence[Drill], line_width: float) -> tuple[int, ...]:
    """How many cells of one size go on each row of a line that is so wide."""
    widths = [cell_width(drill.bars, short_label(drill)) for drill in drills]
    start = max(staff_start_width(drill.bars[0]) for drill in drills)
    return balanced_rows(widths, line_width - start)


def short_label(drill: Drill) -> str:
    """The label of a cell, in which ``1-2`` reads as a range, and of many places two are named."""
    ranges = drill.label.split(", ")
    kept = ranges if len(ranges) <= LABEL_RANGES else ranges[: LABEL_RANGES - 1]
    text = re.sub(r"(?<=\d)-(?=\d)", "–", ", ".join(kept))  # noqa: RUF001 - an en dash for a range
    return text if len(kept) == len(ranges) else f"{text} (+{len(ranges) - len(kept)})"


def balanced_rows(widths: Sequence[float], room: float) -> tuple[int, ...]:
    """How many items go on each row, in order: few rows, as even as can be.

    A row always takes at least one item, however wide.
    """
    count = len(widths)
    for rows in range(1, count):
        sizes = _even_sizes(count, rows)
        starts = [sum(sizes[:row]) for row in range(rows)]
        fits = (sum(widths[at : at + size]) <= room for at, size in zip(starts, sizes, strict=True))
        if all(fits):
            return sizes
    return (1,) * count


def _even_sizes(count: int, rows: int) -> tuple[int, ...]:
    """``count`` split into ``rows`` numbers that differ by one at most, larger first."""
    size, more = divmod(count, rows)
    return tuple(size + 1 if row < more else size for row in range(rows))
