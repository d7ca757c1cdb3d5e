"""The chords of a stretch, one after another, with the note that each player holds in each.

Method.  The chords are cut at bar lines; in each every player holds one note (see
drills.sheets.chord_notes).  Successive ones that are alike in chord and notes become one,
over a bar line too.  Where no chord is known but something sounds, the bar is a
column without a name.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from drills.harmony.chord import Chord, Harmony
from drills.music.pitch import Tone
from drills.places.aligning import Aligned
from drills.section.harmonies import bars_cut
from drills.section.lines import PlayerLine
from drills.sheets.chord_notes.held import HeldNote, alike, held_in


@dataclass(frozen=True, slots=True)
class Column:
    """One chord and what is held in it."""

    start: Fraction
    end: Fraction
    first: int
    """Index of the common bar that it begins in."""
    last: int
    """Of the one that it ends in."""
    chord: Chord | None
    held: tuple[HeldNote | None, ...]
    """For each player."""

    @property
    def notes(self) -> tuple[tuple[Tone, ...] | None, ...]:
        """The written tones of each player."""
        return tuple(None if one is None else one.tones for one in self.held)


def columns_of(
    aligned: Aligned,
    lines: Sequence[PlayerLine],
    harmonies: Sequence[Harmony],
    low: Fraction,
    high: Fraction,
) -> tuple[Column, ...]:
    """The columns from ``low`` to ``high``; those in which nobody plays are left out."""
    named = bars_cut(harmonies, aligned.bars)
    stretches: list[tuple[Fraction, Fraction, Chord | None]] = [
        *((one.start, one.end, one.chord) for one in named),
        *((*gap, None) for gap in _gaps(aligned, named, low, high)),
    ]
    found: list[Column] = []
    for start, end, chord in sorted(stretches, key=lambda one: one[0]):
        held = tuple(held_in(line.between(start, end), chord, start, end) for line in lines)
        if not any(held):
            continue
        bar = bisect_right(aligned.starts, start) - 1
        column = Column(start, end, bar, bar, chord, held)
        before = found[-1] if found else None
        if before and alike(before.chord, chord) and before.notes == column.notes:
            found[-1] = replace(before, end=end, last=bar)
        else:
            found.append(column)
    return tuple(found)


def _gaps(
    aligned: Aligned, named: Sequence[Harmony], low: Fraction, high: Fraction
) -> list[tuple[Fraction, Fraction]]:
    """What no chord is known for, cut at bar lines."""
    ends = [low, *(one.end for one in named)]
    starts = [*(one.start for one in named), high]
    found = []
    for begin, end in zip(ends, starts, strict=True):
        at = begin
        while at < end:
            bar = aligned.bars[bisect_right(aligned.starts, at) - 1]
            found.append((at, min(bar.end, end)))
            at = found[-1][1]
    return found
