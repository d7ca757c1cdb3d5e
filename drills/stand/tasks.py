"""What the stand's processes do: each a plain function, from values to values.

Paths come from the shelf, never from a request.  Everything that costs time is imported by
warm.py before the first task, and what was read of a score is kept as long as the file stays
the same.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Final

from drills.effort.reasons import why
from drills.errors import PlaceError, ReadError
from drills.jobs.spots import Judging, rank
from drills.music.notes import Note
from drills.music.score import Part
from drills.music.time import START, Position
from drills.output.data.text import exact
from drills.output.musicxml.measures import bar_id, note_id
from drills.output.musicxml.part import part_bytes
from drills.places.bar_names import bar_name
from drills.places.finding import Place, Span, find_span, written_place
from drills.places.spots import make_spot
from drills.reading.given import Given
from drills.reading.limits import Limits
from drills.reading.musicxml import ScoreFile, open_score, read_part
from drills.sheets.choices import Choices
from drills.sheets.ladder import tempo_words
from drills.sheets.making import performing_tempo
from drills.stand.drawing import drawn
from drills.stand.given import given_of
from drills.stand.telling import Told

LIMITS: Final = Limits()
_ID: Final = re.compile(r"(?:b|n)(?P<bar>\d{1,6})(?:-(?P<voice>\d{1,2})-(?P<event>\d{1,4}))?")
HARD_SHOWN: Final = 6
"""Hard passages that are tinted on a part."""


@lru_cache(maxsize=8)
def _opened(path: Path, stamp: tuple[int, int], given: Given) -> ScoreFile:  # noqa: ARG001 - a changed file is read again
    return open_score(path, LIMITS, given)


@lru_cache(maxsize=16)
def _part(path: Path, stamp: tuple[int, int], given: Given, number: int) -> Part:
    return read_part(_opened(path, stamp, given), str(number))


def _stamp(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except OSError as error:
        raise ReadError(f"{path.name} is no longer in the folder; go back to the shelf") from error
    return found.st_mtime_ns, found.st_size


def opened(path: Path) -> ScoreFile:
    """A score, opened again when its file has changed; raises ReadError."""
    return _opened(path, _stamp(path), given_of(path))


def part_of(path: Path, number: int) -> Part:
    """A part by its number, read again when its file has changed; raises ReadError, UsageError."""
    return _part(path, _stamp(path), given_of(path), number)


def players_of(path: Path) -> Told:
    """Title and players of a score, as the shelf shows them; raises ReadError."""
    score = opened(path)
    return {
        "title": score.credits.title,
        "players": [{"number": one.number, "name": one.name} for one in score.entries],
    }


def part_view(path: Path, number: int, width: int, scale: int) -> Told:
    """A part for the screen: its picture, where its notes are, and where it is hard.

    ``width`` is that of the window in pixels; ``scale`` the height of a staff in percent of
    the usual.
    """
    part = part_of(path, number)
    return {
        "title": part.credits.title,
        "part": part.name,
        "svg": drawn(part_bytes(part), width, scale),
        "bars": {bar_id(bar): bar_name(part, bar.index) for bar in part.bars},
        "notes": _notes(part),
        "hard": _hard(path, _stamp(path), given_of(path), number),
        "remarks": list(part.remarks),
    }


@lru_cache(maxsize=16)
def _hard(path: Path, stamp: tuple[int, int], given: Given, number: int) -> list[Told]:
    """The hard passages, judged once however wide the window is."""
    part = _part(path, stamp, given, number)
    judged = rank(part, Judging(), top=HARD_SHOWN)
    return [
        {
            "at": spot.span.asked,
            "words": spot.span.words,
            "why": why(judged.judged, spot),
            "heart": spot.heart.asked,
            "notes": _within(part, spot.span),
            "hardness": round(spot.hardness),
        }
        for spot in judged.spots
    ]


def place_between(path: Path, number: int, first: str, last: str) -> Told:
    """The stretch from one note or bar that was pointed at to another, in words and to be typed.

    Ids are those of the picture; either may come first.  Raises PlaceError.
    """
    part = part_of(path, number)
    begin, end = sorted((_pointed(part, first), _pointed(part, last)), key=_order)
    whole = (first.startswith("b") and last.startswith("b")) or (
        _is_first(part, begin) and _is_last(part, end)
    )
    if whole:
        names = [written_place(part, Place(place.bar, START)) for place in (begin, end)]
    else:
        names = [written_place(part, place, always_beat=True) for place in (begin, end)]
    asked = names[0] if whole and names[0] == names[1] else f"{names[0]}-{names[1]}"
    return span_data(part, find_span(part, asked))


def place_typed(path: Path, number: int, text: str) -> Told:
    """The same for a place that was typed."""
    part = part_of(path, number)
    return span_data(part, find_span(part, text))


def span_data(part: Part, span: Span) -> Told:
    """A stretch for the screen: to be typed, in words, and which notes it holds."""
    return {
        "at": span.asked,
        "words": span.words,
        "notes": _within(part, span),
        "tempo": tempo_words(performing_tempo(part, span, Choices())),
    }


def _pointed(part: Part, id_: str) -> Place:
    """The place of an id of the picture; raises PlaceError for one that is none of it."""
    found = _ID.fullmatch(id_)
    if found is None or int(found["bar"]) >= len(part.bars):
        raise PlaceError("this note is not in the part any more; load the page again")
    bar = part.bars[int(found["bar"])]
    if found["event"] is None:
        return Place(bar.index, START)
    try:
        event = bar.voices[int(found["voice"])].events[int(found["event"])]
    except IndexError as error:
        raise PlaceError("this note is not in the part any more; load the page again") from error
    return Place(bar.index, event.start)


def _order(place: Place) -> tuple[int, Fraction]:
    return place.bar, place.start.quarters


def _starts(part: Part, bar: int) -> list[Position]:
    """Where the notes of a bar begin, in order."""
    events = (event for voice in part.bars[bar].voices for event in voice.events)
    return sorted(event.start for event in events if isinstance(event, Note))


def _is_first(part: Part, place: Place) -> bool:
    return _starts(part, place.bar)[:1] == [place.start]


def _is_last(part: Part, place: Place) -> bool:
    return _starts(part, place.bar)[-1:] == [place.start]


def _within(part: Part, span: Span) -> list[str]:
    """Ids of the notes that a spot plays, without its landing note."""
    spot = make_spot(part, span, landing=False)
    ids = {
        (bar.index, event.start): note_id(bar, voice, index)
        for bar in part.bars[span.first.bar : span.end.bar + 1]
        for voice in bar.voices
        if voice.name == spot.voice
        for index, event in enumerate(voice.events)
    }
    origins = (attack.origin for attack in spot.line if attack.origin is not None)
    return [ids[origin.bar, origin.start] for origin in origins]


def _notes(part: Part) -> dict[str, list[object]]:
    """Where each note stands: index of the bar, position in quarters as an exact text."""
    return {
        note_id(bar, voice, index): [bar.index, exact(event.start.quarters)]
        for bar in part.bars
        for voice in bar.voices
        for index, event in enumerate(voice.events)
        if isinstance(event, Note) and event.is_attack
    }
