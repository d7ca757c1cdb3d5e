"""The chords behind one part's sheet: from its score's symbols, or from the notes of all parts."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace

from drills.harmony.chord import Harmony
from drills.harmony.symbols import parse_chord
from drills.harmony.tuning import FROM_ROOT, Tuned
from drills.music.lines import bar_starts
from drills.music.pitch import Transposition
from drills.music.score import Part
from drills.places.aligning import Aligned, align
from drills.places.finding import Span, find_span
from drills.rewriting.asked import How, Rewriting
from drills.section.harmonies import Said, harmonies_in, harmonies_of
from drills.section.said import check_said, reach


@dataclass(frozen=True, slots=True)
class SheetChords:
    """What sounds together in a score, as one of its parts counts time."""

    aligned: Aligned
    part: int
    """Index of the part."""
    said: Said = ()
    """Places with the chords that the player says for them, in concert pitch."""
    how: Tuned = FROM_ROOT
    """How they are tuned."""

    def common(self, span: Span) -> tuple[Harmony, ...]:
        """The chords in a stretch of the part and in a bar on either side, in common time."""
        low, high = self.aligned.times_of(self.part, span)
        bars = self.aligned.bars
        inside = [bar for bar in bars if bar.start < high or bar.start == low]
        first = next((at for at, bar in enumerate(bars) if low < bar.end), 0)
        last = min(len(inside), len(bars) - 1)
        low, high = bars[max(first - 1, 0)].start, bars[last].end
        return harmonies_of(self.aligned, low, high, self.said, said_by=self.part, how=self.how)

    def around(self, span: Span, rewriting: Rewriting | None = None) -> tuple[Harmony, ...]:
        """The same in quarters from the start of the part.

        Where its written notes are kept for another instrument, the chords move with the
        notes, which keep their place in them.
        """
        own = harmonies_in(self.aligned, self.part, self.common(span))
        if rewriting is None or rewriting.how is How.SOUNDING:
            return own
        return _moved(self.aligned.parts[self.part], own, rewriting.instrument.transposition)

    def check(self, spans: Sequence[Span]) -> None:
        """Raises PlaceError where a chord is said for a place in none of these spots."""
        spots = [reach(self.aligned, *self.aligned.times_of(self.part, s), s.words) for s in spans]
        check_said(self.aligned, spots, self.said, (self.part,))


def _moved(part: Part, harmonies: Sequence[Harmony], to: Transposition) -> tuple[Harmony, ...]:
    """The chords that sound where another instrument plays a part's written notes."""
    starts = bar_starts(part)
    found = []
    for one in harmonies:
        bar = part.bars[max(bisect_right(starts, one.start) - 1, 0)]
        found.append(replace(one, chord=one.chord.moved(to - bar.instrument.transposition)))
    return tuple(found)


def chords_behind(
    parts: Sequence[Part], part: int, said: Said = (), how: Tuned = FROM_ROOT
) -> SheetChords:
    """The chords of a score for one of its parts.

    ``said`` are places of the part with chords as the part writes them.  Raises
    PlaceError for a place that is none, UsageError for a chord that cannot be read.
    """
    concert = tuple((place, _sounding(parts[part], place, chord)) for place, chord in said)
    return SheetChords(align(parts), part, concert, how)


def _sounding(part: Part, place: str, written: str) -> str:
    """A chord in concert pitch, as text, that the part writes at a place."""
    chord = parse_chord(written)
    by = part.bars[find_span(part, place).first.bar].instrument.transposition
    return str(chord.moved(by))
