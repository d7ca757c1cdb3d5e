"""Clicks and drums held against the bars in which they are to sound.

Convention.  What makes no sense in the music is refused.  The bars of a drill are not the
composer's: cells of a piece in 4/4 stand in 2/4, which has no beat 4 and no slow waltz.  A
click or a groove that fits the spot but not a drill gives way there to the plain click,
which is what the ladder counts, and that is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import cycle, islice
from typing import Final

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.sheets.clicks.laying import check
from drills.sheets.clicks.patterns import Counted, NoClick
from drills.sound.groove import Groove, find_groove, fits, strokes
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.stage import Stage

BARS_CHECKED: Final = 512
"""A pattern that has not come round after so many bars is taken never to do so."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """Stages whose clicks and drums fit their bars."""

    stages: tuple[Stage, ...]
    remarks: tuple[str, ...]
    """Where the plain click took the place of what was asked for, each thing once."""


def fitted_to_bars(
    stages: Sequence[Stage], spot: Sequence[GridBar], choices: PracticeChoices
) -> Fitted:
    """The stages with the plain click where a drill's bars leave no other.

    ``spot`` are the bars of the spot as it stands.  Raises UsageError for a click or a
    groove that does not fit the music itself.
    """
    found, remarks = [], []
    for stage in stages:
        fitted = stage
        for place in (_with_click, _with_drums):
            fitted, remark = place(fitted, spot, choices)
            remarks += [remark] if remark else []
        found.append(fitted)
    return Fitted(tuple(found), tuple(dict.fromkeys(remarks)))


def _with_click(
    stage: Stage, spot: Sequence[GridBar], choices: PracticeChoices
) -> tuple[Stage, str]:
    if "click" not in choices.voices:
        return stage, ""
    one, times = stage.row(), stage.repetitions
    wrong = _problem(stage, _played(one, len(one) * times))
    if wrong is None:
        return stage, ""
    if not stage.item.is_drill or _problem(stage, _played(spot, len(spot) * times)):
        raise wrong
    return _plain(stage), _told(wrong)


def _problem(stage: Stage, bars: Iterable[GridBar]) -> UsageError | None:
    try:
        check(stage.pattern, tuple(bars), stage.rung)
    except UsageError as error:
        return error
    return None


def _played(one: Sequence[GridBar], count: int) -> Iterable[GridBar]:
    """So many bars, those of one time through over and over."""
    at = Fraction(0)
    for bar in islice(cycle(one), min(count, BARS_CHECKED)):
        yield replace(bar, start=at)
        at += bar.length.quarters


def _with_drums(
    stage: Stage, spot: Sequence[GridBar], choices: PracticeChoices
) -> tuple[Stage, str]:
    if not choices.groove:
        return stage, ""
    groove = find_groove(choices.groove)
    wrong = _no_bars(groove, stage.row())
    if wrong is None:
        return stage, ""
    if not stage.item.is_drill or _no_bars(groove, spot):
        raise wrong
    without = replace(stage, drums=False)
    return (_plain(without) if isinstance(stage.pattern, NoClick) else without), _told(wrong)


def _no_bars(groove: Groove, bars: Sequence[GridBar]) -> UsageError | None:
    """The error that names the bars which the groove does not fit."""
    missing = [bar for bar in bars if not fits(groove, bar.time)]
    try:
        strokes(groove, missing[:1], beats_per_minute=lambda _: Fraction(120))
    except UsageError as error:
        return error
    return None


def _plain(stage: Stage) -> Stage:
    return replace(stage, pattern=Counted(stage.tempo.beat))


def _told(error: UsageError) -> str:
    return f"{str(error).partition(';')[0]}; such drills have the plain click"
