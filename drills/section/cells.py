"""Cells of the section: the same few moments of the spot in every part at once.

Method.  The part with the most attacks is the guide.  As many of its successive
attacks as the largest cell of the sheets has make a window of time, and what every
part plays in it is written out in its real rhythm, levelled in nothing.  The hardest
windows are kept, by the cost of all parts' moves in them for their time, in the order
of the music; one that shares more than half of its time with a harder one, or that
sounds like one that is kept, is passed over.

Conventions.  A window is written from the beat in which it begins, so that the music's
beats stay beats; its last attack counts for a beat at most.  A note that began before
the window is struck again where the window begins; ties that lead out of it are
closed.  The notes that sound at its end are held to the end of its last beat (or not,
as the sheets' cells end).  All bars of a score have one length; a window has as many
of them as it needs.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import Final

from drills.aligning import Aligned
from drills.bar_names import spoken_count
from drills.chord_notes.names import remarks_beside
from drills.chord_notes.playing import Played
from drills.drill import Ending
from drills.errors import NotationError
from drills.harmony.chord import Harmony
from drills.music.score import Bar
from drills.music.time import Length, Position, TimeSignature
from drills.notation import Setting, Stroke, write_bars
from drills.section.chord_scores import chord_text
from drills.section.lines import PlayerLine
from drills.section.score import ChordName, ScoreKind, SectionScore, Staff
from drills.sheet import Sheet

CELLS_HEADING: Final = "Cells, all together"


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


def cells_score(
    aligned: Aligned,
    lines: Sequence[PlayerLine],
    windows: Sequence[Window],
    harmonies: Sequence[Harmony],
    *,
    ending: Ending,
    bar_words: Callable[[int], str],
) -> tuple[SectionScore | None, tuple[str, ...]]:
    """The windows in score, and what could not be written.

    A player who rests in all of them has no staff.
    """
    if not windows:
        return None, ()
    time, counts = _bars(aligned, windows)
    written: list[list[tuple[Bar, ...]]] = []
    kept: list[Window] = []
    remarks = []
    for window, count in zip(windows, counts, strict=True):
        try:
            columns = [_bars_of(line, window, time, count, ending) for line in lines]
        except NotationError as problem:
            remarks.append(f"the cell in bar {bar_words(window.bar)} is left out: {problem}")
            continue
        if [_music(bars) for bars in columns] not in [
            [_music(bars) for bars in known] for known in written
        ]:
            written.append(columns)
            kept.append(window)
    staves = [
        Staff(line.part.name, _joined([columns[player] for columns in written]))
        for player, line in enumerate(lines)
        if any(line.between(window.start, window.end) for window in kept)
    ]
    if not staves:
        return None, tuple(remarks)
    sizes = [len(columns[0]) for columns in written]
    firsts = list(accumulate(sizes, initial=0))
    labels = [
        [_label(aligned, window, bar_words), *[""] * (size - 1)]
        for window, size in zip(kept, sizes, strict=True)
    ]
    score = SectionScore(
        ScoreKind.CELLS,
        CELLS_HEADING,
        tuple(staves),
        _names(kept, harmonies, time, firsts),
        tuple(label for group in labels for label in group),
        tuple(first - 1 for first in firsts[1:]),
        repeated=True,
    )
    return score, tuple(remarks)


def _bars(aligned: Aligned, windows: Sequence[Window]) -> tuple[TimeSignature, list[int]]:
    """The time signature of the cells' bars, and how many bars each window has.

    Of all bars of whole beats up to the music's, those with the least empty time and
    the fewest bar lines in all windows together, a bar line counted as a beat; of
    equals the longest.
    """
    music = aligned.bars[windows[0].bar].time
    beat = music.beat.quarters
    needed = [int(window.needed // beat) + 1 for window in windows]

    def waste(beats: int) -> tuple[int, int]:
        return sum(-(-one // beats) * (beats + 1) for one in needed), -beats

    beats = min(range(1, max(music.beats, 2) + 1), key=waste)
    unit = music.unit_length.quarters
    while unit > 1:
        unit /= 2
    time = TimeSignature((int(beats * beat / unit),), int(4 / unit))
    return time, [-(-one // beats) for one in needed]


def _bars_of(
    line: PlayerLine, window: Window, time: TimeSignature, count: int, ending: Ending
) -> tuple[Bar, ...]:
    """What one player plays in a window, as full bars."""
    inside = line.between(window.start, window.end)
    whole = time.bar_length.quarters * count
    strokes: list[Stroke] = []
    at = window.beat_start
    followed = [*(one.start for one in inside[1:]), window.end]
    for played, after in zip(inside, followed, strict=False):
        start = max(played.start, window.start)
        end = min(played.end, after)
        if start > at:
            strokes.append(Stroke(None, Length(start - at)))
        if end > start:
            strokes.append(_stroke(played, start, end))
            at = end
    if ending is Ending.HOLD and strokes and at == window.end and strokes[-1].attack is not None:
        beat = time.beat.quarters
        until = window.beat_start + (window.needed // beat + 1) * beat
        strokes[-1] = replace(strokes[-1], length=strokes[-1].length + Length(until - at))
        at = until
    rest = whole - (at - window.beat_start)
    if rest:
        strokes.append(Stroke(None, Length(rest)))
    return write_bars(strokes, replace(_setting(line, window), time=time))


def _stroke(played: Played, start: Fraction, end: Fraction) -> Stroke:
    """A note as far as it lies in a window; grace notes and signs only at its own ends."""
    attack = played.attack
    if start != played.start:
        attack = replace(attack, graces=(), articulations=())
    if end != played.end:
        attack = replace(attack, graces_after=())
    return Stroke(replace(attack, length=Length(end - start)), Length(end - start))


def _setting(line: PlayerLine, window: Window) -> Setting:
    """What is in force for a player in a window; the nearest note tells."""
    inside = line.between(window.start, window.end)
    if inside:
        return inside[0].setting
    after = bisect_left(line.starts, window.end)
    near = line.played[max(after - 1, 0)] if line.played else None
    return near.setting if near is not None else Setting(TimeSignature((4,), 4))


def _music(bars: Sequence[Bar]) -> object:
    return tuple(bar.voices for bar in bars)


def _joined(groups: Sequence[Sequence[Bar]]) -> tuple[Bar, ...]:
    bars = [bar for group in groups for bar in group]
    return tuple(replace(bar, index=i, number=str(i + 1)) for i, bar in enumerate(bars))


def _label(aligned: Aligned, window: Window, bar_words: Callable[[int], str]) -> str:
    """ "33, beat 2.5"."""
    bar = aligned.bars[window.bar]
    count = 1 + (bar.offset.quarters + window.start - bar.start) / bar.time.beat.quarters
    return f"{bar_words(window.bar)}, beat {spoken_count(count)}"


def _names(
    windows: Sequence[Window],
    harmonies: Sequence[Harmony],
    time: TimeSignature,
    firsts: Sequence[int],
) -> tuple[ChordName, ...]:
    """The chords that sound in the windows, where each begins to."""
    placed = [
        (index, max(one.start, window.start) - window.beat_start, one.chord)
        for index, window in enumerate(windows)
        for one in harmonies
        if one.start < window.end and one.end > window.start
    ]
    beside = remarks_beside(chord for _, _, chord in placed)
    full = time.bar_length.quarters
    return tuple(
        ChordName(firsts[index] + int(at // full), Position(at % full), chord_text(chord, remark))
        for (index, at, chord), remark in zip(placed, beside, strict=True)
    )


def guide_of(lines: Sequence[PlayerLine], low: Fraction, high: Fraction) -> PlayerLine:
    """The part with the most attacks, of equals the first."""
    return max(lines, key=lambda line: len(line.attacks(low, high)))
