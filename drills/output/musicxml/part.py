"""A whole part as a MusicXML document: for a screen that engraves it, and to go on working with.

Conventions.  Written pitch, all voices, the printed bar numbers, marks, tempos, words and
repeats.  Every bar and every note has an id (measures.py) by which a program that draws the
music can say which was pointed at: ``b32`` is the bar of index 32, ``n32-0-5`` the sixth event
of its first voice.
"""

from __future__ import annotations

from lxml import etree

from drills.music.score import Bar, Part
from drills.output.musicxml.document import (
    PART_ID,
    SOFTWARE,
    add_part_list,
    divisions_of,
    document_bytes,
)
from drills.output.musicxml.elements import add
from drills.output.musicxml.measures import InForce, add_attributes, add_music, bar_id, notes_of
from drills.output.musicxml.notes import Pen, slur_numbers


def part_bytes(part: Part) -> bytes:
    """The part as a MusicXML 4.0 document in UTF-8; the same part gives the same bytes."""
    root = etree.Element("score-partwise", version="4.0")
    _add_about(root, part)
    instruments = add_part_list(root, part.name, part.bars)
    made = add(root, "part", id=PART_ID)
    pen = Pen(
        divisions_of(part.bars),
        instruments,
        slur_numbers(notes_of(part.bars)),
        named=True,
    )
    before = InForce()
    for place, bar in enumerate(part.bars):
        after = part.bars[place + 1] if place + 1 < len(part.bars) else None
        _add_bar(made, bar, (part.bars[place - 1] if place else None, after), before, pen)
        before = InForce.after(bar, pen.divisions)
    return document_bytes(root)


def _add_about(root: etree._Element, part: Part) -> None:
    if part.credits.title:
        add(add(root, "work"), "work-title", part.credits.title)
    about = add(root, "identification")
    if part.credits.composer:
        add(about, "creator", part.credits.composer, type="composer")
    if part.credits.rights:
        add(about, "rights", part.credits.rights)
    add(add(about, "encoding"), "software", SOFTWARE)


def _add_bar(
    made: etree._Element,
    bar: Bar,
    around: tuple[Bar | None, Bar | None],
    before: InForce,
    pen: Pen,
) -> None:
    """One bar between its neighbours, with what begins and ends at its lines."""
    whole = bar.length == bar.time.bar_length
    options = {} if whole and bar.number else {"implicit": "yes"}
    measure = add(made, "measure", number=bar.number, **options)
    measure.set("id", bar_id(bar))
    previous, following = around
    starts = bar.ending and (previous is None or previous.ending != bar.ending)
    if bar.starts_repeat or starts:
        _add_line(measure, "left", bar.ending if starts else "", "start", repeat=bar.starts_repeat)
    add_attributes(measure, bar, before, pen.divisions)
    add_music(measure, bar, pen)
    stops = bar.ending and (following is None or following.ending != bar.ending)
    if bar.ends_repeat or bar.final or stops:
        line = _add_line(
            measure, "right", bar.ending if stops else "", "stop", repeat=False, final=bar.final
        )
        if bar.ends_repeat:
            times = {"times": str(bar.ends_repeat)} if bar.ends_repeat > 2 else {}
            add(line, "repeat", direction="backward", **times)


def _add_line(
    measure: etree._Element, side: str, ending: str, kind: str, *, repeat: bool, final: bool = False
) -> etree._Element:
    line = add(measure, "barline", location=side)
    if repeat or final:
        add(line, "bar-style", "heavy-light" if repeat else "light-heavy")
    if ending:
        numbers = ",".join(ending.replace(",", " ").split())
        add(line, "ending", number=numbers, type=kind)
    if repeat:
        add(line, "repeat", direction="forward")
    return line
