"""Bars as MusicXML ``measure`` elements."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from lxml import etree

from drills.music.notes import Event, Note, Rest, Voice
from drills.music.pitch import CONCERT, KeySignature, Transposition
from drills.music.score import Bar, Clef
from drills.music.time import START, Position, TimeSignature
from drills.output.musicxml.accidentals import Accidentals
from drills.output.musicxml.beams import beam_levels
from drills.output.musicxml.elements import add, decimal
from drills.output.musicxml.notes import Pen, Stem, add_graces, add_note, add_rest
from drills.output.musicxml.signs import Sign, add_octave_line, add_sign, signs_of
from drills.output.musicxml.tuplets import tuplet_spans

_UNLINED: Final = frozenset({"percussion", "none"})
"""Clef signs that stand on no line of their own."""


@dataclass(frozen=True, slots=True)
class InForce:
    """What the bar before left in force; at the start of a document nothing."""

    divisions: int = 0
    key: KeySignature | None = None
    time: TimeSignature | None = None
    clef: Clef | None = None
    transposition: Transposition = CONCERT

    @classmethod
    def after(cls, bar: Bar, divisions: int) -> InForce:
        """What is in force behind the bar."""
        key = bar.key_changes[-1][1] if bar.key_changes else bar.key
        clef = bar.clef_changes[-1][1] if bar.clef_changes else bar.clef
        return cls(divisions, key, bar.time, clef, bar.instrument.transposition)


def add_attributes(measure: etree._Element, bar: Bar, before: InForce, divisions: int) -> None:
    """What changes at the start of the bar, or nothing."""
    made = etree.Element("attributes")
    if divisions != before.divisions:
        add(made, "divisions", divisions)
    if bar.key != before.key:
        _add_key(made, bar.key)
    if bar.time != before.time:
        _add_time(made, bar.time, bar.time_shown)
    if bar.clef != before.clef:
        _add_clef(made, bar.clef)
    if bar.instrument.transposition != before.transposition:
        _add_transpose(made, bar.instrument.transposition)
    if len(made):
        measure.append(made)


def add_music(measure: etree._Element, bar: Bar, pen: Pen) -> None:
    """All voices of the bar, one after another, with what stands over and under them."""
    signs = signs_of(bar)
    at = START
    for index, voice in enumerate(bar.voices):
        _add_backup(measure, at, pen)
        writer = _VoiceWriter(measure, bar, voice, pen)
        at = writer.write(signs if index == 0 else ())
    if not bar.voices:
        for sign in signs:
            add_sign(measure, sign, START, pen.divisions)


class _VoiceWriter:
    """Writes the events of one voice in one bar."""

    def __init__(self, measure: etree._Element, bar: Bar, voice: Voice, pen: Pen) -> None:
        self._measure = measure
        self._bar = bar
        self._voice = voice
        self._pen = pen
        self._accidentals = Accidentals(bar.key)
        self._levels = beam_levels(voice.events, bar.time, bar.offset)
        self._spans = tuplet_spans(voice.events)
        self._at = START
        self._octaves = 0

    def write(self, signs: Sequence[Sign]) -> Position:
        """Returns where the voice ends; it is filled up to the end of the bar."""
        waiting = list(signs)
        for index, event in enumerate(self._voice.events):
            self._forward_to(event.start)
            while waiting and waiting[0].start <= event.start:
                self._add_sign(waiting.pop(0))
            self._add_event(index, event)
            self._at = max(self._at, event.start + event.length)
        self._octave_line(0)
        self._forward_to(START + self._bar.length)
        for sign in waiting:
            self._add_sign(sign)
        return self._at

    def _add_sign(self, sign: Sign) -> None:
        if isinstance(sign.what, KeySignature):
            self._accidentals.change_key(sign.what)
            _add_key(add(self._measure, "attributes"), sign.what)
        elif isinstance(sign.what, Clef):
            _add_clef(add(self._measure, "attributes"), sign.what)
        else:
            add_sign(self._measure, sign, self._at, self._pen.divisions)

    def _add_event(self, index: int, event: Event) -> None:
        stem = Stem(
            self._voice.name or "1",
            self._bar.instrument.name,
            self._levels.get(index, ()),
            [self._spans[index, d] for d in range(len(event.tuplets)) if (index, d) in self._spans],
            note_id(self._bar, self._voice, index) if self._pen.named else "",
        )
        if isinstance(event, Rest):
            add_rest(self._measure, event, self._pen, stem)
            return
        self._octave_line(event.octave_line)
        pen, signs = self._pen, self._accidentals
        add_graces(self._measure, event.graces, pen, stem, signs)
        add_note(self._measure, event, pen, stem, signs)
        add_graces(self._measure, event.graces_after, pen, stem, signs)

    def _octave_line(self, octaves: int) -> None:
        if octaves != self._octaves:
            add_octave_line(self._measure, self._octaves, octaves)
            self._octaves = octaves

    def _forward_to(self, place: Position) -> None:
        if place > self._at:
            forward = add(self._measure, "forward")
            add(forward, "duration", self._pen.duration(place - self._at))
            self._at = place


def note_id(bar: Bar, voice: Voice, event: int) -> str:
    """``n32-1-0``: the first event of the second voice in the bar of index 32."""
    return f"n{bar.index}-{bar.voices.index(voice)}-{event}"


def bar_id(bar: Bar) -> str:
    """``b32``: the bar of index 32."""
    return f"b{bar.index}"


def notes_of(bars: Iterable[Bar]) -> list[Note]:
    """Every note of every voice, bar by bar."""
    events = (event for bar in bars for voice in bar.voices for event in voice.events)
    return [event for event in events if isinstance(event, Note)]


def _add_backup(measure: etree._Element, at: Position, pen: Pen) -> None:
    if at > START:
        add(add(measure, "backup"), "duration", pen.duration(at - START))


def _add_key(attributes: etree._Element, key: KeySignature) -> None:
    made = add(attributes, "key")
    if key.custom:
        for step, alter in key.custom:
            add(made, "key-step", step)
            add(made, "key-alter", decimal(alter))
        return
    add(made, "fifths", key.fifths)
    if key.mode:
        add(made, "mode", key.mode)


def _add_time(attributes: etree._Element, time: TimeSignature, shown: bool) -> None:
    options = {"symbol": time.symbol} if time.symbol else {}
    made = add(attributes, "time", **options, **({} if shown else {"print_object": "no"}))
    add(made, "beats", "+".join(str(count) for count in time.counts))
    add(made, "beat-type", time.unit)


def _add_clef(attributes: etree._Element, clef: Clef) -> None:
    made = add(attributes, "clef")
    add(made, "sign", clef.sign)
    if clef.sign not in _UNLINED:
        add(made, "line", clef.line)
    if clef.octave_change:
        add(made, "clef-octave-change", clef.octave_change)


def _add_transpose(attributes: etree._Element, moved: Transposition) -> None:
    """Whole octaves apart, as the reference for ``transpose`` asks."""
    octaves = int(moved.diatonic / 7)  # towards zero: -8 steps are an octave and one step
    made = add(attributes, "transpose")
    add(made, "diatonic", moved.diatonic - 7 * octaves)
    add(made, "chromatic", moved.chromatic - 12 * octaves)
    if octaves:
        add(made, "octave-change", octaves)
