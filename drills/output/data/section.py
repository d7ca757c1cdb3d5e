"""A section in a spot as data: its players, and who sounds what from attack to attack."""

from __future__ import annotations

from drills.harmony.chord import Harmony
from drills.music.pitch import Pitch
from drills.music.time import Position
from drills.output.data.harmony import chord_data, function_data
from drills.output.data.music import instrument_data, number
from drills.output.data.text import SCHEMA, Data, exact, without_empty
from drills.section.players import Player, Section, Slice, SliceNote

CENTS_DIGITS = 3
"""Decimals of a tuning offset."""


def section_data(section: Section) -> Data:
    """The section, in the form of docs/schema/section.json."""
    return {
        "schema": SCHEMA,
        "title": section.credits.title,
        "composer": section.credits.composer,
        "rights": section.credits.rights,
        "source": section.source,
        "asked": section.asked,
        "words": section.words,
        "tempo": {
            "number": exact(section.tempo.number),
            "beat": exact(section.tempo.beat.quarters),
            "source": section.tempo.source,
        },
        "players": [_player_data(player) for player in section.players],
        "slices": [_slice_data(one) for one in section.slices],
        "cautions": list(section.cautions),
        "remarks": list(section.remarks),
    }


def _player_data(player: Player) -> Data:
    return {
        "part": player.part.name,
        "instrument": instrument_data(player.part.instrument),
        "asked": None if player.span is None else player.span.asked,
        "words": None if player.span is None else player.span.words,
        "silence": player.silence,
        "doublings": list(player.doublings),
    }


def _slice_data(one: Slice) -> Data:
    return {
        "start": exact(one.start),
        "length": exact(one.end - one.start),
        "bar": one.bar,
        "beat": one.beat,
        "chord": None if one.harmony is None else _harmony_data(one.harmony),
        "notes": [_note_data(note) for note in one.notes],
    }


def _harmony_data(harmony: Harmony) -> Data:
    """The chord, and from where to where it sounds."""
    lasts = Position(harmony.end) - Position(harmony.start)
    return {
        **chord_data(harmony.chord),
        "start": exact(harmony.start),
        "length": exact(lasts.quarters),
    }


def _note_data(note: SliceNote) -> Data:
    """One tone, and what it does in the chord."""
    return {
        "player": note.part,
        **_tone_data(note),
        "begins": note.begins,
        "function": None if note.function is None else function_data(note.function),
        "cents": None if note.cents is None else round(note.cents, CENTS_DIGITS),
    }


def _tone_data(note: SliceNote) -> Data:
    """As written and as it sounds; of a note without pitch where its head stands."""
    written = note.written
    if isinstance(written, Pitch):
        sounding = note.sounding or written
        return {
            "written": str(written),
            "written_midi": number(written.midi),
            "sounding": str(sounding),
            "midi": number(sounding.midi),
        }
    head = f"{written.step}{written.octave}"
    return {"head": head, **without_empty({"drum": written.instrument})}
