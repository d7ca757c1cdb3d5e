"""What sounds when: notes joined to tones, with how each is reached and left.

Conventions.  A tone is a pitch that sounds without a gap in one part, whether
it is tied or struck again: harmony does not hear the difference.  Its way in
and its way out are the distances in semitones from and to the nearest pitch that
the same part plays just before and just after it (within a beat), None where it
plays none.  A tone rings on in memory through a short rest, and one that is left by
leap to the end of its beat: so broken chords and struck basses are heard as the
chords they break.  Times are whole ticks of a clock that all notes and bars share: exact
like Fractions, and quicker.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import Final

from drills.harmony.chord import Heard, PitchClass
from drills.harmony.stress import Stress
from drills.music.grid import GridBar

LARGEST_STEP: Final = 2
"""Semitones: a step is a semitone or a whole tone."""


class Clock:
    """Whole ticks for the times of some notes and bars."""

    def __init__(self, notes: Iterable[Heard], bars: Sequence[GridBar]) -> None:
        self._stress = Stress(bars)
        known = {bar.start.denominator for bar in bars}
        known |= {bar.time.beat.quarters.denominator for bar in bars}
        known |= {bar.offset.quarters.denominator for bar in bars}
        for note in notes:
            known |= {note.start.denominator, note.end.denominator}
        self.per_quarter = lcm(*known)
        self._levels: dict[int, int] = {}
        self._beats: dict[int, int] = {}

    def tick(self, time: Fraction) -> int:
        """The tick of a time in quarters."""
        return time.numerator * (self.per_quarter // time.denominator)

    def time(self, tick: int) -> Fraction:
        """The time of a tick, in quarters."""
        return Fraction(tick, self.per_quarter)

    def level(self, tick: int) -> int:
        """How strong a place is, 0 to 4 (see stress)."""
        if tick not in self._levels:
            self._levels[tick] = self._stress.level(self.time(tick))
        return self._levels[tick]

    def beat(self, tick: int) -> int:
        """Ticks of the beat that is counted there."""
        if tick not in self._beats:
            self._beats[tick] = self.tick(self._stress.beat_at(self.time(tick)))
        return self._beats[tick]

    def bar_at(self, time: Fraction) -> GridBar:
        """The bar that covers a time, one of 4/4 where there is none."""
        return self._stress.bar_at(time)

    def start_of_beat(self, tick: int) -> int:
        """Where the beat begins in which a tick lies."""
        return self.end_of_beat(tick) - self.beat(tick)

    def end_of_beat(self, tick: int) -> int:
        """Where the beat ends in which a tick lies."""
        bar = self._stress.bar_at(self.time(tick))
        first = self.tick(bar.start) - self.tick(bar.offset.quarters)
        return tick + self.beat(tick) - (tick - first) % self.beat(tick)


@dataclass(frozen=True, slots=True)
class Tone:
    """A pitch that sounds without a gap in one part."""

    start: int
    end: int
    """Ticks."""
    midi: int
    """MIDI number of the nearest semitone."""
    name: PitchClass
    rings: int
    """Until when it is remembered; its end or later."""
    way_in: int | None = None
    """Semitones from the nearest pitch before, upwards; None where there is none."""
    way_out: int | None = None
    """Semitones to the nearest pitch after, upwards."""


def tones_of(notes: Iterable[Heard], clock: Clock) -> list[Tone]:
    """The tones of all parts, by start; the order of the parts leaves no trace."""
    parts: defaultdict[int, list[Tone]] = defaultdict(list)
    names: dict[tuple[str, Fraction, int], tuple[int, PitchClass]] = {}
    for note in notes:
        pitch = note.pitch
        key = (pitch.step, pitch.alter, pitch.octave)
        if key not in names:
            name = PitchClass.of(pitch)
            names[key] = (round(pitch.midi - pitch.alter) + name.alter, name)
        if note.end > note.start:
            ends = clock.tick(note.start), clock.tick(note.end)
            parts[note.part].append(Tone(*ends, *names[key], ends[1]))
    tones = [tone for part in parts.values() for tone in _with_ways(_joined(part), clock)]
    return sorted(tones, key=lambda tone: (tone.start, tone.midi, tone.end, str(tone.name)))


def _joined(tones: list[Tone]) -> list[Tone]:
    """Tones of one part, by start; those of one pitch that touch or overlap become one."""
    found: list[Tone] = []
    last: dict[int, int] = {}
    for tone in sorted(tones, key=lambda tone: (tone.start, tone.midi)):
        index = last.get(tone.midi)
        if index is not None and found[index].end >= tone.start:
            old = found[index]
            found[index] = Tone(old.start, max(old.end, tone.end), old.midi, old.name, 0)
        else:
            last[tone.midi] = len(found)
            found.append(tone)
    return found


def _with_ways(tones: list[Tone], clock: Clock) -> list[Tone]:
    by_end = sorted(tones, key=lambda tone: tone.end)
    starts, ends = [tone.start for tone in tones], [tone.end for tone in by_end]
    found = []
    for tone in tones:
        gap = clock.beat(tone.start)
        last = bisect_right(ends, tone.start)
        first = bisect_left(starts, tone.end)
        way_in = way_out = None
        rings = tone.end
        if last and ends[last - 1] >= tone.start - gap:
            before = by_end[bisect_left(ends, ends[last - 1], 0, last) : last]
            way_in = tone.midi - _nearest(tone.midi, before)
        if first < len(starts) and starts[first] <= tone.end + gap:
            after = tones[first : bisect_right(starts, starts[first], first)]
            way_out = _nearest(tone.midi, after) - tone.midi
            rings = starts[first]
            if abs(way_out) > LARGEST_STEP:
                rings = max(rings, clock.end_of_beat(tone.start))
        found.append(Tone(tone.start, tone.end, tone.midi, tone.name, rings, way_in, way_out))
    return found


def _nearest(midi: int, tones: list[Tone]) -> int:
    """The pitch nearest to ``midi``, the lower of two."""
    if len(tones) == 1:
        return tones[0].midi
    return min((tone.midi for tone in tones), key=lambda other: (abs(other - midi), other))
