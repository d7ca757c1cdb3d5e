"""What the stand's processes do for sound: events to be scheduled, and the sounds they name.

The page schedules what is told here by the clock of its audio context, and decides nothing.
Told: docs/schema/loop.json.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from drills.errors import UsageError
from drills.jobs.asked import values
from drills.jobs.request import Settings
from drills.jobs.sound import read_source
from drills.listening.bar_times import SteadyBeat
from drills.music.score import Part
from drills.output.audio.level import amplitudes
from drills.output.audio.struck import struck
from drills.output.audio.tones import HELD, harmonics, timbre_of
from drills.output.data.text import SCHEMA, exact
from drills.output.musicxml.part import part_bytes
from drills.reading.given import Given
from drills.sheets.clicks.reading import read_pattern
from drills.sheets.ladder import shown, tempo_words
from drills.sound.groove import GROOVES
from drills.sound.practice.choices import PracticeChoices
from drills.sound.practice.climb import Climb
from drills.sound.practice.events import Event, Strike, Tone, frequency
from drills.sound.practice.headings import headings_of
from drills.sound.practice.loop import (
    Loop,
    items_under,
    ladder_of,
    make_loop,
    metronome_numbers,
)
from drills.sound.practice.material import Source
from drills.sound.practice.voices import SOUNDS
from drills.stand.drawing import drawn
from drills.stand.given import given_of
from drills.stand.telling import Told
from drills.stand.wishes import settings_of

RATES: Final = (8_000, 192_000)
_TIMBRE_RATE: Final = 44_100

CLICKS: Final = (
    ("what the ladder counts", ""),
    ("every beat", "beats"),
    ("beats 2 and 4", "2,4"),
    ("beat 4 only", "4"),
    ("every three sixteenths", "every 3 sixteenths"),
    ("between the beats", "offbeats"),
    ("two bars with, two without", "2 with 2 without"),
    ("no click", "none"),
)
"""What a page offers, each as the command line writes it."""


def blocks(score: str, part: str, place: str) -> Told:
    """The blocks of a sheet with their items and numbers, and what can click and play along."""
    source = source_at(score, part, place)
    rungs = ladder_of(source, PracticeChoices())
    return {
        "words": source.sheet.words,
        "part": source.sheet.part,
        "beat": tempo_words(rungs[-1]).rpartition(" = ")[0],
        "numbers": [[exact(number), shown(number)] for number in metronome_numbers(rungs)],
        "rungs": [exact(tempo.number) for tempo in rungs],
        "goal": exact(rungs[-1].number),
        "blocks": [
            {
                "number": heading.number,
                "words": _as_title(heading.words),
                "items": [item.words for item in items_under(source, heading.number)],
            }
            for heading in headings_of(source.sheet)
        ],
        "clicks": [list(one) for one in CLICKS],
        "grooves": [[one.words, key] for key, one in GROOVES.items()],
        "cautions": list(source.sheet.cautions),
    }


def clicks_on(place: tuple[str, str, str], beat: SteadyBeat) -> list[list[object]]:
    """A plain click all through the spot as it stands, laid on a beat of a recording.

    ``place``: score, part and place.  ``[seconds, gain, sound]`` each; empty where the tempo of
    the spot changes on the way, since no steady beat is right there.
    """
    source = source_at(*place)
    choices = PracticeChoices(climb=Climb(signal=False, count_in=1))
    made = make_loop(
        source, items_under(source, 1)[0], ladder_of(source, choices)[-1].number, choices
    )
    if made.quarter is None:
        return []
    scale, quarter = amplitudes({}), float(made.quarter)
    (events,) = made.times_through(0, 1)
    return [
        [beat.at(float(event.at) / quarter), *_event(event, scale, choices.a4)[1:]]
        for event in events
        if isinstance(event, Strike)
    ]


def _as_title(words: str) -> str:
    return "The spot as it stands" if words == "excerpt" else words[:1].upper() + words[1:]


def loop(score: str, part: str, place: str, asked: Mapping[str, Any]) -> Told:
    """Count-in and some times through as events, from the number ``asked["first"]`` on.

    ``asked``: full (all that can be made, rather than what is printed of it), block, item,
    number (text), click and groove (as the command line writes them), voices, count_in (bars),
    first, rounds; all checked here.
    """
    voices = tuple(asked["voices"])
    source = _source(*_stamped(score), part, place, ",".join(voices), full=asked["full"])
    choices = PracticeChoices(
        patterns=(read_pattern(asked["click"]),) if asked["click"] else (),
        climb=Climb(signal=False, count_in=asked["count_in"]),
        voices=("click", *voices),
        groove=asked["groove"],
    )
    items = items_under(source, asked["block"])
    if not 0 <= asked["item"] < len(items):
        raise UsageError("this block has no such drill any more; load the page again")
    number = values.read_number(asked["number"])
    made = make_loop(source, items[asked["item"]], number, choices)
    return _loop_data(made, asked["first"], asked["rounds"])


def _loop_data(made: Loop, first: int, count: int) -> Told:
    scale, a4 = amplitudes({}), made.choices.a4
    rounds = [_heard(events) for events in made.times_through(first, count)]
    counted = _heard(made.counted())
    every = [*counted, *(event for events in rounds for event in events)]
    return {
        "schema": SCHEMA,
        "tempo": tempo_words(made.stage.tempo),
        "length": float(made.length),
        "quarter": None if made.quarter is None else float(made.quarter),
        "count_in": float(made.count_in),
        "counted": [_event(event, scale, a4) for event in counted],
        "first": first,
        "rounds": [[_event(event, scale, a4) for event in events] for events in rounds],
        "bars": [float(at) for at in made.bars()],
        "sounds": sorted({event.sound for event in every if isinstance(event, Strike)}),
        "waves": _waves(every, a4),
        "notes": [
            [f"n{one.bar}-{one.voice}-{one.event}", float(one.at), float(one.end)]
            for one in made.sung()
        ],
        "remarks": list(made.remarks),
    }


def _heard(events: Iterable[Event]) -> list[Strike | Tone]:
    """Events without what is spoken, which a loop never is."""
    return [event for event in events if isinstance(event, Strike | Tone)]


def _event(event: Strike | Tone, scale: Mapping[str, float], a4: Fraction) -> list[object]:
    """``[seconds, gain, sound]`` of a strike, ``[seconds, gain, wave, hertz, end]`` of a tone."""
    gain = round(scale[event.voice] * event.level, 6)
    if isinstance(event, Strike):
        return [float(event.at), gain, event.sound]
    timbre = timbre_of(event.voice)
    hertz = frequency(event.key, a4)
    shape = [event.voice, timbre.attack, timbre.release]
    return [float(event.at), gain * HELD, _wave(event.voice, hertz), hertz, float(event.end), shape]


def _wave(voice: str, hertz: float) -> str:
    return f"{voice} {hertz:.2f}"


def _waves(events: list[Strike | Tone], a4: Fraction) -> dict[str, list[float]]:
    """The levels of the harmonics of every tone that is needed."""
    found: dict[str, list[float]] = {}
    for event in events:
        if not isinstance(event, Strike):
            hertz = frequency(event.key, a4)
            name = _wave(event.voice, hertz)
            if name not in found:
                levels = harmonics(timbre_of(event.voice), hertz, _TIMBRE_RATE)
                found[name] = [round(level, 5) for level in levels[:64]]
    return found


def music(place: tuple[str, str, str], block: int, item: int, width: int) -> Told:
    """The music of a drill for the screen; notes have the ids that a loop tells.

    ``place``: score, part and place.
    """
    source = source_at(*place)
    items = items_under(source, block)
    if not 0 <= item < len(items):
        raise UsageError("this block has no such drill any more; load the page again")
    bars = tuple(
        replace(bar, index=index, number=bar.number or str(index + 1))
        for index, bar in enumerate(items[item].passage.music)
    )
    shown_part = Part("", bars[0].instrument, bars)
    return {"words": items[item].words, "svg": drawn(part_bytes(shown_part), width, 45)}


def sound(name: str, rate: int) -> bytes:
    """A struck sound as 32-bit floats, little-endian; raises UsageError for one there is not."""
    if name not in SOUNDS or not RATES[0] <= rate <= RATES[1]:
        raise UsageError("there is no such sound")
    return struck(name, rate).wave.astype("<f4").tobytes()


def source_at(score: str, part: str, place: str) -> Source:
    """A place with its sheet; nothing else sounds there."""
    return _source(*_stamped(score), part, place, "", full=False)


def _stamped(score: str) -> tuple[str, int, int, Given]:
    found = Path(score).stat()
    return score, found.st_mtime_ns, found.st_size, given_of(Path(score))


@lru_cache(maxsize=8)
def _source(
    score: str,
    _time: int,
    _size: int,
    given: Given,
    part: str,
    place: str,
    voices: str,
    *,
    full: bool,
) -> Source:
    """A place with what can sound there, kept as long as its file stays the same."""
    names = tuple(voices.split(",")) if voices else ()
    choices = PracticeChoices(voices=("click", *names))
    settings = Settings() if full else settings_of({})[0]
    return read_source(Path(score), place, part, replace(settings, given=given), choices)
