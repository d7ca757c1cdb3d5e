"""Music that is played over and over: a drill, or a spot as it stands in its part.

Conventions.
  * A passage has an exact line of its own, in quarters from its start.
  * A tempo is given for where the player begins; where the music changes tempo,
    everything is slowed by the same factor.  A drill keeps one tempo.
  * A spot begins with its first bar, made full: a pickup, or what of the bar is
    before the spot, is silence that is counted.  It ends with the bar of its
    last note, made full, so that a repetition begins on a downbeat.
  * When a passage is played again at once, grace notes before its first note
    take their time from the last note of the time before, as in a timeline.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.music.lines import bar_starts
from drills.music.notes import Note, Rest, Voice
from drills.music.score import Bar, Part
from drills.music.tempo import Tempo
from drills.music.time import ZERO, Length, Position
from drills.places.tempos import TempoMap
from drills.sheets.drill import Drill
from drills.sheets.sheet import Sheet
from drills.sound.timeline.sounding import Struck, struck
from drills.sound.timeline.times import Clock


@dataclass(frozen=True, slots=True)
class Passage:
    """Full bars in a row on a line of their own."""

    music: tuple[Bar, ...]
    """What is played."""
    speeds: tuple[tuple[Fraction, Fraction], ...] = ((Fraction(0), Fraction(1)),)
    """From a place on, how many times as fast the music goes as where the player begins."""

    @property
    def bars(self) -> tuple[GridBar, ...]:
        """The same bars for clicks and drums."""
        found, at = [], Fraction(0)
        for bar in self.music:
            found.append(GridBar.of(bar, at))
            at = found[-1].end
        return tuple(found)

    @property
    def length(self) -> Fraction:
        """Quarters of one time through."""
        return sum((bar.length.quarters for bar in self.music), Fraction(0))

    def clock(self, tempo: Tempo) -> Clock:
        """The clock of one time through at a tempo; raises UsageError if it does not move."""
        pace = Clock.of(tempo).paces[0]
        return Clock.following(
            [start for start, _ in self.speeds], [pace / speed for _, speed in self.speeds]
        )

    def sounds(
        self, silence: Fraction = Fraction(0), *, before: bool = False, after: bool = False
    ) -> tuple[Struck, ...]:
        """Every attack of one time through, in order; grace notes may begin before it.

        ``silence`` is how many quarters of rest come before it; ``before`` that it
        is played just before, and ``after`` that it is played again at once.
        """
        length = self.length
        rows = [*self._row(-length if before else Fraction(0))]
        if before:
            rows += self._row(Fraction(0))
        if after:
            rows += self._row(length)
        earliest = -length if before else -silence
        return tuple(
            replace(one, end=min(one.end, Position(length)))
            for one in struck(rows, Position(earliest))
            if 0 <= one.main.quarters < length
        )

    def _row(self, start: Fraction) -> Iterator[tuple[Position, Bar]]:
        at = start
        for bar in self.music:
            yield Position(at), bar
            at += bar.length.quarters


def drill_passage(drill: Drill) -> Passage:
    """A drill as it is printed; UsageError for one without bars."""
    if not drill.bars:
        raise UsageError(f"the drill {drill.label!r} has no bars to play")
    return Passage(drill.bars)


def spot_passage(sheet: Sheet, part: Part, tempos: TempoMap | None = None) -> Passage:
    """The spot of a sheet as ``part`` has it: real rhythm, tempos, changes of time.

    Without ``tempos`` it keeps one tempo.
    """
    bars = sheet.excerpt.bars
    first = sheet.excerpt.numbers[0]
    silent = (_from(bars[0], first.start), *bars[1:]) if first.bar == 0 else bars
    last = part.bars[bars[-1].index].length
    music = [*silent[:-1], replace(silent[-1], length=max(silent[-1].length, last))]
    music[-1] = _filled_up(music[-1])
    music[0] = _filled_before(music[0])
    passage = Passage(tuple(music))
    return passage if tempos is None else replace(passage, speeds=_speeds(sheet, part, tempos))


def spot_start(sheet: Sheet, part: Part) -> Fraction:
    """Where the line of a spot's passage begins, in quarters from the start of ``part``.

    Before its first bar where that is a pickup, so it may be negative.
    """
    first = sheet.excerpt.bars[0]
    return bar_starts(part)[first.index] - first.offset.quarters


def _speeds(sheet: Sheet, part: Part, tempos: TempoMap) -> tuple[tuple[Fraction, Fraction], ...]:
    """The part's tempos against the one in which the spot begins."""
    start, performing = spot_start(sheet, part), sheet.tempo.quarters_per_minute
    end = bar_starts(part)[sheet.excerpt.bars[-1].index] + sheet.excerpt.bars[-1].length.quarters
    places = (max(start, Fraction(0)), *(at for at in tempos.starts if start < at < end))
    found: list[tuple[Fraction, Fraction]] = []
    for place in places:
        speed = tempos.at(place).quarters_per_minute / performing
        if not found or found[-1][1] != speed:
            found.append((place - start if found else Fraction(0), speed))
    return tuple(found)


def _from(bar: Bar, start: Position) -> Bar:
    """The bar without what begins before ``start``."""
    voices = (
        Voice(voice.name, tuple(event for event in voice.events if event.start >= start))
        for voice in bar.voices
    )
    return replace(bar, voices=tuple(voices))


def _filled_up(bar: Bar) -> Bar:
    """The bar with silence up to its bar line."""
    return replace(bar, length=max(bar.length, _room(bar.time.bar_length, bar.offset)))


def _room(whole: Length, offset: Length) -> Length:
    return whole - offset if offset < whole else ZERO


def _filled_before(bar: Bar) -> Bar:
    """The bar with silence for what it lacks at its start."""
    if not bar.offset:
        return bar
    missing = bar.offset

    def later(event: Note | Rest) -> Note | Rest:
        return replace(event, start=event.start + missing)

    voices = (Voice(v.name, tuple(later(event) for event in v.events)) for v in bar.voices)
    return replace(bar, length=bar.length + missing, offset=ZERO, voices=tuple(voices))
