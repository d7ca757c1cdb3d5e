"""A practice file before it is sound or MIDI: what rings when, from the first click to the last.

Problem.  A player presses play and the ladder climbs by itself; sound and MIDI must
agree to a sample, and an hour must not fill the memory.  Method.  The file is a row
of stages, one thing at one rung each.  Every time through is placed by exact
multiplication from the start of its stage, and what sounds in it is worked out
when it is asked for.

Conventions.  Times are exact seconds from the start of the file.  Nothing sounds
before 0 or after ``duration``; what rings on after its stroke is the writer's
matter.  Of a time through no event lies before the time through before it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import chain, groupby
from typing import Final

from drills.errors import UsageError
from drills.music.tempo import Tempo
from drills.music.time import TimeSignature
from drills.sheets.clicks.pattern import Pattern
from drills.sheets.clicks.patterns import MOST_STEPS, Drums, NoClick
from drills.sheets.excerpt import setting_at
from drills.sheets.ladder import metronome_number, tempo_words
from drills.sheets.metronome import settable
from drills.sound.groove import FOLLOWS_TEMPO, find_groove, line_ratio, settled
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.climb import (
    LONGEST,
    Steps,
    Turn,
    climbing_order,
    fitted,
    rung_tempos,
    thinned,
)
from drills.sound.practice.events import Cue, Event, TempoStep
from drills.sound.practice.fitting import fitted_to_bars
from drills.sound.practice.material import Item, Source, items_of
from drills.sound.practice.sounding import Voicing, within
from drills.sound.practice.stage import NOTHING, Stage, make_stage, tempo_steps
from drills.sound.timeline import spot_passage

LONG_SITTING: Final = 20 * 60
"""Seconds after which a rest is due (common practice: shorter sittings, and more of them)."""


@dataclass(frozen=True, slots=True)
class Practice:
    """Sound to practise with."""

    title: str
    part: str
    words: str
    """The spot for reading."""
    duration: Fraction
    """Seconds."""
    quarters: Fraction
    """Quarters that are played in that time."""
    cues: tuple[Cue, ...]
    """Where each stage begins, with its count-in."""
    tempos: tuple[TempoStep, ...]
    """Every change of tempo or time signature; the first is at 0."""
    a4: Fraction
    """Hertz of A4, which is key 69."""
    stages: tuple[Stage, ...]
    choices: PracticeChoices
    remarks: tuple[str, ...] = ()
    """What is silent somewhere, and why."""

    def events(self) -> Iterator[Event]:
        """Everything that sounds, in order of time; made as it is asked for."""
        waiting: list[Event] = []
        for start, events in self._portions():
            waiting += events
            waiting.sort(key=_when)
            ready = bisect_left(waiting, start, key=_when)
            yield from waiting[:ready]
            del waiting[:ready]
        yield from waiting

    def _portions(self) -> Iterator[tuple[Fraction, list[Event]]]:
        """Events a count-in or a time through at a time, each with where that begins.

        Those of a portion lie after the start of the portion before it.
        """
        before = Fraction(0)
        for stage in self.stages:
            voicing = Voicing(stage, self.choices)
            times = (
                (stage.time_through(number).seconds, voicing.time_through(number))
                for number in range(stage.repetitions)
            )
            for start, events in chain([(stage.start.seconds, voicing.counted())], times):
                yield start, [within(event, before, self.duration) for event in events]
                before = start


def _when(event: Event) -> Fraction:
    return event.at


def make_practice(source: Source, choices: PracticeChoices) -> Practice:
    """Practice sound for a spot or a sheet.

    What stands under one heading of the sheet climbs together: on every rung all cells of
    a size, one after the other, each counted in; the spot, each line and the chords by
    themselves.  Raises UsageError for choices that make no sense here: a tempo out of
    bounds, a pattern that does not fit the music, a voice with nothing to play, a length
    that cannot be kept.
    """
    choices = _settled(choices, source.sheet.tempo)
    items = items_of(source, choices)
    bars = spot_passage(source.sheet, source.part).bars
    fitted = fitted_to_bars(_stages(source, items, choices), bars, choices)
    stages = _placed(fitted.stages)
    last = stages[-1]
    end = last.start + last.length
    if end.seconds > LONGEST:
        raise UsageError(
            f"this would last {_minutes(end.seconds)}, more than {LONGEST // 60} minutes; choose "
            "fewer repetitions or rungs, or a total length"
        )
    sheet = source.sheet
    named = len(items) > 1 or items[0].is_drill  # the spot itself needs no name
    return Practice(
        title=sheet.credits.title,
        part=sheet.part,
        words=sheet.words,
        duration=end.seconds,
        quarters=end.quarters,
        cues=tuple(_cue(stage, choices, named=named) for stage in stages),
        tempos=tuple(tempo_steps(stages)),
        a4=choices.a4,
        stages=stages,
        choices=choices,
        remarks=(
            *fitted.remarks,
            *_swing_told(stages, choices),
            *_remarks(items, choices),
            *_long(end.seconds, choices),
        ),
    )


def _settled(choices: PracticeChoices, performing: Tempo) -> PracticeChoices:
    """The choices with the ratio of a swing that is to be the same on every rung.

    A groove that swings in a way of its own keeps it.
    """
    if not choices.swing.steady:
        return choices
    own = find_groove(choices.groove).swing if choices.groove else FOLLOWS_TEMPO
    if own == FOLLOWS_TEMPO:
        own = settled(choices.swing, performing.quarters_per_minute)
    return replace(choices, swing=own)


def _swing_told(stages: Sequence[Stage], choices: PracticeChoices) -> Iterator[str]:
    """In which ratio the line swings."""
    if choices.swing_line:
        tempos = sorted(stage.tempo.quarters_per_minute for stage in stages)
        ends = [float(line_ratio(tempo, choices.swing)) for tempo in (tempos[0], tempos[-1])]
        told = list(dict.fromkeys(f"{ratio:.1f}:1" for ratio in ends))
        yield f"the line swings {' to '.join(told)}, long against short"


def _stages(source: Source, items: Sequence[Item], choices: PracticeChoices) -> tuple[Stage, ...]:
    """Every stage in order with its repetitions, not placed yet."""
    sheet, climb = source.sheet, choices.climb
    time = setting_at(source.part, sheet.spot.line[0]).time
    if climb.start is None and (climb.rungs > 1 or climb.steps is Steps.PERCENT):
        climb = replace(climb, start=sheet.start)
    rungs = rung_tempos(sheet.tempo, time, climb)
    if climb.total is None:
        stages = _climbing(items, rungs, choices)
        return tuple(replace(stage, repetitions=climb.repetitions) for stage in stages)
    fewest = min(len(rungs), 2)
    for count in range(len(rungs), fewest - 1, -1):
        stages = _climbing(items, rungs if count == len(rungs) else thinned(rungs, count), choices)
        times = fitted([_turn(stage) for stage in stages], climb.total)
        if times is not None:
            return tuple(
                replace(stage, repetitions=often)
                for stage, often in zip(stages, times, strict=True)
            )
    least = sum((_turn(stage).fixed for stage in stages), Fraction(0))
    raise UsageError(
        f"{_minutes(climb.total)} is too short: once through on {fewest} "
        f"rung{'s' * (fewest > 1)} takes {_minutes(least)}; choose a longer time, a faster start "
        "or less to play"
    )


def _climbing(
    items: Sequence[Item], rungs: Sequence[Tempo], choices: PracticeChoices
) -> tuple[Stage, ...]:
    order = climbing_order(len(rungs), choices.climb.up, choices.climb.back)
    found = []
    for _, row in groupby(items, key=lambda item: item.row):
        together = tuple(row)
        for rung in order:
            tempo, time = rungs[rung], together[0].passage.bars[0].time
            stages = [
                make_stage(one, tempo, rung, pattern, choices.climb)
                for pattern in _clicks(choices, rung, rungs, time)
                for one in together
            ]
            found += [
                replace(
                    stage,
                    begins_rung=number == 0,
                    after=stage.after if number == len(stages) - 1 else NOTHING,
                )
                for number, stage in enumerate(stages)
            ]
    return (*found[:-1], replace(found[-1], last=True))


def _clicks(
    choices: PracticeChoices, rung: int, rungs: Sequence[Tempo], time: TimeSignature
) -> list[Pattern]:
    """The clicks at a rung, one after the other; of one that fades the steps that are left."""
    found = list(choices.clicks(rung, len(rungs), rungs[rung].beat))
    if rung < len(rungs) - 1:
        return found
    steps = [found[-1].at_rung(later, time) for later in range(rung, rung + MOST_STEPS)]
    fading = steps[0] != steps[-1]
    return [*found[:-1], *dict.fromkeys(steps)] if fading else found


def _turn(stage: Stage) -> Turn:
    return Turn(replace(stage, repetitions=1).length.seconds, stage.again.seconds)


def _placed(stages: Sequence[Stage]) -> tuple[Stage, ...]:
    at, found = NOTHING, []
    for stage in stages:
        found.append(replace(stage, start=at))
        at += stage.length
    return tuple(found)


def _cue(stage: Stage, choices: PracticeChoices, *, named: bool) -> Cue:
    """Such as "quarter = 72, clicks on beat 4 only: 18"."""
    words = f"{stage.item.words}: " if named else ""
    words += tempo_words(stage.tempo)
    if "click" in choices.voices:
        words += f", {_click_words(stage)}"
    return Cue(stage.start.seconds, stage.start.quarters, words)


def _click_words(stage: Stage) -> str:
    """What clicks, and what a plain metronome is set to for it if that is another number."""
    pattern = stage.pattern.at_rung(stage.rung, stage.time)
    if isinstance(pattern, Drums):
        return "drums"
    if isinstance(pattern, NoClick):
        return "no clicks"
    words = f"clicks {pattern.words(stage.time)}"
    number = metronome_number(pattern, stage.tempo, stage.time)
    if number is None or number == stage.tempo.number:
        return words
    return f"{words}: {settable(number)}"


def _remarks(items: Sequence[Item], choices: PracticeChoices) -> Iterator[str]:
    if "section" in choices.voices and not all(item.others for item in items):
        yield "the section plays along with the spot as it stands only"
    drones = {"bass", "chord"}.intersection(choices.voices)
    if drones and not all(item.harmonies for item in items):
        yield "no drone sounds where no harmony is known"


def _long(seconds: Fraction, choices: PracticeChoices) -> Iterator[str]:
    if choices.climb.total is None and seconds > LONG_SITTING:
        yield (
            f"this lasts {_minutes(seconds)}: rest in between, or choose a total length, fewer "
            "rungs or fewer times through"
        )


def _minutes(seconds: Fraction) -> str:
    """ "12 minutes", "1 minute 5 seconds"."""
    whole = -(-seconds.numerator // seconds.denominator)
    minutes, rest = divmod(whole, 60)
    told = [f"{minutes} minute{'s' * (minutes != 1)}"] if minutes else []
    if rest or not minutes:
        told.append(f"{rest} second{'s' * (rest != 1)}")
    return " ".join(told)
