"""The drills of a sheet laid end to end; see the package's docstring."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.music.score import Bar
from drills.music.tempo import Tempo
from drills.music.time import START, ZERO, Position
from drills.sheets.drill import Drill
from drills.sheets.sheet import Sheet
from drills.sound.timeline.sounding import Struck, struck
from drills.sound.timeline.times import BarTime, Beat, Clock, DrillTime, Sound, Timeline


def timeline(sheet: Sheet, tempo: Tempo, repetitions: int = 1, gap_bars: int = 1) -> Timeline:
    """Every drill of ``sheet`` in order at ``tempo``, by the package's conventions.

    Raises UsageError for a tempo of nothing, less than one repetition or a
    negative number of counted bars.
    """
    if repetitions < 1:
        raise UsageError(f"{repetitions} repetitions play nothing; choose 1 or more")
    if gap_bars < 0:
        raise UsageError(f"{gap_bars} bars cannot be counted before a drill; choose 0 or more")
    clock = Clock.of(tempo)
    at, drills = START, []
    for block in sheet.blocks:
        for drill in block.drills:
            timed = _timed(drill, at, clock, repetitions if drill.repeated else 1, gap_bars)
            drills.append(timed)
            at = timed.at + timed.length
    whole = at - START
    return Timeline(tempo, tuple(drills), whole, clock.seconds(at))


def _timed(drill: Drill, at: Position, clock: Clock, repetitions: int, gap_bars: int) -> DrillTime:
    counted = [(silent_bar(drill.bars[0]), 0)] * gap_bars if drill.bars else []
    played = [(bar, time) for time in range(1, repetitions + 1) for bar in drill.bars]
    bars = tuple(_bars_in_time([*counted, *played], at, clock))
    start = bars[len(counted)].at if drill.bars else at
    end = bars[-1].at + bars[-1].length if drill.bars else at
    lasts = end - start
    return DrillTime(
        drill,
        start,
        lasts,
        clock.seconds(start),
        clock.lasting(start, lasts),
        bars,
        tuple(beat for bar in bars for beat in _beats(bar, clock)),
        tuple(_sound(one, clock) for one in struck([(bar.at, bar.bar) for bar in bars], at)),
    )


def silent_bar(like: Bar) -> Bar:
    """A full bar of rest in the metre of another bar."""
    return replace(like, length=like.time.bar_length, offset=ZERO, voices=())


def _bars_in_time(bars: Iterable[tuple[Bar, int]], at: Position, clock: Clock) -> Iterator[BarTime]:
    for bar, time in bars:
        lasting = clock.lasting(at, bar.length)
        yield BarTime(at, bar.length, clock.seconds(at), lasting, bar, time)
        at = at + bar.length


def _beats(bar: BarTime, clock: Clock) -> Iterator[Beat]:
    """The beats of the time signature that fall into the bar."""
    for number, place in GridBar.of(bar.bar, bar.at.quarters).beats():
        at = Position(place)
        yield Beat(at, clock.seconds(at), number, bar.repetition == 0)


def _sound(one: Struck, clock: Clock) -> Sound:
    """An attack with its seconds and its sounding keys."""
    lasts = one.end - one.at
    return Sound(
        one.at,
        lasts,
        clock.seconds(one.at),
        clock.lasting(one.at, lasts),
        one.tones,
        one.keys,
        one.accent,
        one.grace,
    )
