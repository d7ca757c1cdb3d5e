"""Bars that a reader of this package made, as a MusicXML document.

Conventions.  Each sign has its printed value, and a duration in divisions that measure
every length of the document exactly; what a bar does not say (key, metre, clef) is as in
the bar before.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from lxml import etree

from drills.music.pitch import CONCERT, KeySignature, Pitch, Tone, Transposition, Unpitched
from drills.music.score import TREBLE, Clef
from drills.music.time import NoteValue, TimeSignature, Tuplet


@dataclass(frozen=True, slots=True)
class Sign:
    """A note, a chord or (without tones) a rest, with all that is printed with it."""

    value: NoteValue
    tones: tuple[Tone, ...] = ()
    tuplet: Tuplet | None = None
    tie_start: bool = False
    tie_stop: bool = False
    slur_starts: int = 0
    slur_stops: int = 0
    articulations: tuple[str, ...] = ()
    """MusicXML names, such as "staccato"."""

    @property
    def length(self) -> Fraction:
        """In quarters."""
        plain = self.value.length.quarters
        return plain if self.tuplet is None else plain * self.tuplet.factor


@dataclass(frozen=True, slots=True)
class MadeBar:
    """One bar of a part that was made."""

    signs: tuple[Sign, ...]
    number: str
    time: TimeSignature | None = None
    """Where it changes, and in the first bar."""
    key: KeySignature | None = None
    mark: str = ""
    tempo: Fraction | None = None
    """Quarters a minute, from its first beat."""
    implicit: bool = False
    """A pickup, which is not counted."""
    final: bool = False


@dataclass(frozen=True, slots=True)
class MadePart:
    """One part that was made."""

    name: str
    bars: tuple[MadeBar, ...]
    clef: Clef = TREBLE
    transposition: Transposition = CONCERT
    program: int = 0
    """General MIDI program from 1; 0 where none is known."""
    drums: bool = False
    instrument: str = ""
    """What it is played on, where the name of the part does not say it."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands over the score."""

    title: str = ""
    composer: str = ""


def score_bytes(parts: Sequence[MadePart], heading: Heading = Heading()) -> bytes:
    """The document, in UTF-8; the same parts give the same bytes."""
    heading = heading or Heading()
    root = etree.Element("score-partwise", version="4.0")
    if heading.title:
        _add(_add(root, "work"), "work-title", heading.title)
    if heading.composer:
        about = _add(root, "identification")
        _add(about, "creator", heading.composer, type="composer")
    listed = _add(root, "part-list")
    for number, part in enumerate(parts, start=1):
        _add_entry(listed, part, f"P{number}")
    for number, part in enumerate(parts, start=1):
        _add_part(_add(root, "part", id=f"P{number}"), part)
    return etree.tostring(root, encoding="UTF-8", xml_declaration=True)


def _add_entry(listed: etree._Element, part: MadePart, identifier: str) -> None:
    entry = _add(listed, "score-part", id=identifier)
    _add(entry, "part-name", part.name)
    if part.drums:
        for name, number in _drums(part).items():
            player = _add(entry, "score-instrument", id=f"{identifier}-I{number}")
            _add(player, "instrument-name", name or part.name)
        for number in _drums(part).values():
            midi = _add(entry, "midi-instrument", id=f"{identifier}-I{number}")
            _add(midi, "midi-channel", "10")
    elif part.program or part.instrument:
        player = _add(entry, "score-instrument", id=f"{identifier}-I1")
        _add(player, "instrument-name", part.instrument or part.name)
    if part.program and not part.drums:
        midi = _add(entry, "midi-instrument", id=f"{identifier}-I1")
        _add(midi, "midi-program", str(part.program))


def _drums(part: MadePart) -> dict[str, int]:
    """The drums of a part by name, numbered from 1."""
    tones = (tone for bar in part.bars for sign in bar.signs for tone in sign.tones)
    names = sorted({tone.instrument for tone in tones if isinstance(tone, Unpitched)})
    return {name: number for number, name in enumerate(names, start=1)}


def _add_part(made: etree._Element, part: MadePart) -> None:
    identifier = made.get("id") or ""
    drums = {name: f"{identifier}-I{number}" for name, number in _drums(part).items()}
    lengths = [sign.length.denominator for bar in part.bars for sign in bar.signs]
    divisions = math.lcm(1, *lengths)
    slurs = _Slurs()
    for place, bar in enumerate(part.bars):
        measure = _add(made, "measure", number=bar.number)
        if bar.implicit:
            measure.set("implicit", "yes")
        attributes = etree.Element("attributes")
        if not place:
            _add(attributes, "divisions", str(divisions))
        if bar.key is not None:
            key = _add(attributes, "key")
            _add(key, "fifths", str(bar.key.fifths))
            if bar.key.mode:
                _add(key, "mode", bar.key.mode)
        if bar.time is not None:
            time = _add(attributes, "time")
            _add(time, "beats", "+".join(map(str, bar.time.counts)))
            _add(time, "beat-type", str(bar.time.unit))
        if not place:
            _add_clef(attributes, part)
        if len(attributes):
            measure.append(attributes)
        _add_directions(measure, bar)
        for sign in bar.signs:
            _add_sign(measure, sign, divisions, slurs, drums)
        if bar.final:
            _add(_add(measure, "barline", location="right"), "bar-style", "light-heavy")


