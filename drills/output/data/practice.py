"""Practice sound as data: what begins when, at which tempo and with which clicks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from drills.music.tempo import Tempo
from drills.output.data.text import SCHEMA, Data, exact
from drills.sheets.sheet import Sheet
from drills.sound.practice.events import Strike
from drills.sound.practice.numbers import click_number
from drills.sound.practice.practice import Practice
from drills.sound.practice.stage import Span, Stage

Files = Sequence[tuple[str, Practice]]
"""The name of a sound file, and what is in it."""


def practices_data(spots: Iterable[tuple[Sheet, Files]]) -> Data:
    """The practices of some spots, in the form of docs/schema/practice.json."""
    return {"schema": SCHEMA, "spots": [_spot_data(sheet, files) for sheet, files in spots]}


def _spot_data(sheet: Sheet, files: Files) -> Data:
    return {
        "title": sheet.credits.title,
        "composer": sheet.credits.composer,
        "rights": sheet.credits.rights,
        "source": sheet.source,
        "part": sheet.part,
        "asked": sheet.spot.span.asked,
        "words": sheet.words,
        "tempo": {**_tempo_data(sheet.tempo), "source": sheet.tempo.source},
        "files": [_file_data(name, practice) for name, practice in files],
        "cautions": list(sheet.cautions),
        "remarks": list(sheet.remarks),
    }


def _file_data(name: str, practice: Practice) -> Data:
    choices = practice.choices
    end = Span(practice.quarters, practice.duration)
    return {
        "file": name,
        "voices": list(choices.voices),
        "groove": choices.groove,
        "a4": exact(practice.a4),
        "end": _place_data(end),
        "stages": [_stage_data(stage) for stage in practice.stages],
        "struck": [list(row) for row in _struck(practice)],
        "tempos": [
            {
                **_place_data(Span(step.quarters, step.at)),
                "seconds_per_quarter": exact(step.seconds_per_quarter),
                "time": str(step.time),
            }
            for step in practice.tempos
        ],
        "remarks": list(practice.remarks),
    }


def _struck(practice: Practice) -> Iterator[tuple[float, str, str, float]]:
    """Every click, drum stroke and bell: seconds, voice, sound, level."""
    for event in practice.events():
        if isinstance(event, Strike):
            yield _rounded(event.at), event.voice, event.sound, round(event.level, 4)


def _stage_data(stage: Stage) -> Data:
    """One thing to play on one rung: when its count-in and each time through begin."""
    click = click_number(stage)
    return {
        "what": stage.item.words,
        "rung": stage.rung + 1,
        "tempo": _tempo_data(stage.tempo),
        "click": {
            "words": click.words,
            "number": None if click.number is None else exact(click.number),
        },
        "start": _place_data(stage.start),
        "times": [_place_data(stage.time_through(n)) for n in range(stage.repetitions)],
        "end": _place_data(stage.start + stage.length),
    }


def _tempo_data(tempo: Tempo) -> Data:
    return {"number": exact(tempo.number), "beat": exact(tempo.beat.quarters)}


def _place_data(at: Span) -> Data:
    """A place in the file: exact seconds, the same for a clock, and quarters played till then."""
    return {
        "exact": exact(at.seconds),
        "seconds": _rounded(at.seconds),
        "quarters": exact(at.quarters),
    }


def _rounded(seconds: Fraction) -> float:
    """To a microsecond, far less than a sample."""
    return round(float(seconds), 6)
