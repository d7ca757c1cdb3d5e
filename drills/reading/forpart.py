"""A player's part out of a score at concert pitch.

``<for-part>`` (MusicXML 4.0) says how the part that is made from a concert score is
transposed, and in which clef it is written; the notes themselves are those that
sound.  Here they become those that the player reads.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from lxml import etree

from drills.music.notes import Grace, Note, Voice
from drills.music.pitch import CONCERT, KeySignature, Pitch, Tone, Transposition
from drills.music.score import Bar, Clef, Instrument
from drills.reading.attributes import read_clef, read_transposition
from drills.reading.chords import moved

_MOST_SIGNS: Final = 7


def read_for_part(element: etree._Element) -> tuple[Transposition | None, Clef | None]:
    """The transposition and the clef of a ``<for-part>``."""
    transpose, clef = element.find("part-transpose"), element.find("part-clef")
    return (
        None if transpose is None else read_transposition(transpose),
        None if clef is None else read_clef(clef),
    )


def written_for(bar: Bar, player: Transposition, clef: Clef | None, by: Instrument) -> Bar:
    """A bar of sounding notes as a player of that transposition reads it.

    Where its key would have more than seven signs, all is written enharmonically.
    """
    way = _way_to(bar.key, player)
    return replace(
        bar,
        key=way.sounding_key(bar.key),
        key_changes=tuple((at, way.sounding_key(key)) for at, key in bar.key_changes),
        clef=clef or bar.clef,
        clef_changes=() if clef else bar.clef_changes,
        instrument=by,
        voices=tuple(_voice(voice, way) for voice in bar.voices),
        chords=tuple(moved(symbol, CONCERT, CONCERT - way) for symbol in bar.chords),
    )


def _way_to(key: KeySignature, player: Transposition) -> Transposition:
    """From sounding to written, with few signs."""
    plain = CONCERT - player
    ways = [Transposition(plain.diatonic + step, plain.chromatic) for step in (0, 1, -1)]
    fitting = (way for way in ways if abs(way.sounding_key(key).fifths) <= _MOST_SIGNS)
    return next(fitting, plain)


def _voice(voice: Voice, way: Transposition) -> Voice:
    events = tuple(
        _note(event, way) if isinstance(event, Note) else event for event in voice.events
    )
    return Voice(voice.name, events)


def _note(note: Note, way: Transposition) -> Note:
    def graces(found: tuple[Grace, ...]) -> tuple[Grace, ...]:
        return tuple(replace(grace, tones=_tones(grace.tones, way)) for grace in found)

    return replace(
        note,
        tones=_tones(note.tones, way),
        graces=graces(note.graces),
        graces_after=graces(note.graces_after),
    )


def _tones(tones: tuple[Tone, ...], way: Transposition) -> tuple[Tone, ...]:
    return tuple(way.sounding(tone) if isinstance(tone, Pitch) else tone for tone in tones)
