"""Writes a piece as MusicXML 4.0, partwise.

Order of elements and values follow the W3C schema (MusicXML 4.0, W3C Music
Notation Community Group, https://www.w3.org/2021/06/musicxml40/).  Notes are
written pitches beside a ``<transpose>``; the same source gives the same bytes.
"""

from __future__ import annotations

from fractions import Fraction
from math import lcm
from typing import Final

from lxml import etree

from maker.beams import beams_of
from maker.chords import KINDS
from maker.music import VALUES, Chord, Direction, Event, Frame, PartLine, Piece, Tempo
from maker.notes import NoteWriter
from maker.pitches import Pitch, key_fifths
from maker.tree import Element, add

DOCTYPE: Final = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)


def to_musicxml(piece: Piece) -> bytes:
    """The whole document in UTF-8."""
    root = etree.Element("score-partwise", version="4.0")
    _header(root, piece)
    parts = add(root, "part-list")
    for number, part in enumerate(piece.parts, 1):
        _part_entry(parts, part, number)
    divisions = lcm(
        *(event.length.denominator for part in piece.parts for bar in part.bars for event in bar),
        *(chord.start.denominator for frame in piece.frames for chord in frame.chords),
    )
    for number, part in enumerate(piece.parts, 1):
        _PartWriter(piece, part, divisions, number == 1).write(add(root, "part", id=f"P{number}"))
    etree.indent(root)
    return (
        b'<?xml version="1.0" encoding="UTF-8"?>\n'
        + etree.tostring(root, encoding="UTF-8", doctype=DOCTYPE, xml_declaration=False)
        + b"\n"
    )


def _header(root: Element, piece: Piece) -> None:
    add(add(root, "work"), "work-title", piece.title)
    identification = add(root, "identification")
    add(identification, "creator", piece.composer, type="composer")
    add(identification, "rights", piece.rights)
    encoding = add(identification, "encoding")
    for element in ("accidental", "beam"):
        add(encoding, "supports", element=element, type="yes")


def _part_entry(parts: Element, part: PartLine, number: int) -> None:
    entry = add(parts, "score-part", id=f"P{number}")
    add(entry, "part-name", part.name)
    add(entry, "part-abbreviation", part.abbreviation)
    instrument = add(entry, "score-instrument", id=f"P{number}-I1")
    add(instrument, "instrument-name", part.name)
    add(instrument, "instrument-sound", part.instrument.sound)
    midi = add(entry, "midi-instrument", id=f"P{number}-I1")
    add(midi, "midi-channel", str(number))
    add(midi, "midi-program", str(part.instrument.program))


class _PartWriter:
    """Writes the bars of one part."""

    def __init__(self, piece: Piece, part: PartLine, divisions: int, first: bool) -> None:
        self._piece = piece
        self._part = part
        self._divisions = divisions
        self._marks = first or piece.marks_in_all
        self._chords = first or piece.chords_in_all
        self._notes = NoteWriter(part.instrument, divisions)

    def write(self, root: Element) -> None:
        """All bars."""
        for index, (frame, events) in enumerate(
            zip(self._piece.frames, self._part.bars, strict=True)
        ):
            measure = add(root, "measure", number=str(frame.number))
            if frame.number == 0:
                measure.set("implicit", "yes")
            self._bar(measure, index, frame, events)

    def _bar(self, measure: Element, index: int, frame: Frame, events: list[Event]) -> None:
        frames = self._piece.frames
        _left_line(measure, frame, frames[index - 1] if index else None)
        self._attributes(measure, index, frame)
        self._signs(measure, frame)
        self._notes.new_bar(self._fifths(frame))
        full = Fraction(4 * frame.beats, frame.unit)
        beams = beams_of(events, frame, full - frame.length)
        chords = list(frame.chords) if self._chords else []
        for number, event in enumerate(events):
            later = event.start + event.length
            while chords and chords[0].start < later:
                self._chord(measure, chords.pop(0), event.start)
            for direction in event.before:
                _direction(measure, direction)
            for words in frame.words if event is events[-1] else ():
                _navigation(measure, words)
            self._notes.write(measure, event, beams.get(number, []))
        _right_line(measure, frame, frames[index + 1] if index + 1 < len(frames) else None)

    def _fifths(self, frame: Frame) -> int:
        return self._part.instrument.fifths(key_fifths(frame.key))

    def _attributes(self, measure: Element, index: int, frame: Frame) -> None:
        rest = self._long_rest(index)
        if not (index == 0 or frame.new_key or frame.new_time or rest):
            return
        attributes = add(measure, "attributes")
        if index == 0:
            add(attributes, "divisions", str(self._divisions))
        if index == 0 or frame.new_key:
            key = add(attributes, "key")
            add(key, "fifths", str(self._fifths(frame)))
            add(key, "mode", "major" if frame.key[0].isupper() else "minor")
        if index == 0 or frame.new_time:
            time = add(attributes, "time")
            add(time, "beats", str(frame.beats))
            add(time, "beat-type", str(frame.unit))
        if index == 0:
            clef = add(attributes, "clef")
            add(clef, "sign", "G")
            add(clef, "line", "2")
            self._transpose(attributes)
        if rest:
            add(add(attributes, "measure-style"), "multiple-rest", str(rest))

    def _transpose(self, attributes: Element) -> None:
        instrument = self._part.instrument
        if instrument.chromatic or instrument.octave:
            transpose = add(attributes, "transpose")
            add(transpose, "diatonic", str(instrument.diatonic))
            add(transpose, "chromatic", str(instrument.chromatic))
            if instrument.octave:
                add(transpose, "octave-change", str(instrument.octave))

    def _long_rest(self, index: int) -> int:
        """Number of bars of the multi-bar rest that begins here; 0 where none does."""
        bars, frames = self._part.bars, self._piece.frames

        def silent(at: int) -> bool:
            return 0 <= at < len(bars) and all(event.value == "" for event in bars[at])

        def breaks(at: int) -> bool:
            frame = frames[at]
            signs = (frame.mark, frame.new_key, frame.new_time, frame.tempo, frame.repeat)
            return any(signs) or bool(frames[at - 1].line)

        if not silent(index) or (silent(index - 1) and not breaks(index)):
            return 0
        end = index + 1
        while silent(end) and not breaks(end):
            end += 1
        return end - index if end - index > 1 else 0

    def _signs(self, measure: Element, frame: Frame) -> None:
        if frame.mark and self._marks:
            kind = _direction_type(measure, "above")
            add(kind, "rehearsal", frame.mark, enclosure="square")
        if frame.segno:
            direction = add(measure, "direction", placement="above")
            add(add(direction, "direction-type"), "segno")
            add(direction, "sound", segno="1")
        if frame.tempo:
            _tempo(measure, frame.tempo, frame.swing)

    def _chord(self, measure: Element, chord: Chord, now: Fraction) -> None:
        kind = KINDS[chord.suffix]
        harmony = add(measure, "harmony", placement="above")
        self._root(harmony, "root", chord.root)
        add(harmony, "kind", kind.name, text=kind.text)
        if chord.bass:
            self._root(harmony, "bass", chord.bass)
        if kind.flat_ninth:
            degree = add(harmony, "degree")
            add(degree, "degree-value", "9")
            add(degree, "degree-alter", "-1")
            add(degree, "degree-type", "add")
        if chord.start != now:
            add(harmony, "offset", str((chord.start - now) * self._divisions))

    def _root(self, harmony: Element, name: str, text: str) -> None:
        pitch = self._part.instrument.written(Pitch.parse(f"{text}4"))
        element = add(harmony, name)
        add(element, f"{name}-step", pitch.step)
        if pitch.alter:
            add(element, f"{name}-alter", str(pitch.alter))


