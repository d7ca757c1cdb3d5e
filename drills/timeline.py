"""When everything on a sheet sounds: exact positions, and the same in seconds.

Problem.  A MIDI file, a click, a play-along and the check of a recording must
agree on when a note begins.  Method.  The drills of a sheet are laid end to
end, each after counted rest, ties are joined, repeats are played out, and only
then is an exact position turned into seconds.  No other module makes a float
of musical time.

Conventions.
  * Positions count from the start of the timeline, in quarters.  Seconds are
    position times seconds per quarter, each from its own exact position, so
    that nothing adds up rounding.
  * Before every drill, the first too, ``gap_bars`` bars of the drill's own
    first time signature are counted (one unless said otherwise).
  * A drill between repeat signs is played ``repetitions`` times without a gap;
    any other drill once.
  * Grace notes sound before the beat, so that the main note stays where the
    click is (common practice for slashed grace notes; used for all).  Each
    lasts an eighth of a quarter; together they take no more than half the time
    since the attack before, which is shortened by that much.  Before the first
    note of a drill they fall into the counted rest; where none is counted they
    begin on the beat and the note follows.
  * Grace notes after a note take their time from its end in the same way.
  * Staccato, fermatas and ornaments do not change a time here: the timeline
    holds what is written.
  * Cues and hidden notes do not sound.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from typing import Final

from drills.drill import Drill
from drills.errors import UsageError
from drills.ladder import Tempo
from drills.music.pitch import Pitch, Tone, Transposition, Unpitched
from drills.music.score import LOUD, Bar, Grace, Note, Voice
from drills.music.time import START, ZERO, Length, Position, length
from drills.sheet import Sheet

GRACE_LENGTH: Final = length(1, 8)
"""What a grace note lasts where there is time for it: a thirty-second."""


@dataclass(frozen=True, slots=True)
class Sound:
    """One attack as it is heard, ties joined."""

    at: Position
    length: Length
    seconds: float
    """When it begins."""
    duration: float
    """What ``length`` lasts, in seconds."""
    written: tuple[Tone, ...]
    keys: tuple[Fraction | Unpitched, ...]
    """Sounding MIDI note number of each tone (a fraction for a microtone);
    for an unpitched tone the tone itself, which has no number."""
    accent: bool = False
    grace: bool = False


@dataclass(frozen=True, slots=True)
class Beat:
    """A beat as the player counts it."""

    at: Position
    seconds: float
    number: int
    """From 1 in its bar; a pickup begins later."""
    counted: bool = False
    """True in the counted rest before a drill."""


@dataclass(frozen=True, slots=True)
class BarTime:
    """A bar as it is played; a repeated bar comes once for every time."""

    at: Position
    length: Length
    seconds: float
    duration: float
    bar: Bar
    repetition: int
    """From 1; 0 in the counted rest before a drill."""


@dataclass(frozen=True, slots=True)
class DrillTime:
    """One drill in time; its counted rest ends where it begins."""

    drill: Drill
    at: Position
    """Where the first bar begins, after the counted rest."""
    length: Length
    """All repetitions together."""
    seconds: float
    duration: float
    bars: tuple[BarTime, ...]
    """Counted bars first."""
    beats: tuple[Beat, ...]
    sounds: tuple[Sound, ...]


@dataclass(frozen=True, slots=True)
class Timeline:
    """A sheet at a tempo."""

    tempo: Tempo
    drills: tuple[DrillTime, ...]
    length: Length
    duration: float

    @property
    def sounds(self) -> tuple[Sound, ...]:
        """All sounds of all drills in order."""
        return tuple(sound for drill in self.drills for sound in drill.sounds)


@dataclass(frozen=True, slots=True)
class Clock:
    """From exact time to seconds at one tempo."""

    seconds_per_quarter: Fraction

    @classmethod
    def of(cls, tempo: Tempo) -> Clock:
        """Raises UsageError for a tempo that does not move."""
        per_minute = tempo.number * tempo.beat.quarters
        if per_minute <= 0:
            raise UsageError(f"a tempo of {tempo.number} beats a minute does not move; choose more")
        return cls(60 / per_minute)

    def seconds(self, time: Position | Length) -> float:
        """The one place where exact time becomes a float."""
        return float(time.quarters * self.seconds_per_quarter)


def timeline(sheet: Sheet, tempo: Tempo, repetitions: int = 1, gap_bars: int = 1) -> Timeline:
    """Every drill of ``sheet`` in order at ``tempo``; conventions above.

    Raises UsageError for a tempo of nothing, less than one repetition or a
    negative number of counted bars.
    """
    if repetitions < 1:
        raise UsageError(f"{repetitions} repetitions play nothing; choose 1 or more")
    if gap_bars < 0:
        raise UsageError(f"{gap_bars} bars cannot be counted before a drill; choose 0 or more")
    clock = Clock.of(tempo)
    at, drills = START, []
    for group in sheet.groups:
        for drill in group.drills:
            timed = _timed(drill, at, clock, repetitions if drill.repeated else 1, gap_bars)
            drills.append(timed)
            at = timed.at + timed.length
    whole = at - START
    return Timeline(tempo, tuple(drills), whole, clock.seconds(whole))


def _timed(drill: Drill, at: Position, clock: Clock, repetitions: int, gap_bars: int) -> DrillTime:
    counted = [(_counted_bar(drill), 0)] * (gap_bars if drill.bars else 0)
    played = [(bar, time) for time in range(1, repetitions + 1) for bar in drill.bars]
    bars = tuple(_bars_in_time([*counted, *played], at, clock))
    start = bars[len(counted)].at if drill.bars else at
    end = bars[-1].at + bars[-1].length if drill.bars else at
    sounds = _with_seconds(_sounds(bars, at), clock)
    beats = tuple(beat for bar in bars for beat in _beats(bar, clock))
    lasts = end - start
    seconds, duration = clock.seconds(start), clock.seconds(lasts)
    return DrillTime(drill, start, lasts, seconds, duration, bars, beats, sounds)


def _counted_bar(drill: Drill) -> Bar:
    """A full bar of rest in the metre of the drill's first bar."""
    first = drill.bars[0]
    return replace(first, length=first.time.bar_length, offset=ZERO, voices=())


