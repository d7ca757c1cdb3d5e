"""Tempos that a score gives in words only: asked for where somebody can answer, told otherwise.

The number that is taken for the words stands in drills/music/tempo.py; this module
finds out whether a sheet depends on it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from drills.music.lines import bar_starts
from drills.music.score import Part
from drills.music.tempo import Tempo
from drills.music.time import NoteValue
from drills.places.finding import Span
from drills.places.tempos import tempo_map
from drills.sheets.choices import Choices
from drills.sheets.ladder import beats_named, shown
from drills.sheets.making import performing_tempo
from drills.sheets.sheet import Sheet

AskTempo = Callable[[Tempo], Tempo]
"""Called with a tempo that is assumed; returns the one to take, or the same one."""


def with_tempo(
    part: Part, spans: Sequence[Span], choices: Choices, ask: AskTempo, *, everywhere: bool = False
) -> Choices:
    """The choices, with the player's answer for the first tempo of ``spans`` that is assumed.

    With ``everywhere`` the whole part is looked through after the spans.  The answer
    holds where the score has the same words; ``ask`` is called at most once.
    """
    starts = bar_starts(part)
    places = [starts[span.first.bar] + span.first.start.quarters for span in spans]
    tempos = [performing_tempo(part, span, choices) for span in spans]
    if everywhere:
        whole = tempo_map(part, choices.asked_tempo)
        places, tempos = [*places, *whole.starts], [*tempos, *whole.tempos]
    unknown = (
        both for both in zip(places, tempos, strict=True) if both[1].assumed_from is not None
    )
    place, assumed = next(unknown, (None, None))
    answer = None if assumed is None else ask(assumed)
    if assumed is None or answer is None or answer.assumed_from is not None:
        return choices
    return replace(
        choices,
        tempo=answer.number,
        tempo_beat=NoteValue.of(answer.beat),
        tempo_source=answer.source,
        tempo_only_for=assumed.assumed_from,
        tempo_place=place,
    )


def assumed_tempos(where: object, sheets: Sequence[Sheet], advice: str) -> tuple[str, ...]:
    """What to say about tempos that neither score nor player gave, each once.

    ``where`` names the score; ``advice`` says how to give another.
    """
    tempos = dict.fromkeys(sheet.tempo for sheet in sheets)
    return tuple(
        f"{where}: the score gives no tempo in numbers"
        f"{f' (it says “{tempo.assumed_from}”)' if tempo.assumed_from else ''}, so "
        f"{shown(tempo.number)} {beats_named(tempo.beat)} a minute are assumed; {advice}"
        for tempo in tempos
        if tempo.assumed_from is not None
    )
