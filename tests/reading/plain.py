"""A reader of a few lines, for comparison: what the XML says, and nothing more.

It knows divisions, durations, backup and forward, and takes every length as the
file counts it.  It shares no line with the project's own reader.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from lxml import etree


@dataclass(frozen=True, slots=True)
class PlainNote:
    """One printed note head."""

    bar: int
    start: Fraction
    pitch: str
    length: Fraction
    attack: bool


def root_of(path: Path) -> etree._Element:
    """The root of an .xml or .mxl file that is known to be sound."""
    if not zipfile.is_zipfile(path):
        return etree.parse(path).getroot()
    with zipfile.ZipFile(path) as archive:
        name = next(
            name
            for name in archive.namelist()
            if name.endswith((".xml", ".musicxml")) and not name.startswith("META-INF")
        )
        return etree.fromstring(archive.read(name))


def plain_notes(path: Path) -> dict[tuple[int, int], list[PlainNote]]:
    """The printed notes of every staff, by index of the part and number of the staff."""
    found: dict[tuple[int, int], list[PlainNote]] = {}
    for index, part in enumerate(root_of(path).iterfind("part")):
        for staff, note in _notes_of(part):
            found.setdefault((index, staff), []).append(note)
    return found


def _notes_of(part: etree._Element) -> Iterator[tuple[int, PlainNote]]:
    divisions = Fraction(1)
    for bar, measure in enumerate(part.iterfind("measure")):
        now = Fraction(0)
        chord: list[etree._Element] = []
        for child in measure:
            begins = child.tag in ("backup", "forward", "attributes") or (
                child.tag == "note" and child.find("chord") is None
            )
            if begins and chord:
                yield from _chord(chord, bar, now, divisions)
                now += _duration(chord[0], divisions)
                chord = []
            divisions = Fraction(child.findtext("divisions") or divisions)
            if child.tag == "note":
                chord.append(child)
            elif child.tag in ("backup", "forward"):
                length = _duration(child, divisions)
                now = max(Fraction(0), now + (length if child.tag == "forward" else -length))
        if chord:
            yield from _chord(chord, bar, now, divisions)


def _duration(element: etree._Element, divisions: Fraction) -> Fraction:
    return Fraction(element.findtext("duration") or 0) / divisions


def _chord(
    notes: list[etree._Element], bar: int, start: Fraction, divisions: Fraction
) -> Iterator[tuple[int, PlainNote]]:
    """The heads of a note or chord; it is struck unless all its heads are tied from before."""
    heads = [
        note
        for note in notes
        if note.find("rest") is None
        and note.find("grace") is None
        and note.get("print-object") != "no"
    ]
    for staff in sorted({int(note.findtext("staff") or 1) for note in heads}):
        here = [note for note in heads if int(note.findtext("staff") or 1) == staff]
        struck = here[0].find("cue") is None and not all(_is_tied(note) for note in here)
        length = _duration(notes[0], divisions)
        for note in here:
            yield staff, PlainNote(bar, start, _pitch(note), length, struck)


def _is_tied(note: etree._Element) -> bool:
    ends = [*note.iterfind("tie"), *note.iterfind("notations/tied")]
    return any(end.get("type") in ("stop", "continue") for end in ends)


def _pitch(note: etree._Element) -> str:
    alter = float(note.findtext("pitch/alter") or 0)
    step = note.findtext("pitch/step") or note.findtext("unpitched/display-step") or "B"
    octave = note.findtext("pitch/octave") or note.findtext("unpitched/display-octave") or "4"
    return f"{step.strip()}{octave.strip()} {alter:g}"
