"""A stretch cut wherever anybody begins a note: who sounds what, in which chord."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from drills.harmony.chord import Harmony
from drills.harmony.tuning import cents
from drills.places.aligning import Aligned
from drills.places.bar_names import spoken_count
from drills.section.lines import PlayerLine
from drills.section.players import Slice, SliceNote
from drills.sheets.chord_notes.playing import Played


def slices_of(
    aligned: Aligned,
    lines: Sequence[PlayerLine],
    harmonies: Sequence[Harmony],
    stretch: tuple[Fraction, Fraction],
    bar_words: Callable[[int], str],
) -> tuple[Slice, ...]:
    """From attack to attack, and from chord to chord; a slice may be silent."""
    low, high = stretch
    edges = {low, high}
    for line in lines:
        edges |= {played.start for played in line.attacks(low, high)}
    edges |= {one.start for one in harmonies if low < one.start < high}
    starts = [one.start for one in harmonies]
    found = []
    for start, end in pairwise(sorted(edges)):
        place = bisect_right(starts, start) - 1
        harmony = harmonies[place] if place >= 0 and harmonies[place].end > start else None
        index = bisect_right(aligned.starts, start) - 1
        bar = aligned.bars[index]
        count = 1 + (bar.offset.quarters + start - bar.start) / bar.time.beat.quarters
        notes = tuple(
            note
            for number, line in enumerate(lines)
            for played in line.between(start, end)
            for note in _notes(number, played, start, harmony)
        )
        found.append(Slice(start, end, bar_words(index), spoken_count(count), harmony, notes))
    return tuple(found)


def _notes(
    number: int, played: Played, start: Fraction, harmony: Harmony | None
) -> Iterator[SliceNote]:
    """Every tone of a note that sounds in a slice."""
    chord = None if harmony is None else harmony.chord
    for tone in played.attack.tones:
        sounding = played.sounding(tone)
        yield SliceNote(
            number,
            tone,
            sounding,
            played.start == start,
            played.function_at(tone, start) if harmony is not None else None,
            None if chord is None or sounding is None else cents(chord, sounding),
        )
