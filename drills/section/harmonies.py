"""The chords of a stretch of several parts: as the score names them, as its notes make them.

Method.  Chord symbols come first, those of the first part that has any in the
stretch (a file's parts all carry the same ones).  What they leave open is read from
the notes of all parts that sound there, with some bars around it.  What the player
says overrules either: all through a bar or a stretch that is named, and from a beat
that is named up to the next change of chord or the end of its bar, whichever is
first; but never beyond where the next thing begins that the player says.

Conventions.  A symbol holds for at most SYMBOL_HOLDS bars after its own: a score
that names the chords of one passage says nothing about the rest.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Final

from drills.harmony.chord import Harmony, Heard
from drills.harmony.from_notes import read_harmonies
from drills.harmony.symbols import parse_chord, symbol_harmonies
from drills.harmony.tones import belongs
from drills.harmony.tuning import FROM_ROOT, Tuned, TunedFrom, tuned
from drills.music.grid import GridBar
from drills.music.lines import voice_lines
from drills.music.pitch import Pitch
from drills.places.aligning import Aligned, find_stretch

SYMBOL_HOLDS: Final = 8
"""Bars after its own bar for which a chord symbol counts where none follows; eight is the
longest that a chord is usually kept in a form of twelve to thirty-two bars."""
CONTEXT: Final = 2
"""Bars on either side of a stretch that its reading from the notes takes in."""

Said = Sequence[tuple[str, str]]
"""Places and the chords that a player says for them: ("E:3", "C7"), ("33-36", "Bb")."""


def harmonies_of(
    aligned: Aligned,
    low: Fraction,
    high: Fraction,
    said: Said = (),
    *,
    said_by: int | None = None,
    how: Tuned = FROM_ROOT,
) -> tuple[Harmony, ...]:
    """The chords from ``low`` to ``high`` on the common time line, in order, none overlapping.

    Where the notes make no chord and nothing is said there is none.  What is ``said``
    is found as the part ``said_by`` reads it, as most parts do unless it is given.  ``how``
    the chords are tuned.
    Raises PlaceError for a place that is said and is none, UsageError for a chord that
    cannot be read.
    """
    named = _symbols(aligned, low, high)
    found = list(named)
    for start, end in _open(named, low, high):
        found += _from_notes(aligned, start, end)
    readers = range(len(aligned.parts)) if said_by is None else (said_by,)
    own = _rulings(aligned, [one.start for one in found], said, readers)
    inside = [replace(one, start=max(one.start, low), end=min(one.end, high)) for one in own]
    ruled = _overruled(found, [one for one in inside if one.start < one.end])
    return tuple(_tuned(aligned, one, how) for one in ruled)


def _tuned(aligned: Aligned, one: Harmony, how: Tuned) -> Harmony:
    melody = _melody(aligned, one) if how.zero is TunedFrom.MELODY else None
    return replace(one, chord=tuned(one.chord, how, melody))


def _melody(aligned: Aligned, one: Harmony) -> Pitch | None:
    """The tone of a chord that is the highest note where it begins, and is held the longest."""
    heard = heard_in(aligned, one.start, one.end)
    best, longest = None, Fraction(0)
    for note in heard:
        start = max(note.start, one.start)
        top = max(other.pitch.midi for other in heard if other.start <= start < other.end)
        lasts = min(note.end, one.end) - start
        if note.pitch.midi == top and lasts > longest and belongs(one.chord, note.pitch):
            best, longest = note.pitch, lasts
    return best


def harmonies_in(aligned: Aligned, part: int, harmonies: Sequence[Harmony]) -> tuple[Harmony, ...]:
    """Harmonies on one part's own time line; pieces that a bar line cuts are one again."""
    found: list[Harmony] = []
    for one in harmonies:
        begins = True
        for start, end in aligned.own(part, one.start, one.end):
            if not begins and found[-1].end == start:
                found[-1] = replace(found[-1], end=end)
            else:
                found.append(replace(one, start=start, end=end))
            begins = False
    return tuple(found)


def heard_in(aligned: Aligned, low: Fraction, high: Fraction) -> tuple[Heard, ...]:
    """All notes with pitch, of all voices of all parts, that sound between two times."""
    found = []
    for number, part in enumerate(aligned.parts):
        own = list(aligned.own(number, low, high))
        if not own:
            continue
        first, last = own[0][0], own[-1][1]
        for line in voice_lines(part).values():
            for sound in line.sounds[
                _reaching(line.starts, first) : bisect_left(line.starts, last)
            ]:
                if sound.end <= first:
                    continue
                start = aligned.common(number, sound.start)
                end = aligned.common(number, sound.end, ending=True)
                moved = part.bars[sound.origin.bar].instrument.transposition
                found += [
                    Heard(start, max(start, end), moved.sounding(tone), number)
                    for tone in sound.notes[0].tones
                    if isinstance(tone, Pitch)
                ]
    return tuple(sorted(found, key=lambda heard: (heard.start, heard.part, heard.pitch.midi)))