def _direction_type(measure: Element, placement: str) -> Element:
    return add(add(measure, "direction", placement=placement), "direction-type")


def _direction(measure: Element, direction: Direction) -> None:
    if direction.kind == "dynamic":
        add(add(_direction_type(measure, "below"), "dynamics"), direction.text)
    elif direction.kind == "wedge":
        add(_direction_type(measure, "below"), "wedge", type=direction.text)
    else:
        add(_direction_type(measure, "above"), "words", direction.text)


def _tempo(measure: Element, tempo: Tempo, swing: bool) -> None:
    direction = add(measure, "direction", placement="above", directive="yes")
    if tempo.words:
        words = add(add(direction, "direction-type"), "words", tempo.words)
        words.set("font-weight", "bold")
    sound = etree.Element("sound")
    if tempo.number:
        metronome = add(add(direction, "direction-type"), "metronome", parentheses="no")
        add(metronome, "beat-unit", VALUES[tempo.value][0])
        for _ in range(tempo.dots):
            add(metronome, "beat-unit-dot")
        add(metronome, "per-minute", str(tempo.number))
        quarters = VALUES[tempo.value][1] * (2 - Fraction(1, 2**tempo.dots)) * tempo.number
        sound.set("tempo", f"{float(quarters):g}")
    if swing:
        kind = add(sound, "swing")
        add(kind, "first", "2")
        add(kind, "second", "1")
        add(kind, "swing-type", "eighth")
    if tempo.number or swing:
        direction.append(sound)


def _navigation(measure: Element, words: str) -> None:
    direction = add(measure, "direction", placement="above")
    add(add(direction, "direction-type"), "words", words)
    if words == "Fine":
        add(direction, "sound", fine="yes")
    elif words.startswith("D.S."):
        add(direction, "sound", dalsegno="1")


def _left_line(measure: Element, frame: Frame, before: Frame | None) -> None:
    opens = frame.ending and (before is None or before.ending != frame.ending)
    if not (opens or frame.repeat):
        return
    line = add(measure, "barline", location="left")
    if frame.repeat:
        add(line, "bar-style", "heavy-light")
    if opens:
        add(line, "ending", f"{frame.ending}.", number=frame.ending, type="start")
    if frame.repeat:
        add(line, "repeat", direction="forward")


def _right_line(measure: Element, frame: Frame, after: Frame | None) -> None:
    closes = frame.ending and (after is None or after.ending != frame.ending)
    style = "light-heavy" if frame.end_repeat else frame.line
    if not (closes or style):
        return
    line = add(measure, "barline", location="right")
    if style:
        add(line, "bar-style", style)
    if closes:
        kind = "stop" if frame.end_repeat else "discontinue"
        add(line, "ending", number=frame.ending, type=kind)
    if frame.end_repeat:
        add(line, "repeat", direction="backward")
