"""What a plain metronome would have to be set to for the clicks of a practice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from drills.music.tempo import Tempo
from drills.sheets.clicks.patterns import NoClick
from drills.sheets.ladder import metronome_number
from drills.sound.practice.stage import Stage


@dataclass(frozen=True, slots=True)
class ClickNumber:
    """The clicks of a stage in the words of the printed ladder, and their number."""

    words: str
    """"clicks on beat 4 only"."""
    tempo: Tempo
    """Of the rung."""
    number: Fraction | None
    """Clicks a minute, exactly; None where they are not evenly spaced, or there are none."""


def click_number(stage: Stage) -> ClickNumber:
    """What clicks in a stage, in the time and the tempo in which its music begins."""
    pattern = stage.pattern.at_rung(stage.rung, stage.time)
    if isinstance(pattern, NoClick):
        return ClickNumber("no clicks", stage.tempo, None)
    number = metronome_number(pattern, stage.tempo, stage.time)
    return ClickNumber(f"clicks {pattern.words(stage.time)}", stage.tempo, number)


def click_ranges(stages: Iterable[Stage]) -> tuple[tuple[ClickNumber, ClickNumber], ...]:
    """For each pattern, in order, the slowest and the fastest rung that it sounds on."""
    found: dict[str, list[ClickNumber]] = {}
    for stage in stages:
        one = click_number(stage)
        found.setdefault(one.words, []).append(one)
    return tuple((min(all_of, key=_speed), max(all_of, key=_speed)) for all_of in found.values())


def _speed(one: ClickNumber) -> Fraction:
    return one.tempo.quarters_per_minute
