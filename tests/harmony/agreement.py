"""Two readings of one piece laid over each other: what agrees, by duration."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from drills.harmony.chord import Harmony
from drills.harmony.from_notes import read_harmonies
from tests.harmony.corpus import Analysed, Piece, Vertical


@dataclass(frozen=True, slots=True)
class Compared:
    """A stretch of time with the chord of the analysis and the chord that was read."""

    piece: str
    start: Fraction
    end: Fraction
    wanted: Analysed | Vertical
    read: Harmony

    @property
    def has_root(self) -> bool:
        root = self.read.chord.root
        return root is not None and root.semitone == self.wanted.root

    @property
    def has_triad(self) -> bool:
        return self.has_root and _triad(self.classes, self.wanted.root) == _triad(
            self.wanted.classes, self.wanted.root
        )

    @property
    def has_all(self) -> bool:
        return self.has_root and self.classes == self.wanted.classes

    @property
    def classes(self) -> frozenset[int]:
        """The tones of the chord that was read."""
        chord = self.read.chord
        if chord.root is None:
            return frozenset()
        return frozenset((chord.root.semitone + tone.semitones) % 12 for tone in chord.tones)


def _triad(classes: frozenset[int], root: int) -> frozenset[int]:
    """Third and fifth above the root, whatever they are."""
    return frozenset(one for one in classes if (one - root) % 12 in (3, 4, 6, 7, 8))


def compared(piece: Piece, wanted: Sequence[Analysed] | Sequence[Vertical]) -> Iterator[Compared]:
    """Both readings of one piece, wherever both have a chord."""
    harmonies = read_harmonies(piece.notes, piece.bars)
    end = max(note.end for note in piece.notes)
    for one in wanted:
        for harmony in harmonies:
            start = max(one.start, harmony.start)
            stop = min(one.end, harmony.end, end)
            if start < stop:
                yield Compared(piece.name, start, stop, one, harmony)


def rates(all_compared: Iterable[Compared]) -> tuple[float, float, float]:
    """The shares of time with the same root, triad, and tones."""
    whole = root = triad = tones = Fraction(0)
    for one in all_compared:
        lasts = one.end - one.start
        whole += lasts
        root += lasts * one.has_root
        triad += lasts * one.has_triad
        tones += lasts * one.has_all
    return float(root / whole), float(triad / whole), float(tones / whole)