def _add_clef(attributes: etree._Element, part: MadePart) -> None:
    clef = _add(attributes, "clef")
    _add(clef, "sign", part.clef.sign)
    if part.clef.sign != "percussion":
        _add(clef, "line", str(part.clef.line))
    if part.clef.octave_change:
        _add(clef, "clef-octave-change", str(part.clef.octave_change))
    if part.transposition != CONCERT:
        moved = _add(attributes, "transpose")
        _add(moved, "diatonic", str(part.transposition.diatonic))
        _add(moved, "chromatic", str(part.transposition.chromatic))


def _add_directions(measure: etree._Element, bar: MadeBar) -> None:
    if bar.mark:
        direction = _add(measure, "direction", placement="above")
        _add(_add(direction, "direction-type"), "rehearsal", bar.mark)
    if bar.tempo is not None:
        direction = _add(measure, "direction", placement="above")
        metronome = _add(_add(direction, "direction-type"), "metronome")
        _add(metronome, "beat-unit", "quarter")
        _add(metronome, "per-minute", f"{float(bar.tempo):.6g}")


class _Slurs:
    """Numbers of the slurs that are open, 1 and up as MusicXML wants them."""

    def __init__(self) -> None:
        self._open: list[int] = []

    def starts(self) -> int:
        number = next(n for n in range(1, len(self._open) + 2) if n not in self._open)
        self._open.append(number)
        return number

    def stops(self) -> int:
        return self._open.pop() if self._open else 1


def _add_sign(
    measure: etree._Element,
    sign: Sign,
    divisions: int,
    slurs: _Slurs,
    drums: Mapping[str, str],
) -> None:
    for place, tone in enumerate(sign.tones or (None,)):
        note = _add(measure, "note")
        if place:
            _add(note, "chord")
        _add_tone(note, tone)
        _add(note, "duration", str(sign.length * divisions))
        if tone is not None:
            for kind in _kinds(sign):
                _add(note, "tie", type=kind)
        if isinstance(tone, Unpitched):
            _add(note, "instrument", id=drums[tone.instrument])
        _add(note, "voice", "1")
        _add(note, "type", sign.value.kind)
        for _ in range(sign.value.dots):
            _add(note, "dot")
        if sign.tuplet is not None:
            change = _add(note, "time-modification")
            _add(change, "actual-notes", str(sign.tuplet.actual))
            _add(change, "normal-notes", str(sign.tuplet.normal))
        if tone is not None:
            _add_notations(note, sign, slurs if not place else None)


def _kinds(sign: Sign) -> Iterable[str]:
    return (*(("stop",) if sign.tie_stop else ()), *(("start",) if sign.tie_start else ()))


def _add_tone(note: etree._Element, tone: Tone | None) -> None:
    if tone is None:
        _add(note, "rest")
    elif isinstance(tone, Unpitched):
        head = _add(note, "unpitched")
        _add(head, "display-step", tone.step)
        _add(head, "display-octave", str(tone.octave))
    elif isinstance(tone, Pitch):
        pitch = _add(note, "pitch")
        _add(pitch, "step", tone.step)
        if tone.alter:
            _add(pitch, "alter", f"{float(tone.alter):g}")
        _add(pitch, "octave", str(tone.octave))


def _add_notations(note: etree._Element, sign: Sign, slurs: _Slurs | None) -> None:
    notations = etree.Element("notations")
    for kind in _kinds(sign):
        _add(notations, "tied", type=kind)
    if slurs is not None:
        for _ in range(sign.slur_stops):
            _add(notations, "slur", type="stop", number=str(slurs.stops()))
        for _ in range(sign.slur_starts):
            _add(notations, "slur", type="start", number=str(slurs.starts()))
        if sign.articulations:
            home = _add(notations, "articulations")
            for name in sign.articulations:
                _add(home, name)
    if len(notations):
        note.append(notations)


_PRINTABLE: Final = str.maketrans(dict.fromkeys([*range(9), 11, 12, *range(14, 32)], " "))


def _add(parent: etree._Element, tag: str, text: str = "", **attributes: str) -> etree._Element:
    element = etree.SubElement(parent, tag, attributes)
    if text:
        element.text = text.translate(_PRINTABLE)
    return element
