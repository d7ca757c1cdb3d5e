"""Windows of time that are worth repeating together.

Method.  The part with the most attacks is the guide.  As many of its successive
attacks as the largest cell of the sheets has make a window.  The hardest windows are
kept, by the cost of all parts' moves in them for their time, in the order of the
music; one that shares more than half of its time with a harder one is passed over.
A window's last attack counts for a beat at most.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from drills.places.aligning import Aligned
from drills.section.lines import PlayerLine
from drills.sheets.chord_notes.playing import Played
from drills.sheets.sheet import Sheet


@dataclass(frozen=True, slots=True)
class Window:
    """A stretch of common time that is repeated."""

    start: Fraction
    end: Fraction
    beat_start: Fraction
    """Where the beat begins that it begins in."""
    bar: int
    """Index of the common bar that it begins in."""

    @property
    def needed(self) -> Fraction:
        """Quarters from its first beat to its end."""
        return self.end - self.beat_start


Costs = tuple[Sequence[Fraction], Sequence[float]]
"""Where each move of a player leads to, and the cost of all moves up to it."""


def costs_of(aligned: Aligned, index: int, sheet: Sheet | None) -> Costs:
    """The moves of a player's sheet on the common time line."""
    if sheet is None:
        return (), (0.0,)
    found = []
    for attack, move in zip(sheet.spot.line[1:], sheet.moves, strict=True):
        origin = attack.origin
        if move is not None and origin is not None:
            piece = aligned.pieces[index][origin.bar]
            found.append((piece.start + origin.start.quarters, move.cost))
    return (
        tuple(at for at, _ in found),
        tuple(accumulate((cost for _, cost in found), initial=0.0)),
    )


def windows_of(
    aligned: Aligned, guide: PlayerLine, size: int, low: Fraction, high: Fraction
) -> tuple[Window, ...]:
    """Every ``size`` successive attacks of the guide from ``low`` to ``high``.

    A rest of a beat or longer is never inside one; a run that is shorter than
    ``size`` but has more than one note is a window by itself.
    """
    runs: list[list[Played]] = []
    for played in guide.attacks(low, high):
        if runs and played.start - runs[-1][-1].end < played.setting.time.beat.quarters:
            runs[-1].append(played)
        else:
            runs.append([played])
    found = []
    for run in runs:
        for first in range(max(len(run) - size + 1, 1 if len(run) > 1 else 0)):
            inside = run[first : first + size]
            last = inside[-1]
            end = min(last.end, last.start + last.setting.time.beat.quarters, high)
            found.append(_window(aligned, inside[0].start, end))
    return tuple(found)


def _window(aligned: Aligned, start: Fraction, end: Fraction) -> Window:
    index = bisect_right(aligned.starts, start) - 1
    bar = aligned.bars[index]
    beats = [at for _, at in bar.beats() if at <= start]
    return Window(start, end, beats[-1] if beats else bar.start, index)


def hardest(windows: Sequence[Window], costs: Sequence[Costs], count: int) -> tuple[Window, ...]:
    """The hardest windows, at most ``count``, in the order of the music."""
    ranked = sorted(windows, key=lambda window: (-_rate(window, costs), window.start))
    chosen: list[Window] = []
    for window in ranked:
        if len(chosen) < count and not any(_overlap(window, other) for other in chosen):
            chosen.append(window)
    return tuple(sorted(chosen, key=lambda window: window.start))


def _rate(window: Window, costs: Sequence[Costs]) -> float:
    """The cost of all moves inside a window, for its time."""
    total = 0.0
    for places, summed in costs:
        low = bisect_right(places, window.start)
        total += summed[bisect_left(places, window.end)] - summed[low] if places else 0.0
    return total / float(window.end - window.start)


def _overlap(one: Window, other: Window) -> bool:
    shared = min(one.end, other.end) - max(one.start, other.start)
    return 2 * shared > min(one.end - one.start, other.end - other.start)


def guide_of(lines: Sequence[PlayerLine], low: Fraction, high: Fraction) -> PlayerLine:
    """The part with the most attacks, of equals the first."""
    return max(lines, key=lambda line: len(line.attacks(low, high)))
