"""The chords behind one part's sheet: from its score's symbols, or from the notes of all parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from drills.aligning import Aligned, align
from drills.harmony.chord import Harmony
from drills.harmony.symbols import parse_chord
from drills.music.score import Part
from drills.places import Span, find_span
from drills.section.harmonies import Said, harmonies_in, harmonies_of


@dataclass(frozen=True, slots=True)
class SheetChords:
    """What sounds together in a score, as one of its parts counts time."""

    aligned: Aligned
    part: int
    """Index of the part."""
    said: Said = ()
    """Places with the chords that the player says for them, in concert pitch."""

    def around(self, span: Span) -> tuple[Harmony, ...]:
        """The chords in a stretch of the part and in a bar on either side of it.

        Quarters from the start of the part.
        """
        low, high = self.aligned.times_of(self.part, span)
        bars = self.aligned.bars
        inside = [bar for bar in bars if bar.start < high or bar.start == low]
        first = next((at for at, bar in enumerate(bars) if low < bar.end), 0)
        last = min(len(inside), len(bars) - 1)
        low, high = bars[max(first - 1, 0)].start, bars[last].end
        found = harmonies_of(self.aligned, low, high, self.said, said_by=self.part)
        return harmonies_in(self.aligned, self.part, found)


def chords_behind(parts: Sequence[Part], part: int, said: Said = ()) -> SheetChords:
    """The chords of a score for one of its parts.

    ``said`` are places of the part with chords as the part writes them.  Raises
    PlaceError for a place that is none, UsageError for a chord that cannot be read.
    """
    concert = tuple((place, _sounding(parts[part], place, chord)) for place, chord in said)
    return SheetChords(align(parts), part, concert)


def _sounding(part: Part, place: str, written: str) -> str:
    """A chord in concert pitch, as text, that the part writes at a place."""
    chord = parse_chord(written)
    if chord.root is None:
        return str(chord)
    by = part.bars[find_span(part, place).first.bar].instrument.transposition
    bass = None if chord.bass is None else chord.bass.moved(by)
    return str(replace(chord, root=chord.root.moved(by), bass=bass))
