"""All drills of some sheets, one after another, as one MusicXML document.

Conventions.  The drills follow each other in one part, in written pitch, each
in its own bars: the label stands over its first bar, the heading of its group
and the spot over the first of those, and a repeat sign or a double bar line
closes it.  Bars are numbered through the document.  A sheet begins a page, a
group begins a system.  Where sheets are for different players the part is
named after all of them and every note names its instrument.  ``divisions`` is
the least number that makes every length of the document whole.

The same sheets give the same bytes: the document carries no date.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from typing import Final

from lxml import etree

from drills.instruments.general_midi import DRUM_CHANNEL, drum_name, drum_of, program_of
from drills.music.pitch import Tone, Unpitched
from drills.music.score import Bar, TempoMark
from drills.music.time import START
from drills.output.musicxml.elements import add
from drills.output.musicxml.measures import InForce, add_attributes, add_music, notes_of
from drills.output.musicxml.notes import Pen, slur_numbers
from drills.output.musicxml.signs import add_tempo, add_words, signs_of
from drills.sheets.drill import Drill
from drills.sheets.sheet import Sheet

SOFTWARE: Final = "drills"
PART_ID: Final = "P1"


def musicxml_bytes(sheets: Sequence[Sheet], mark: str = "") -> bytes:
    """The drills of ``sheets`` in order as a MusicXML 4.0 document in UTF-8.

    ``mark`` tells which input it was made from; it stands in a
    ``miscellaneous-field`` named "drills".
    """
    root = etree.Element("score-partwise", version="4.0")
    _add_header(root, sheets, mark)
    bars = [bar for sheet in sheets for drill in _drills(sheet) for bar in drill.bars]
    name = ", ".join(_each_once(sheet.part for sheet in sheets))
    instruments = add_part_list(root, name, bars)
    part = add(root, "part", id=PART_ID)
    writer = _Writer(part, divisions_of(bars), instruments)
    for sheet in sheets:
        writer.write_sheet(sheet)
    if not bars:
        _add_empty_measure(part)
    return document_bytes(root)


def document_bytes(root: etree._Element) -> bytes:
    """A whole document in UTF-8, with the public identifier of the standard."""
    return etree.tostring(
        root,
        xml_declaration=True,
        encoding="UTF-8",
        pretty_print=True,
        doctype='<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
        '"http://www.musicxml.org/dtds/partwise.dtd">',
    )


class _Writer:
    """Writes measures and remembers what is in force."""

    def __init__(self, part: etree._Element, divisions: int, instruments: dict[str, str]) -> None:
        self._part = part
        self._divisions = divisions
        self._instruments = instruments
        self._before = InForce()
        self._count = 0

    def write_sheet(self, sheet: Sheet) -> None:
        """The drills of one sheet; the first carries the spot and the ladder's first number."""
        first = True
        for block in sheet.blocks:
            for place, drill in enumerate(block.drills):
                heading = block.title if place == 0 else ""
                last = drill is sheet.blocks[-1].drills[-1]
                self._write_drill(drill, sheet if first else None, heading, last)
                first = False

    def _write_drill(self, drill: Drill, opens: Sheet | None, heading: str, last: bool) -> None:
        slurs = slur_numbers(notes_of(drill.bars))
        pen = Pen(self._divisions, self._instruments if len(self._instruments) > 1 else {}, slurs)
        for place, bar in enumerate(drill.bars):
            measure = self._measure(bar)
            if place == 0:
                self._open(measure, drill, opens, heading)
            add_attributes(measure, bar, self._before, self._divisions)
            if place == 0:
                _add_headings(measure, drill, opens, heading)
            add_music(measure, bar, pen)
            if place == len(drill.bars) - 1:
                _close(measure, drill, last)
            self._before = InForce.after(bar, self._divisions)

    def _measure(self, bar: Bar) -> etree._Element:
        self._count += 1
        options = {} if bar.length == bar.time.bar_length else {"implicit": "yes"}
        return add(self._part, "measure", number=str(self._count), **options)

    def _open(
        self, measure: etree._Element, drill: Drill, opens: Sheet | None, heading: str
    ) -> None:
        if self._count > 1 and opens is not None:
            add(measure, "print", new_page="yes")
        elif self._count > 1 and heading:
            add(measure, "print", new_system="yes")
        if drill.repeated:
            barline = add(measure, "barline", location="left")
            add(barline, "bar-style", "heavy-light")
            add(barline, "repeat", direction="forward")


def _add_empty_measure(part: etree._Element) -> None:
    """What a document without a single drill holds: the schema asks for a measure."""
    measure = add(part, "measure", number="1")
    add(add(measure, "attributes"), "divisions", 1)
    note = add(measure, "note")
    add(note, "rest", measure="yes")
    add(note, "duration", 4)


