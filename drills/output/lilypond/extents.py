"""How far music reaches over and under its staff, estimated from heads, stems and signs.

All figures are staff spaces, counted from the middle line; they were measured on
LilyPond's own pages.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from drills.music.notes import Beam, Event, Note
from drills.music.score import Bar, Clef
from drills.notation.measured import measured_once

STAFF: Final = 2.0
"""Staff spaces from the middle line to the outer ones."""
CLEF_FOOT: Final = 3.3
STEM: Final = 3.5
BEAM: Final = 2.9
HEAD_HALF: Final = 0.2
LEDGER: Final = 1.0
SIGN: Final = 1.2
LOWEST_NUMBER: Final = 4.4
"""A bar number over the middle line at least: over the clef."""
NUMBER_PADDING: Final = 0.6
ARC: Final = 0.8
"""A slur or tie over a note."""
_MIDDLE_LINE: Final = {"G": 34, "F": 22, "C": 28, "percussion": 34}
"""The diatonic number of the middle line under each sign on its usual line."""
_USUAL_LINE: Final = {"G": 2, "F": 4, "C": 3}


def number_level(bars: Sequence[Bar]) -> float:
    """How high over the middle line the bar numbers of an excerpt stand, in staff spaces.

    Over the clef, and over the notes on either side of every bar line.
    """
    level = LOWEST_NUMBER
    for bar in bars:
        for voice in bar.voices[:1]:
            groups = list(_beam_groups(voice.events))
            for notes in (*groups[:1], *groups[-1:]):
                over = _reach(notes, bar.clef)[0] + NUMBER_PADDING
                level = max(level, over + ARC * any(_has_arc(note) for note in notes))
    return level


def _has_arc(note: Note) -> bool:
    """True where a slur or tie begins or ends."""
    return bool(note.slur_starts or note.slur_stops or note.tie_start or note.tie_stop)


def extent(bars: Iterable[Bar]) -> tuple[float, float]:
    """How far the music reaches over and under the middle line, in staff spaces."""
    above, below = STAFF + 0.5, CLEF_FOOT
    for bar in bars:
        for voice in bar.voices[:1]:
            for notes in _beam_groups(voice.events):
                high, low = _reach(notes, bar.clef)
                above, below = max(above, high), max(below, low)
    return above, below


drill_extent = measured_once(extent)
"""The same of the bars of a drill, kept."""


def _beam_groups(events: Iterable[Event]) -> Iterator[list[Note]]:
    """Notes under one beam together, any other note alone."""
    group: list[Note] = []
    for event in events:
        if isinstance(event, Note) and not event.hidden:
            group.append(event)
            if event.beam not in (Beam.START, Beam.CONTINUE):
                yield group
                group = []
    if group:
        yield group


def _reach(notes: Sequence[Note], clef: Clef) -> tuple[float, float]:
    """Reach over and under the middle line of notes under one beam.

    The note farthest from the middle line decides where the stems go; the
    signs stand on the other side, a tuplet's number on the side of the stems.
    """
    places = [place for note in notes for place in _places(note, clef)]
    high, low = max(places), min(places)
    stem = STEM if len(notes) == 1 else BEAM
    signs = SIGN * any(note.articulations for note in notes)
    number = SIGN * any(note.tuplets for note in notes)
    if high + low < 0:
        return max(high + stem, 0.0) + number, LEDGER + signs - low
    return high + HEAD_HALF + signs, max(stem - low, 0.0) + number


def _places(note: Note, clef: Clef) -> list[float]:
    """Staff spaces from the middle line to each head, up counted positive."""
    usual = _USUAL_LINE.get(clef.sign, clef.line)
    octaves = clef.octave_change + note.octave_line
    middle = _MIDDLE_LINE.get(clef.sign, 34) - 2 * (clef.line - usual) + 7 * octaves
    return [(tone.diatonic - middle) / 2 for tone in note.tones]
