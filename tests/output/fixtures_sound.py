"""Practices made by hand, each event from its own exact place, to hold sound files against."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from drills.music.time import COMMON_TIME
from drills.sound.practice.events import Cue, Event, Strike, TempoStep, Tone


@dataclass(frozen=True)
class Made:
    """What a writer needs to know of a practice."""

    duration: Fraction
    make: Callable[[], Iterator[Event]]
    cues: tuple[Cue, ...] = ()
    tempos: tuple[TempoStep, ...] = (
        TempoStep(Fraction(0), Fraction(0), Fraction(1, 2), COMMON_TIME),
    )
    a4: Fraction = Fraction(440)

    def events(self) -> Iterator[Event]:
        return self.make()


def of(*events: Event, duration: int | Fraction = 2) -> Made:
    """These events, at quarter = 120."""
    return Made(Fraction(duration), lambda: iter(events))


def strike(at: float | Fraction, sound: str, voice: str = "click", level: float = 1.0) -> Strike:
    """At a number of seconds, two quarters to the second."""
    exact = Fraction(at)
    return Strike(exact, exact * 2, voice, sound, level)


def tone(
    at: float | Fraction, end: float | Fraction, key: int | Fraction, voice: str = "line"
) -> Tone:
    """From second to second, two quarters to the second."""
    begin, last = Fraction(at), Fraction(end)
    return Tone(begin, last, begin * 2, last * 2, voice, Fraction(key))


BAND_KEYS = (36, 48, 55, 60, 64, 67, 72, 76, 79, 84)
"""A chord of C as a band has it, over four octaves."""


def held_section(parts: int, level: float) -> Iterator[Tone]:
    """A chord of so many parts, one tone each, for a second; in unison where there are many."""
    for number in range(parts):
        key = Fraction(BAND_KEYS[number % len(BAND_KEYS)])
        yield Tone(Fraction(0), Fraction(1), Fraction(0), Fraction(2), "section", key, level)


@dataclass(frozen=True)
class Rung:
    """Bars of 4/4 at one tempo."""

    bars: int
    tempo: Fraction
    """Quarters a minute."""


def ladder(bars: int, tempos: Sequence[int | Fraction]) -> list[Rung]:
    return [Rung(bars, Fraction(tempo)) for tempo in tempos]


BeatEvents = Callable[[int, Callable[[Fraction], Fraction], Fraction], Iterator[Event]]
"""From a beat's number in the bar, the way from quarters to seconds and the beat's quarter."""


def climbing(rungs: Sequence[Rung], beat: BeatEvents) -> Made:
    """``beat`` on every quarter of every rung; a cue and a tempo step where one begins."""
    spq = [60 / rung.tempo for rung in rungs]
    lasts = [rung.bars * 4 * per for rung, per in zip(rungs, spq, strict=True)]
    starts = list(accumulate(lasts, initial=Fraction(0)))
    quarters = list(accumulate((Fraction(r.bars * 4) for r in rungs), initial=Fraction(0)))
    steps = tuple(
        TempoStep(at, q, per, COMMON_TIME)
        for at, q, per in zip(starts, quarters, spq, strict=False)
    )
    cues = tuple(
        Cue(s.at, s.quarters, f"quarter = {rung.tempo}")
        for s, rung in zip(steps, rungs, strict=True)
    )

    def make() -> Iterator[Event]:
        for rung, step in zip(rungs, steps, strict=True):

            def seconds(quarter: Fraction, step: TempoStep = step) -> Fraction:
                return step.at + (quarter - step.quarters) * step.seconds_per_quarter

            for number in range(rung.bars * 4):
                yield from beat(number % 4, seconds, step.quarters + number)

    return Made(starts[-1], make, cues, steps)


Seconds = Callable[[Fraction], Fraction]


def clicks(number: int, seconds: Seconds, quarter: Fraction) -> Iterator[Event]:
    """A click on every beat, the first of the bar higher."""
    sound = "low-wood-block" if number else "high-wood-block"
    yield Strike(seconds(quarter), quarter, "click", sound)


DRUMS = (
    (Fraction(0), "ride", 0.8),
    (Fraction(1, 3), "side-stick", 0.5),
    (Fraction(2, 3), "ride", 0.6),
)


def drums(number: int, seconds: Seconds, quarter: Fraction) -> Iterator[Event]:
    """A swing of ride, bass drum on 1 and 3, hi-hat on 2 and 4, and a stick on the triplet."""
    foot = "pedal-hi-hat" if number % 2 else "bass-drum"
    yield Strike(seconds(quarter), quarter, "groove", foot, 0.9)
    for after, sound, level in DRUMS:
        yield Strike(seconds(quarter + after), quarter + after, "groove", sound, level)


def line(number: int, seconds: Seconds, quarter: Fraction) -> Iterator[Event]:
    """Four sixteenths a beat."""
    for place in range(4):
        begin = quarter + Fraction(place, 4)
        end = begin + Fraction(1, 4)
        key = Fraction(58 + (7 * number + 2 * place) % 19)
        yield Tone(seconds(begin), seconds(end), begin, end, "line", key)


def together(*beats: BeatEvents) -> BeatEvents:
    """Several on every beat, in order of time."""

    def beat(number: int, seconds: Seconds, quarter: Fraction) -> Iterator[Event]:
        found = [event for one in beats for event in one(number, seconds, quarter)]
        yield from sorted(found, key=lambda event: event.at)

    return beat
