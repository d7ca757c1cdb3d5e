"""Cells of the section: the same few moments of the spot in every part at once.

What every part plays in a window of time (windows.py) is written out in its real
rhythm, levelled in nothing; windows that sound alike are one.

Conventions.  A window is written from the beat in which it begins, so that the music's
beats stay beats.  A note that began before the window is struck again where the window
begins; ties that lead out of it are closed.  The notes that sound at its end are held
to the end of its last beat (or not, as the sheets' cells end).  All bars of a score
have one length; a window has as many of them as it needs.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate
from typing import Final

from drills.errors import NotationError
from drills.harmony.chord import Harmony
from drills.music.score import Bar
from drills.music.time import Length, Position, TimeSignature
from drills.notation.bars import Setting, Stroke, write_bars
from drills.places.aligning import Aligned
from drills.places.words import counted, short_words
from drills.section.chord_scores import chord_text
from drills.section.lines import PlayerLine
from drills.section.score import ChordName, ScoreKind, SectionScore, Staff
from drills.section.windows import Window
from drills.sheets.chord_notes.names import remarks_beside
from drills.sheets.chord_notes.playing import Played
from drills.sheets.drill import Ending

CELLS_HEADING: Final = "Cells, all together"


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
        [_label(aligned, lines, window, bar_words), *[""] * (size - 1)]
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


def _label(
    aligned: Aligned,
    lines: Sequence[PlayerLine],
    window: Window,
    bar_words: Callable[[int], str],
) -> str:
    """ "33, beat 2" or, of a part whose note begins there, "33, beat 2, note 3"."""
    bar = aligned.bars[window.bar]
    beats = (bar.offset.quarters + window.start - bar.start) / bar.time.beat.quarters
    note = None
    if beats.denominator > 1:
        note = next(filter(None, _notes_counted(lines, window)), None)
    return short_words(bar_words(window.bar), int(beats) + 1, note)


def _notes_counted(lines: Sequence[PlayerLine], window: Window) -> Iterator[int | None]:
    """Which note of its beat each part begins the window with, where one does."""
    for line in lines:
        for played in line.attacks(window.start, window.end)[:1]:
            origin = played.attack.origin
            if origin is not None and played.start == window.start:
                yield counted(line.part, origin.bar, origin.start)[1]


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
