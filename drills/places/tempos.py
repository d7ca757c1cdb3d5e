"""The tempo in force at every place of a part.

Conventions.  A tempo asked for holds everywhere, counted in the note value that
was named or else in the beat of each time signature.  Otherwise the last mark
with a number counts, wherever words alone came after it; a part that has none
gets what its words usually mean, or a tempo that is assumed, and says so.  A
gradual change is not followed.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from drills.music.lines import bar_starts
from drills.music.score import Bar, Part, TempoMark
from drills.music.tempo import Tempo, tempo_in_words
from drills.music.time import NoteValue


@dataclass(frozen=True, slots=True)
class AskedTempo:
    """A tempo that the player names."""

    number: Fraction
    """Beats a minute."""
    beat: NoteValue | None = None
    """What is counted; the beat of the time signature unless given."""
    source: str = "as asked"
    """Who said so, for the header of a sheet."""
    only_for: str | None = None
    """It holds only where the score has these words and no number; everywhere if None."""


@dataclass(frozen=True, slots=True)
class TempoMap:
    """The tempo from each place on at which it may change."""

    starts: tuple[Fraction, ...]
    """Quarters from the start of the part, ascending."""
    tempos: tuple[Tempo, ...]

    def at(self, quarters: Fraction) -> Tempo:
        """The tempo in force, counted as the score or the player says it."""
        return self.tempos[max(bisect_right(self.starts, quarters) - 1, 0)]

    def seconds(self, start: Fraction, end: Fraction) -> Fraction:
        """How long the music from ``start`` to ``end`` lasts; 0 where it has no length."""
        index = max(bisect_right(self.starts, start) - 1, 0)
        total, at = Fraction(0), start
        while at < end:
            following = self.starts[index + 1] if index + 1 < len(self.starts) else end
            stop = min(end, following)
            total += (stop - at) * 60 / self.tempos[index].quarters_per_minute
            at, index = stop, index + 1
        return total


@lru_cache(maxsize=16)
def tempo_map(part: Part, asked: AskedTempo | None = None) -> TempoMap:
    """Every tempo of a part; only places where the tempo really changes are kept."""
    starts: list[Fraction] = []
    tempos: list[Tempo] = []
    for at, tempo in _tempos(part, asked):
        if starts and starts[-1] == at:
            tempos[-1] = tempo
        elif not tempos or tempos[-1] != tempo:
            starts.append(at)
            tempos.append(tempo)
    return TempoMap(tuple(starts), tuple(tempos))


def _tempos(part: Part, asked: AskedTempo | None) -> Iterator[tuple[Fraction, Tempo]]:
    """The tempo at the start of every bar and at every mark."""
    counted: TempoMark | None = None
    words = ""
    for bar, start in zip(part.bars, bar_starts(part), strict=True):
        yield start, _tempo(bar, asked, counted, words)
        for mark in sorted(bar.tempos, key=lambda mark: mark.start):
            counted = counted if mark.quarters_per_minute is None else mark
            words = mark.text
            yield start + mark.start.quarters, _tempo(bar, asked, counted, words)


def _tempo(bar: Bar, asked: AskedTempo | None, counted: TempoMark | None, words: str) -> Tempo:
    beat = bar.time.beat
    numbered = counted is not None and counted.beat is not None and counted.number is not None
    if asked is not None and (asked.only_for is None or (asked.only_for == words and not numbered)):
        of = beat if asked.beat is None else asked.beat.length
        return Tempo(asked.number, of, asked.source)
    if counted is not None and counted.beat is not None and counted.number is not None:
        return Tempo(counted.number, counted.beat.length, "from the score")
    said = f"only “{words}”" if words else "no tempo"
    return Tempo(tempo_in_words(words), beat, f"assumed, since the score says {said}", words)
