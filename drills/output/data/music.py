"""Tones, notes and bars as data: one form for what a score prints and what a drill does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate

from drills.music.notes import LOUD, Event, Grace, Note, Rest, Voice
from drills.music.pitch import KeySignature, Pitch, Tone, Transposition
from drills.music.score import Bar, Clef, Instrument, TempoMark
from drills.music.ties import chains
from drills.music.time import START, NoteValue
from drills.output.data.text import Data, exact, without_empty


def tone_data(tone: Tone, moved: Transposition) -> Data:
    """A pitch as written and as it sounds, or the head of an unpitched note."""
    if isinstance(tone, Pitch):
        sounding = moved.sounding(tone)
        return {
            "written": str(tone),
            "written_midi": number(tone.midi),
            "sounding": str(sounding),
            "midi": number(sounding.midi),
        }
    return without_empty({"head": f"{tone.step}{tone.octave}", "drum": tone.instrument})


def tones_data(tones: Sequence[Tone], moved: Transposition) -> list[Data]:
    """All tones of a note, as they stand."""
    return [tone_data(tone, moved) for tone in tones]


def graces_data(graces: Sequence[Grace], moved: Transposition) -> list[Data]:
    """Grace notes in order."""
    return [
        {
            "tones": tones_data(grace.tones, moved),
            **value_data(grace.value),
            "slashed": grace.slashed,
        }
        for grace in graces
    ]


def value_data(value: NoteValue) -> Data:
    """A note value and its dots."""
    return {"value": value.kind, "dots": value.dots}


def instrument_data(instrument: Instrument) -> Data:
    """Name, family and the interval from written to sounding."""
    moved = instrument.transposition
    return {
        "name": instrument.name,
        "family": instrument.family,
        "transposition": {"diatonic": moved.diatonic, "chromatic": moved.chromatic},
    }


def key_data(key: KeySignature) -> Data:
    """Sharps or flats, or the steps of a signature of its own kind."""
    custom = [{"step": step, "alter": exact(alter)} for step, alter in key.custom]
    return {"fifths": key.fifths, **without_empty({"mode": key.mode, "custom": custom})}


def clef_data(clef: Clef) -> Data:
    """Sign, line and octave."""
    return {"sign": clef.sign, "line": clef.line, "octave_change": clef.octave_change}


def tempo_mark_data(mark: TempoMark) -> Data:
    """Number and beat, words, or both."""
    beat = None if mark.beat is None else value_data(mark.beat)
    number = None if mark.number is None else exact(mark.number)
    return {
        "start": exact(mark.start.quarters),
        **without_empty({"number": number, "beat": beat, "text": mark.text}),
    }


@dataclass(frozen=True, slots=True)
class Attacks:
    """Which events begin a note, by bar, voice and place in the voice."""

    lengths: Mapping[tuple[int, str, int], Fraction]
    """What the note lasts in quarters, ties joined."""
    numbers: Mapping[tuple[int, str, int], int] = field(default_factory=dict)
    """Its number in the line of the spot, where it has one."""


def attacks_of(bars: Sequence[Bar]) -> Attacks:
    """Join the ties of every voice; a tie from nothing is an attack."""
    names = dict.fromkeys(voice.name for bar in bars for voice in bar.voices)
    found = chains({name: list(_notes(bars, name)) for name in names}, over_gaps=True)
    return Attacks(
        {
            one.of: sum((note.length.quarters for note in one.notes), Fraction(0))
            for voice in found.values()
            for one in voice
        }
    )


def _notes(bars: Sequence[Bar], name: str) -> Iterator[tuple[Fraction, Note, tuple[int, str, int]]]:
    base = Fraction(0)
    for place, bar in enumerate(bars):
        voice = bar.voice(name)
        for index, event in enumerate(voice.events if voice else ()):
            if isinstance(event, Note) and not (event.cue or event.hidden):
                yield base + event.start.quarters, event, (place, name, index)
        base += bar.length.quarters


def bars_data(bars: Sequence[Bar], attacks: Attacks) -> list[Data]:
    """Bars with all their voices; ``start`` counts from the first of them."""
    starts = accumulate((bar.length for bar in bars), lambda at, one: at + one, initial=START)
    return [
        {
            "number": bar.number,
            "start": exact(start.quarters),
            "length": exact(bar.length.quarters),
            "time": str(bar.time),
            "key": key_data(bar.key),
            "clef": clef_data(bar.clef),
            "voices": [_voice_data(bar, voice, place, attacks) for voice in bar.voices],
        }
        for place, (bar, start) in enumerate(zip(bars, starts, strict=False))
    ]


def _voice_data(bar: Bar, voice: Voice, place: int, attacks: Attacks) -> Data:
    moved = bar.instrument.transposition
    return {
        "name": voice.name,
        "events": [
            _note_data(event, moved, attacks, (place, voice.name, index))
            if isinstance(event, Note)
            else _rest_data(event)
            for index, event in enumerate(voice.events)
        ],
    }


def _note_data(
    note: Note, moved: Transposition, attacks: Attacks, key: tuple[int, str, int]
) -> Data:
    sounds = attacks.lengths.get(key)
    signs = [sign.value for sign in note.articulations]
    return {
        "type": "note",
        **_time_data(note),
        "tones": tones_data(note.tones, moved),
        "attack": sounds is not None,
        **without_empty(
            {
                "sounds": None if sounds is None else exact(sounds),
                "number": attacks.numbers.get(key),
                "tied_from": note.tie_stop,
                "tied_on": note.tie_start,
                "accent": not LOUD.isdisjoint(note.articulations),
                "articulations": signs,
                "graces": graces_data(note.graces, moved),
                "graces_after": graces_data(note.graces_after, moved),
                "cue": note.cue,
                "hidden": note.hidden,
            }
        ),
    }


def _rest_data(rest: Rest) -> Data:
    return {"type": "rest", **_time_data(rest), **without_empty({"hidden": rest.hidden})}


def _time_data(event: Event) -> Data:
    """Place and length in quarters, and how the length is written."""
    value = {"value": "bar", "dots": 0} if event.value is None else value_data(event.value)
    tuplets = [f"{one.ratio.actual}:{one.ratio.normal}" for one in event.tuplets]
    return {
        "start": exact(event.start.quarters),
        "length": exact(event.length.quarters),
        **value,
        **without_empty({"tuplets": tuplets}),
    }


def number(midi: Fraction) -> int | float:
    """A MIDI number: whole, or with a fraction for a microtone."""
    return int(midi) if midi.denominator == 1 else float(midi)