def _bars_in_time(bars: Iterable[tuple[Bar, int]], at: Position, clock: Clock) -> Iterator[BarTime]:
    for bar, time in bars:
        yield BarTime(at, bar.length, clock.seconds(at), clock.seconds(bar.length), bar, time)
        at = at + bar.length


def _beats(bar: BarTime, clock: Clock) -> Iterator[Beat]:
    """The beats of the time signature that fall into the bar."""
    step, offset = bar.bar.time.beat, bar.bar.offset
    number = -(-offset.quarters // step.quarters)  # beats gone by before a pickup, rounded up
    while step * number < offset + bar.length:
        at = bar.at + (step * number - offset)
        yield Beat(at, clock.seconds(at), number + 1, bar.repetition == 0)
        number += 1


def _sounds(bars: Iterable[BarTime], earliest: Position) -> list[Sound]:
    """All sounds of a drill in order, still without seconds."""
    found: list[Sound] = []
    bars = tuple(bars)
    names = dict.fromkeys(voice.name for bar in bars for voice in bar.bar.voices)
    for name in names:
        found.extend(_with_graces(_joined(bars, name), earliest))
    return sorted(found, key=lambda sound: sound.at)


@dataclass(frozen=True, slots=True)
class _Main:
    """A main note with its ties joined."""

    at: Position
    end: Position
    note: Note
    transposition: Transposition


def _joined(bars: Iterable[BarTime], voice_name: str) -> Iterator[_Main]:
    """The main notes of one voice, tied notes made one.

    A tie joins only where it has both ends and no gap between; a note that is
    said to be tied from nothing is attacked.
    """
    held: _Main | None = None
    tied = False
    for bar in bars:
        for note in _heard(bar.bar.voice(voice_name)):
            at = bar.at + (note.start - START)
            end = at + note.length
            if held is not None and tied and note.tie_stop and held.end == at:
                held = replace(held, end=end)
            else:
                if held is not None:
                    yield held
                held = _Main(at, end, note, bar.bar.instrument.transposition)
            tied = note.tie_start
    if held is not None:
        yield held


def _heard(voice: Voice | None) -> Iterator[Note]:
    events = voice.events if voice is not None else ()
    return (e for e in events if isinstance(e, Note) and not (e.cue or e.hidden))


def _with_graces(mains: Iterable[_Main], earliest: Position) -> Iterator[Sound]:
    """Main notes and their grace notes, each note shortened for the graces that follow it."""
    before: Sound | None = None
    for main in mains:
        since = earliest if before is None else before.at
        first, start = _before_the_beat(main, since)
        if before is not None:
            yield _ended_by(before, first)
        yield from _graces(main.note.graces, first, start, main.transposition)
        *most, before = _from_the_beat(main, start)
        yield from most
    if before is not None:
        yield before


def _before_the_beat(main: _Main, since: Position) -> tuple[Position, Position]:
    """Where the grace notes of a note begin, and where the note itself does."""
    graces = main.note.graces
    if graces and main.at == since:
        return main.at, main.at + _taken(graces, main.end - main.at)
    room = main.at - since
    return since + (room - _taken(graces, room)), main.at


def _from_the_beat(main: _Main, start: Position) -> Iterator[Sound]:
    """The main note, and the grace notes that take their time from its end."""
    note, room = main.note, main.end - start
    after = start + (room - _taken(note.graces_after, room))
    accent = not LOUD.isdisjoint(note.articulations)
    yield replace(_sound(start, after, note.tones, main.transposition), accent=accent)
    yield from _graces(note.graces_after, after, main.end, main.transposition)


def _taken(graces: tuple[Grace, ...], room: Length) -> Length:
    """The time that grace notes take where there is ``room``."""
    return min(GRACE_LENGTH * len(graces), room * Fraction(1, 2))


def _graces(
    graces: tuple[Grace, ...], start: Position, end: Position, transposition: Transposition
) -> Iterator[Sound]:
    each = (end - start) * Fraction(1, max(1, len(graces)))
    starts = accumulate((each for _ in graces[1:]), lambda at, step: at + step, initial=start)
    for grace, at in zip(graces, starts, strict=False):
        yield replace(_sound(at, at + each, grace.tones, transposition), grace=True)


def _ended_by(sound: Sound, end: Position) -> Sound:
    """The sound, cut short where it would last beyond ``end``."""
    return replace(sound, length=min(sound.length, end - sound.at))


def _sound(at: Position, end: Position, tones: tuple[Tone, ...], moved: Transposition) -> Sound:
    keys = tuple(tone.midi + moved.chromatic if isinstance(tone, Pitch) else tone for tone in tones)
    return Sound(at, end - at, 0.0, 0.0, tones, keys)


def _with_seconds(sounds: Iterable[Sound], clock: Clock) -> tuple[Sound, ...]:
    return tuple(
        replace(s, seconds=clock.seconds(s.at), duration=clock.seconds(s.length)) for s in sounds
    )