def _add_headings(measure: etree._Element, drill: Drill, opens: Sheet | None, heading: str) -> None:
    """What comes first stands nearest to the staff: the label, then headings over it."""
    add_words(measure, drill.label)
    add_words(measure, heading, font_weight="bold")
    if opens is not None:
        add_words(measure, opens.words, font_weight="bold")
        number = opens.ladder.rungs[0] if opens.ladder.rungs else opens.tempo.number
        add_tempo(measure, TempoMark(START, opens.ladder.beat, number))


def _close(measure: etree._Element, drill: Drill, last: bool) -> None:
    barline = add(measure, "barline", location="right")
    if drill.repeated:
        add(barline, "bar-style", "light-heavy")
        add(barline, "repeat", direction="backward")
    else:
        add(barline, "bar-style", "light-heavy" if last else "light-light")


def _add_header(root: etree._Element, sheets: Sequence[Sheet], mark: str) -> None:
    titles = _each_once(sheet.credits.title for sheet in sheets)
    if titles:
        add(add(root, "work"), "work-title", ", ".join(titles))
    words = _each_once(sheet.words for sheet in sheets)
    if words:
        add(root, "movement-title", "; ".join(words))
    about = add(root, "identification")
    for composer in _each_once(sheet.credits.composer for sheet in sheets):
        add(about, "creator", composer, type="composer")
    for rights in _each_once(sheet.credits.rights for sheet in sheets):
        add(about, "rights", rights)
    encoding = add(about, "encoding")
    add(encoding, "software", SOFTWARE)
    for element in ("accidental", "beam"):
        add(encoding, "supports", element=element, type="yes")
    for attribute in ("new-page", "new-system"):
        add(encoding, "supports", element="print", attribute=attribute, type="yes", value="yes")
    if mark:
        add(add(about, "miscellaneous"), "miscellaneous-field", mark, name=SOFTWARE)


@dataclass(frozen=True, slots=True)
class _Played:
    """An instrument or a drum of the part list."""

    name: str
    drum: Unpitched | None = None


def add_part_list(root: etree._Element, name: str, bars: Sequence[Bar]) -> dict[str, str]:
    """The part with its instruments and drums; returns their ids by name."""
    part = add(add(root, "part-list"), "score-part", id=PART_ID)
    add(part, "part-name", name)
    played = _played(bars)
    ids = {one.name: f"{PART_ID}-I{place}" for place, one in enumerate(played, start=1)}
    for one in played:
        holder = add(part, "score-instrument", id=ids[one.name])
        add(holder, "instrument-name", one.name)
    for one in played:
        _add_midi(part, one, ids[one.name])
    return ids


def _played(bars: Sequence[Bar]) -> list[_Played]:
    """Every instrument that has a pitched note, and every drum, in order of appearance."""
    found: dict[str, _Played] = {}
    for bar in bars:
        for tone in _tones(bar):
            drum = tone if isinstance(tone, Unpitched) else None
            name = drum_name(drum) if drum else bar.instrument.name
            found.setdefault(name, _Played(name, drum))
    return list(found.values())


def _add_midi(part: etree._Element, one: _Played, id_: str) -> None:
    program = program_of(one.name)
    if one.drum is None and program is None:
        return
    made = add(part, "midi-instrument", id=id_)
    if one.drum is not None:
        add(made, "midi-channel", DRUM_CHANNEL + 1)
        add(made, "midi-unpitched", drum_of(one.drum) + 1)
    elif program is not None:
        add(made, "midi-channel", 1)
        add(made, "midi-program", program + 1)


def _tones(bar: Bar) -> Iterable[Tone]:
    for note in notes_of([bar]):
        for grace in (*note.graces, *note.graces_after):
            yield from grace.tones
        yield from note.tones


def divisions_of(bars: Sequence[Bar]) -> int:
    """The least divisions of a quarter that make every length and place whole."""
    times: set[Fraction] = set()
    for bar in bars:
        times.add(bar.length.quarters)
        times.update(sign.start.quarters for sign in signs_of(bar))
        for voice in bar.voices:
            for event in voice.events:
                times.update((event.start.quarters, event.length.quarters))
    return lcm(1, *(time.denominator for time in times))


def _drills(sheet: Sheet) -> Iterable[Drill]:
    return (drill for block in sheet.blocks for drill in block.drills)


def _each_once(texts: Iterable[str]) -> list[str]:
    """Texts in order, without repeats and without empty ones."""
    return list(dict.fromkeys(text for text in texts if text))