def _reaching(starts: Sequence[Fraction], at: Fraction) -> int:
    """The sound that may still be held where a stretch begins."""
    return max(bisect_right(starts, at) - 1, 0)


def _symbols(aligned: Aligned, low: Fraction, high: Fraction) -> list[Harmony]:
    """The symbols' chords between two times; those of the first part that has any there."""
    for number, part in enumerate(aligned.parts):
        if not any(bar.chords for bar in part.bars):
            continue
        found = []
        for one in symbol_harmonies(part):
            start = aligned.common(number, one.start)
            end = min(aligned.common(number, one.end, ending=True), _held(aligned, start))
            if start < high and end > low:
                found.append(replace(one, start=max(start, low), end=min(end, high)))
        if found:
            return found
    return []


def _held(aligned: Aligned, start: Fraction) -> Fraction:
    """Up to where a symbol counts that stands at ``start``."""
    bar = bisect_right(aligned.starts, start) - 1
    return aligned.bars[min(bar + SYMBOL_HOLDS, len(aligned.bars) - 1)].end


def _open(
    named: Sequence[Harmony], low: Fraction, high: Fraction
) -> Iterator[tuple[Fraction, Fraction]]:
    """The stretches that no symbol speaks of."""
    ends = [low, *(one.end for one in named)]
    starts = [*(one.start for one in named), high]
    return ((end, start) for end, start in zip(ends, starts, strict=True) if end < start)


def _from_notes(aligned: Aligned, low: Fraction, high: Fraction) -> Iterator[Harmony]:
    first = max(bisect_right(aligned.starts, low) - 1 - CONTEXT, 0)
    last = min(bisect_left(aligned.starts, high) + CONTEXT, len(aligned.bars))
    bars = aligned.bars[first:last]
    if not bars:
        return
    heard = heard_in(aligned, bars[0].start, bars[-1].end)
    for one in read_harmonies(heard, bars) if heard else ():
        start, end = max(one.start, low), min(one.end, high)
        if start < end and one.chord.root is not None:
            yield replace(one, start=start, end=end)


def _rulings(
    aligned: Aligned, changes: Sequence[Fraction], said: Said, readers: Sequence[int]
) -> list[Harmony]:
    """What the player says, each from where to where; wherever it lies, it is checked.

    A beat is told from a stretch by its length: a bar of one beat is both.
    """
    words = [(find_stretch(aligned, place, readers), parse_chord(name)) for place, name in said]
    found = []
    for stretch, chord in words:
        bar = aligned.bars[bisect_right(aligned.starts, stretch.low) - 1]
        beat = bar.time.beat.quarters
        end = stretch.high + beat * stretch.includes_end
        if end - stretch.low <= beat:
            end = min([bar.end, *(at for at in changes if at > stretch.low)])
        later = [other.low for other, _ in words if stretch.low < other.low < end]
        found.append(Harmony(stretch.low, min([end, *later]), chord))
    return found


def _overruled(found: Sequence[Harmony], own: Sequence[Harmony]) -> tuple[Harmony, ...]:
    """The harmonies with others in their place; of two that begin together the last counts."""
    kept = list(found)
    for one in own:
        kept = [piece for old in kept for piece in _without(old, one.start, one.end)] + [one]
    return tuple(sorted(kept, key=lambda one: one.start))


def _without(one: Harmony, low: Fraction, high: Fraction) -> Iterator[Harmony]:
    """What is left of a harmony outside a stretch."""
    for start, end in ((one.start, min(one.end, low)), (max(one.start, high), one.end)):
        if start < end:
            yield replace(one, start=start, end=end)


def bars_cut(harmonies: Sequence[Harmony], bars: Sequence[GridBar]) -> tuple[Harmony, ...]:
    """Harmonies cut at bar lines."""
    edges = [bar.start for bar in bars]
    found = []
    for one in harmonies:
        inside = edges[bisect_right(edges, one.start) : bisect_left(edges, one.end)]
        found += [
            replace(one, start=start, end=end)
            for start, end in pairwise([one.start, *inside, one.end])
        ]
    return tuple(found)
