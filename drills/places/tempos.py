"""The tempo in force at every place of a part.

Problem.  A score gives a tempo here and there, a player asks for another, and the
metre changes in between.  Method and conventions.

*The score.*  The last mark with a number counts, wherever words alone came after it; a
part that has none gets what its words usually mean, or a tempo that is assumed, counted
in the beat of the bar where the words stand, and says so.  Where the metre changes and
no mark stands, notes keep their length: a quarter lasts as long in 7/8, 2/2 and 6/8 as
it did in 4/4 (common practice).  A relation such as "quarter = dotted quarter" says that the
new value lasts as long as the old one, which stands first (common practice); "l'istesso
tempo" says so of the beats.  A gradual change is not followed.

*The player.*  A tempo asked for is the tempo of one place, counted in the note value
that was named or else in the beat of that place.  From there it goes through the part as
the score does: the same notes keep their length, and where marks change the tempo it
changes in the same proportion.  A number of the score is not taken in proportion to one
that is only assumed.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from drills.music.lines import PARTS_KEPT, bar_starts
from drills.music.score import Bar, Part, TempoMark
from drills.music.tempo import Tempo, has_tempo_word, relation_in_words, same_beat, tempo_in_words
from drills.music.time import Length, NoteValue


@dataclass(frozen=True, slots=True)
class AskedTempo:
    """A tempo that the player names."""

    number: Fraction
    """Beats a minute."""
    beat: NoteValue | None = None
    """What is counted; the beat of the place unless given."""
    source: str = "as asked"
    """Who said so, for the header of a sheet."""
    only_for: str | None = None
    """It holds only where the score has these words and no number; everywhere if None."""
    place: Fraction | None = None
    """Where it is asked for: quarters from the start of the part; the start unless given."""

    def here(self, part: Part) -> Tempo:
        """The tempo at its place, counted as it was asked for."""
        beat = self.beat.length if self.beat else _bar_at(part, self.place or Fraction(0)).time.beat
        return Tempo(self.number, beat, self.source)


def asked_at(asked: AskedTempo | None, place: Fraction) -> AskedTempo | None:
    """The tempo as asked for in a place, unless it is asked for in another one."""
    if asked is None or asked.place is not None:
        return asked
    return replace(asked, place=place)


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


@lru_cache(maxsize=PARTS_KEPT)
def tempo_map(part: Part, asked: AskedTempo | None = None) -> TempoMap:
    """Every tempo of a part; only places where the tempo really changes are kept."""
    if asked is not None:
        written = tempo_map(part)
        changes = _asked(zip(written.starts, written.tempos, strict=True), part, asked)
    else:
        changes = _written(part)
    starts: list[Fraction] = []
    tempos: list[Tempo] = []
    for at, tempo in changes:
        if starts and starts[-1] == at:
            tempos[-1] = tempo
        elif not tempos or tempos[-1] != tempo:
            starts.append(at)
            tempos.append(tempo)
    return TempoMap(tuple(starts), tuple(tempos))


def _bar_at(part: Part, quarters: Fraction) -> Bar:
    """The bar in which a place lies."""
    return part.bars[max(bisect_right(bar_starts(part), quarters) - 1, 0)]


# --- as the score has it --------------------------------------------------------------


def _written(part: Part) -> Iterator[tuple[Fraction, Tempo]]:
    """The tempo at the start and at every mark."""
    tempo: Tempo | None = None
    before: Length | None = None
    for bar, start in zip(part.bars, bar_starts(part), strict=True):
        if tempo is None:
            tempo = _assumed("", bar)
            yield start, tempo
        for mark in sorted(bar.tempos, key=lambda mark: mark.start):
            tempo = _marked(mark, tempo, bar, before or bar.time.beat)
            yield start + mark.start.quarters, tempo
        before = bar.time.beat


def _assumed(words: str, bar: Bar) -> Tempo:
    said = f"only “{words}”" if words else "no tempo"
    source = f"assumed, since the score says {said}"
    return Tempo(tempo_in_words(words), bar.time.beat, source, words)


def _marked(mark: TempoMark, tempo: Tempo, bar: Bar, before: Length) -> Tempo:
    """What a mark makes of the tempo before it; ``before`` is the beat of the bar before."""
    if mark.beat is not None and mark.number is not None:
        return Tempo(mark.number, mark.beat.length, "from the score")
    relation = relation_in_words(mark.text)
    if relation is None and same_beat(mark.text):
        relation = before, bar.time.beat
    if relation is not None:
        old, new = relation
        return replace(tempo.counted_in(old), beat=new)
    return tempo if tempo.assumed_from is None else _assumed(mark.text, bar)


# --- as the player asks for it --------------------------------------------------------


def _asked(
    written: Iterable[tuple[Fraction, Tempo]], part: Part, asked: AskedTempo
) -> Iterator[tuple[Fraction, Tempo]]:
    if not part.bars:
        return
    here = asked.here(part)
    reference = tempo_map(part).at(asked.place or Fraction(0))
    for at, tempo in written:
        if asked.only_for is not None and tempo.assumed_from != asked.only_for:
            yield at, tempo
            continue
        if reference.assumed_from is not None and tempo.assumed_from is None:
            yield at, tempo
            continue
        scale = _scale(reference, tempo)
        number = here.quarters_per_minute * scale / tempo.beat.quarters
        source = f"{here.source}, in the proportion of the score's marks"
        yield at, here if scale == 1 else Tempo(number, tempo.beat, source)


def _scale(reference: Tempo, tempo: Tempo) -> Fraction:
    """How many times as fast a place is as another one; words that name no tempo change none."""
    words = tempo.assumed_from, reference.assumed_from
    if words[0] != words[1] and not all(word is None or has_tempo_word(word) for word in words):
        return Fraction(1)
    return tempo.quarters_per_minute / reference.quarters_per_minute
