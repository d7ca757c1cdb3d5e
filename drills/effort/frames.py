"""What is in force around a note, prepared once for a bar, and time in whole ticks.

Problem.  A part has thousands of notes, and exact fractions are slow.  Method.
All places of a voice become whole numbers of one common part of a quarter (a
tick), which is just as exact; what depends on the bar, the instrument, the key or
the tones alone is worked out once and looked up after that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import lcm
from typing import Final

from drills.effort.moves import instrument_for
from drills.effort.syncopation import strength
from drills.instruments.fingering import load_table
from drills.instruments.judged import EffortInstrument
from drills.instruments.table import instrument_of
from drills.music.lines import Sound, bar_starts
from drills.music.pitch import KeySignature, Pitch, Tone
from drills.music.score import Bar, Part
from drills.music.time import TimeSignature
from drills.places.tempos import TempoMap

FOURTH: Final = 5
OCTAVE: Final = 12
WIND: Final = ("woodwind", "brass", "")
"""Families that tongue and breathe; an instrument that is not known is taken for one."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What is in force in a bar."""

    bar: Bar
    time: TimeSignature
    zero: int
    """Tick at which beat 1 of the bar lies, or would lie."""
    beat: int
    """Ticks of a beat."""
    instrument: EffortInstrument
    low: int | None
    """The usual range, as written MIDI numbers."""
    high: int | None
    tongues: bool
    breathes: bool

    def key_at(self, sound: Sound) -> KeySignature:
        """The key signature in force at a sound of this bar."""
        return self.bar.key_at(sound.origin.start)


class Clock:
    """Places of a voice in ticks, and how many seconds lie between them."""

    def __init__(self, sounds: Sequence[Sound], tempos: TempoMap, part: Part) -> None:
        places = [*(s.start for s in sounds), *(s.end for s in sounds), *tempos.starts]
        places += bar_starts(part)
        for bar in part.bars:  # lengths that are asked for, too
            places += (bar.time.beat.quarters, bar.offset.quarters)
        self.scale = lcm(*{place.denominator for place in places})
        self.starts = [self.ticks(sound.start) for sound in sounds]
        self.ends = [self.ticks(sound.end) for sound in sounds]
        self._tempos = tempos
        self._changes = [*map(self.ticks, tempos.starts[1:]), float("inf")]
        speeds = (float(tempo.quarters_per_minute) for tempo in tempos.tempos)
        self._tick_lasts = [60 / (speed * self.scale) for speed in speeds]
        self._index = 0

    def ticks(self, quarters: Fraction) -> int:
        """A place or a length of the part in ticks."""
        return quarters.numerator * (self.scale // quarters.denominator)

    def seconds(self, start: int, end: int) -> float:
        """Between two places; quickest where they are asked for in order."""
        if not self._at(start) < end <= self._changes[self._index]:
            exact = self._tempos.seconds(Fraction(start, self.scale), Fraction(end, self.scale))
            return float(exact)
        return (end - start) * self._tick_lasts[self._index]

    def since(self) -> list[float]:
        """Seconds to each attack from the one before it; 0 for the first."""
        if len(self._tick_lasts) == 1:
            lasts = self._tick_lasts[0]
            return [0.0, *((b - a) * lasts for a, b in pairwise(self.starts))]
        return [0.0, *(self.seconds(a, b) for a, b in pairwise(self.starts))]

    def beats_a_second(self, at: int, beat: int) -> float:
        """How many beats of so many ticks go by in a second at the tempo in force."""
        self._at(at)
        return 1 / (self._tick_lasts[self._index] * beat)

    def _at(self, tick: int) -> int:
        """Find the tempo in force at a place; returns the place."""
        if self._index and tick < self._changes[self._index - 1]:
            self._index = 0
        while tick >= self._changes[self._index]:
            self._index += 1
        return tick


class Frames:
    """The frame of every bar, made when it is first asked for.

    What is looked up goes by the identity of objects of the part, which lives longer.
    """

    def __init__(self, part: Part, clock: Clock, instrument: str | None) -> None:
        self._bars = part.bars
        self._starts = bar_starts(part)
        self._clock = clock
        self._asked = instrument
        self._family = None if instrument is None else instrument_of(instrument).family
        self._made: dict[int, Frame] = {}
        self._levels: dict[tuple[int, int, int], float] = {}
        self._read: dict[tuple[int, ...], tuple[float, float]] = {}
        self._beyond: dict[tuple[int, int], float] = {}

    def __getitem__(self, index: int) -> Frame:
        if index not in self._made:
            self._made[index] = self._frame(self._bars[index])
        return self._made[index]

    def _frame(self, bar: Bar) -> Frame:
        family = bar.instrument.family if self._family is None else self._family
        instrument = instrument_for(bar.instrument if self._asked is None else self._asked)
        low, high = _ends(instrument)
        return Frame(
            bar=bar,
            time=bar.time,
            zero=self._clock.ticks(self._starts[bar.index] - bar.offset.quarters),
            beat=self._clock.ticks(bar.time.beat.quarters),
            instrument=instrument,
            low=low,
            high=high,
            tongues=family in WIND,
            breathes=family in (*WIND, "voice"),
        )

    def levels(self, frame: Frame, start: int, end: int) -> float:
        """Levels of the metre that a note passes over (syncopation.py)."""
        key = (id(frame.time), start - frame.zero, end - start)
        if key not in self._levels:
            first, last = (Fraction(t - frame.zero, self._clock.scale) for t in (start, end))
            self._levels[key] = float(strength(frame.time, first, last))
        return self._levels[key]

    def reading(self, frame: Frame, sound: Sound) -> tuple[float, float]:
        """Semitones by which the tones leave the key signature, added up; how far they
        lie in the outermost fourth of the range: 1 at its end, more beyond."""
        tones = sound.notes[0].tones
        signature = frame.key_at(sound) if frame.bar.key_changes else frame.bar.key
        key = (id(frame.instrument), id(signature), *map(id, tones))
        found = self._read.get(key)
        if found is None:
            found = self._read[key] = (_outside(signature, tones), _edge(frame, tones))
        return found

    def beyond(self, first: Tone, second: Tone) -> float:
        """Octaves by which an interval is wider than a fourth."""
        key = (id(first), id(second))
        if key not in self._beyond:
            away = 0.0
            if isinstance(first, Pitch) and isinstance(second, Pitch):
                away = float(abs(second.midi - first.midi))
            self._beyond[key] = max(away - FOURTH, 0.0) / OCTAVE
        return self._beyond[key]


def _outside(signature: KeySignature, tones: tuple[Tone, ...]) -> float:
    pitches = (tone for tone in tones if isinstance(tone, Pitch))
    return float(sum(abs(pitch.alter - signature.alter_of(pitch.step)) for pitch in pitches))


def _edge(frame: Frame, tones: tuple[Tone, ...]) -> float:
    heights = [tone.midi for tone in tones if isinstance(tone, Pitch)]
    low, high = frame.low, frame.high
    if low is None or high is None or not heights or high - low <= 2 * FOURTH:
        return 0.0
    beyond = max(max(heights) - (high - FOURTH), low + FOURTH - min(heights))
    return max(float(beyond), 0.0) / FOURTH


def _ends(instrument: EffortInstrument) -> tuple[int | None, int | None]:
    """The usual range of an instrument in written MIDI numbers."""
    if not instrument.table:
        return instrument.low, instrument.high
    table = load_table(instrument.table)
    return table.low - instrument.shift, table.high - instrument.shift
