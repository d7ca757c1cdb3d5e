"""The spot itself in score: what every player reads, all staves together, as it is printed."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from drills.music.score import Bar
from drills.places.aligning import Aligned
from drills.section.lines import PlayerLine
from drills.section.score import ScoreKind, SectionScore, Staff
from drills.sheets.excerpt import printed_bars

SPOT_HEADING: Final = "The spot, all together"


def spot_score(
    aligned: Aligned,
    lines: Sequence[PlayerLine],
    low: Fraction,
    high: Fraction,
    bar_words: Callable[[int], str],
) -> tuple[SectionScore | None, tuple[str, ...]]:
    """The bars of the spot in score, and a remark where the parts divide them differently.

    ``low`` and ``high`` are times of the common line; whole bars are shown.  A player who
    rests in all of them has no staff.
    """
    first = bisect_right(aligned.starts, low) - 1
    last = max(bisect_left(aligned.starts, high) - 1, first)
    commons = range(first, last + 1)
    staves = []
    for line in lines:
        if not line.between(low, high):
            continue
        bars = [_bar_of(aligned, line, common) for common in commons]
        if any(bar is None for bar in bars):
            return None, (f"the spot in score is left out: {line.part.name} has other bars here",)
        staves.append(Staff(line.part.name, _plain([bar for bar in bars if bar], line.voice)))
    labels = tuple(bar_words(common) for common in commons)
    if not staves:
        return None, ()
    return SectionScore(ScoreKind.SPOT, SPOT_HEADING, tuple(staves), bar_labels=labels), ()


def _bar_of(aligned: Aligned, line: PlayerLine, common: int) -> Bar | None:
    """The part's own bar for a common one; None where it has none of the same length."""
    own = aligned.columns[common][line.index]
    if len(own) != 1:
        return None
    bar = line.part.bars[own[0]]
    whole = aligned.bars[common].end - aligned.bars[common].start
    return bar if bar.length.quarters == whole else None


def _plain(bars: Sequence[Bar], voice: str) -> tuple[Bar, ...]:
    return tuple(
        replace(bar, index=index, number=str(index + 1), directions=(), chords=(), marks=())
        for index, bar in enumerate(printed_bars(bars, voice))
    )
