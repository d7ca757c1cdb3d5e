"""One thing over and over, whose number and clicks may change while it sounds.

Problem.  A page lets a player choose another metronome number or another click in the middle of
a repetition, without a gap or a jump, and makes no musical decision of its own.  Method.  A
loop tells exactly what sounds in its count-in and in any time through, and where its bars
begin; a player goes on at the next bar line with the same bar of another loop.

Conventions.  Seconds and quarters count from the start of a time through, the count-in's from
its own start; grace notes and early strokes may lie before 0.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from drills.errors import UsageError
from drills.music.notes import Note
from drills.music.score import Bar
from drills.music.tempo import Tempo
from drills.sheets.excerpt import setting_at
from drills.sheets.metronome import SERIES
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.climb import MOST_REPETITIONS, rung_tempos
from drills.sound.practice.events import Event, Tone
from drills.sound.practice.fitting import fitted_to_bars
from drills.sound.practice.headings import Heading, headings_of
from drills.sound.practice.material import Item, Source, items_of
from drills.sound.practice.sounding import Voicing
from drills.sound.practice.stage import Stage, make_stage
from drills.sound.timeline import spot_passage


@dataclass(frozen=True, slots=True)
class Sung:
    """A note of the passage: where it stands, and when it sounds."""

    bar: int
    """Index in the passage."""
    voice: int
    event: int
    at: Fraction
    """Seconds from the start of a time through."""
    end: Fraction


@dataclass(frozen=True, slots=True)
class Loop:
    """Something to play at one number, as often as is wanted."""

    stage: Stage
    choices: PracticeChoices
    remarks: tuple[str, ...]

    @property
    def length(self) -> Fraction:
        """Seconds from one time through to the next."""
        return self.stage.again.seconds

    @property
    def count_in(self) -> Fraction:
        """Seconds of the count-in."""
        return self.stage.count.seconds

    @property
    def quarter(self) -> Fraction | None:
        """Seconds of a quarter; None where the tempo changes on the way."""
        paces = set(self.stage.clock.paces)
        return paces.pop() if len(paces) == 1 else None

    def counted(self) -> Iterator[Event]:
        """What sounds in the count-in."""
        return Voicing(self.stage, self.choices).counted()

    def times_through(self, first: int, count: int) -> Iterator[tuple[Event, ...]]:
        """What sounds in some times through, each from its own start."""
        voicing = Voicing(self.stage, self.choices)
        for number in range(first, first + count):
            begin = self.stage.time_through(number).seconds
            events = (_earlier(event, begin) for event in voicing.time_through(number))
            yield tuple(sorted(events, key=lambda event: event.at))

    def bars(self) -> tuple[Fraction, ...]:
        """Where its bars begin, those of a rest at its end too."""
        return tuple(self.stage.clock.at(bar.start) for bar in self.stage.row())

    @property
    def music(self) -> tuple[Bar, ...]:
        """Its bars as they are written, numbered from 0 by ``index``."""
        bars = self.stage.item.passage.music
        return tuple(replace(bar, index=index) for index, bar in enumerate(bars))

    def sung(self) -> Iterator[Sung]:
        """Every attack that is written, in the order of bars and voices."""
        start, clock = Fraction(0), self.stage.clock
        for bar in self.music:
            for number, voice in enumerate(bar.voices):
                for index, event in enumerate(voice.events):
                    if isinstance(event, Note) and event.is_attack:
                        at = start + event.start.quarters
                        end = at + event.length.quarters
                        yield Sung(bar.index, number, index, clock.at(at), clock.at(end))
            start += bar.length.quarters


def heading_under(source: Source, block: int) -> Heading:
    """A heading of the sheet by its number, from 1; raises UsageError for none."""
    heading = next((one for one in headings_of(source.sheet) if one.number == block), None)
    if heading is None:
        raise UsageError("the sheet has no such block any more; load the page again")
    return heading


def items_under(source: Source, block: int) -> tuple[Item, ...]:
    """What stands under it."""
    heading = heading_under(source, block)
    alone = replace(source, sheet=heading.alone(source.sheet))
    return items_of(alone, PracticeChoices(material=(heading.material,)))


def ladder_of(source: Source, choices: PracticeChoices) -> tuple[Tempo, ...]:
    """The rungs of a sheet, ascending to the performing tempo."""
    time = setting_at(source.part, source.sheet.spot.line[0]).time
    climb = choices.climb
    if climb.start is None:
        climb = replace(climb, start=source.sheet.start)
    return rung_tempos(source.sheet.tempo, time, climb)


def metronome_numbers(rungs: tuple[Tempo, ...]) -> tuple[Fraction, ...]:
    """The numbers to go up and down by: a metronome's between the ladder's ends, and its own."""
    own = [tempo.number for tempo in rungs]
    between = [Fraction(number) for number in SERIES if own[0] < number < own[-1]]
    return tuple(sorted({*own, *between}))


def make_loop(source: Source, item: Item, number: Fraction, choices: PracticeChoices) -> Loop:
    """A loop of something at a number of the ladder's beat.

    Raises UsageError for a number out of bounds and for a click or a groove that does not fit.
    """
    rungs = ladder_of(source, choices)
    if not rungs[0].number / 2 <= number <= rungs[-1].number * Fraction(3, 2):
        raise UsageError(f"{float(number):g} is too far from the ladder; choose a nearer number")
    rung = max((n for n, one in enumerate(rungs) if one.number <= number), default=0)
    tempo = Tempo(number, rungs[0].beat, rungs[0].source)
    patterns = choices.clicks(rung, len(rungs), tempo.beat)
    stage = make_stage(item, tempo, rung, patterns[0], choices.climb)
    stage = replace(stage, repetitions=MOST_REPETITIONS)
    bars = spot_passage(source.sheet, source.part).bars
    fitted = fitted_to_bars([stage], bars, choices)
    return Loop(fitted.stages[0], choices, fitted.remarks)


def _earlier(event: Event, by: Fraction) -> Event:
    if isinstance(event, Tone):
        return replace(event, at=event.at - by, end=event.end - by)
    return replace(event, at=event.at - by)
