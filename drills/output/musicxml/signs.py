"""Marks, words, tempos and chord symbols as MusicXML directions and harmonies."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from lxml import etree

from drills.music.pitch import KeySignature
from drills.music.score import (
    Bar,
    ChordSymbol,
    Clef,
    Direction,
    RehearsalMark,
    TempoMark,
)
from drills.music.time import START, NoteValue, Position
from drills.output.musicxml.elements import add, decimal

DYNAMICS: Final = frozenset(
    {"p" * times for times in range(1, 7)}
    | {"f" * times for times in range(1, 7)}
    | {"mp", "mf", "sf", "sfp", "sfpp", "fp", "rf", "rfz", "sfz", "sffz", "fz", "n", "pf", "sfzp"}
)
"""Dynamic signs that MusicXML 4.0 has an element for (type ``dynamics``)."""

_ALTERS: Final = {"": 0, "#": 1, "##": 2, "b": -1, "bb": -2}
_SIZES: Final = {1: "8", 2: "15", 3: "22"}


@dataclass(frozen=True, slots=True)
class Sign:
    """Something that stands at a place of the bar and takes no time."""

    start: Position
    what: RehearsalMark | TempoMark | Direction | ChordSymbol | KeySignature | Clef


def signs_of(bar: Bar) -> tuple[Sign, ...]:
    """The signs of a bar in order of place."""
    found = [
        *(Sign(START, mark) for mark in bar.marks),
        *(Sign(start, key) for start, key in bar.key_changes),
        *(Sign(start, clef) for start, clef in bar.clef_changes),
        *(Sign(tempo.start, tempo) for tempo in bar.tempos),
        *(Sign(chord.start, chord) for chord in bar.chords),
        *(Sign(direction.start, direction) for direction in bar.directions),
    ]
    return tuple(sorted(found, key=lambda sign: sign.start))


def add_sign(measure: etree._Element, sign: Sign, at: Position, divisions: int) -> None:
    """A sign other than a key or clef; ``at`` is where the music has got to."""
    offset = int((sign.start.quarters - at.quarters) * divisions)
    match sign.what:
        case RehearsalMark(text):
            made = add(measure, "direction", placement="above")
            add(add(made, "direction-type"), "rehearsal", text)
            _add_offset(made, offset)
        case TempoMark():
            add_tempo(measure, sign.what, offset)
        case Direction(kind=kind, text=text):
            placement = "below" if kind == "dynamic" else "above"
            made = add(measure, "direction", placement=placement)
            holder = add(made, "direction-type")
            _add_dynamic(holder, text) if kind == "dynamic" else add(holder, "words", text)
            _add_offset(made, offset)
        case ChordSymbol():
            _add_harmony(measure, sign.what, offset)


def add_words(measure: etree._Element, text: str, **look: str) -> None:
    """Words over the staff, at the place the music has got to."""
    if text:
        made = add(measure, "direction", placement="above")
        add(add(made, "direction-type"), "words", text, **look)


def add_tempo(measure: etree._Element, tempo: TempoMark, offset: int = 0) -> None:
    """Words, a metronome mark, or both; the number sounds too."""
    made = add(measure, "direction", placement="above")
    if tempo.text:
        add(add(made, "direction-type"), "words", tempo.text)
    if tempo.beat is not None and tempo.number is not None:
        metronome = add(add(made, "direction-type"), "metronome")
        _add_beat_unit(metronome, tempo.beat)
        add(metronome, "per-minute", decimal(tempo.number))
    if not len(made):
        measure.remove(made)
        return
    _add_offset(made, offset)
    speed = tempo.quarters_per_minute
    if speed is not None:
        add(made, "sound", tempo=decimal(speed))


def add_octave_line(measure: etree._Element, before: int, now: int) -> None:
    """Ends an octave line where there was one, and begins one where there is one now.

    MusicXML calls an 8va line "down": what is printed stands lower than the pitch.
    """
    if before:
        made = add(add(measure, "direction"), "direction-type")
        add(made, "octave-shift", type="stop", size=_SIZES[abs(before)])
    if now:
        made = add(add(measure, "direction"), "direction-type")
        add(made, "octave-shift", type="down" if now > 0 else "up", size=_SIZES[abs(now)])


def _add_offset(parent: etree._Element, offset: int) -> None:
    if offset:
        add(parent, "offset", offset)


def _add_beat_unit(metronome: etree._Element, beat: NoteValue) -> None:
    add(metronome, "beat-unit", beat.kind)
    for _ in range(beat.dots):
        add(metronome, "beat-unit-dot")


def _add_dynamic(holder: etree._Element, text: str) -> None:
    dynamics = add(holder, "dynamics")
    if text in DYNAMICS:
        add(dynamics, text)
    else:
        add(dynamics, "other-dynamics", text)


def _add_harmony(measure: etree._Element, chord: ChordSymbol, offset: int) -> None:
    made = add(measure, "harmony")
    if chord.root:
        _add_chord_step(add(made, "root"), "root", chord.root)
    else:
        add(add(made, "root"), "root-step", "C", text_="")
    add(made, "kind", chord.kind or "none", **({"text_": chord.text} if chord.text else {}))
    if chord.bass:
        _add_chord_step(add(made, "bass"), "bass", chord.bass)
    for degree in chord.degrees:
        holder = add(made, "degree", **({} if degree.printed else {"print_object": "no"}))
        add(holder, "degree-value", degree.number)
        add(holder, "degree-alter", decimal(degree.alter))
        add(holder, "degree-type", degree.kind)
    _add_offset(made, offset)


def _add_chord_step(parent: etree._Element, name: str, text: str) -> None:
    found = re.fullmatch(r"([A-G])(##|bb|#|b|)", text)
    step, sign = found.groups() if found else (text[:1], "")
    add(parent, f"{name}-step", step)
    if sign:
        add(parent, f"{name}-alter", _ALTERS[sign])
