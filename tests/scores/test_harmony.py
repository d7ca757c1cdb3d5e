"""Musically sane: notes fit the chord symbols, nothing grates, pieces close in their key."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from music21 import interval

from tests.scores.heard import NAMES, Beat, Tone, parsed, sounding, strong_beats

FITTING = 0.99
"""Share of the notes on strong beats that must belong to the chord; measured: march 0.997,
air 1, swing 1."""

FREE = {("march", 44, 2, 72)}
"""Score, bar, beat and MIDI number of strong notes outside the chord, each with its reason:
an appoggiatura on the ninth of B flat minor that steps down to its root."""


def _fits(beat: Beat, tone: Tone) -> bool:
    return tone.midi % 12 in beat.chord_tones


@pytest.mark.parametrize("name", NAMES)
def test_strong_notes_belong_to_the_chord(name: str) -> None:
    heard = [(beat, tone) for beat in strong_beats(name) for tone in beat.tones]
    fitting = [tone for beat, tone in heard if _fits(beat, tone)]
    assert len(heard) > 150
    assert len(fitting) / len(heard) >= FITTING
    strangers = {
        (name, beat.bar, beat.number, tone.midi) for beat, tone in heard if not _fits(beat, tone)
    }
    assert strangers == {entry for entry in FREE if entry[0] == name}


@pytest.mark.parametrize("name", NAMES)
def test_no_unexplained_semitone_or_tritone_on_a_strong_beat(name: str) -> None:
    for beat in strong_beats(name):
        for one, other in combinations(beat.tones, 2):
            apart = (one.midi - other.midi) % 12
            if apart in (1, 6, 11):
                assert _fits(beat, one), f"{beat}: {one} against {other}"
                assert _fits(beat, other), f"{beat}: {one} against {other}"


@pytest.mark.parametrize("name", NAMES)
def test_full_beats_sound_more_than_one_pitch(name: str) -> None:
    for beat in strong_beats(name):
        if len(beat.tones) >= 4:
            assert len({tone.midi % 12 for tone in beat.tones}) > 1, str(beat)


@pytest.mark.parametrize("name", ["air", "swing"])
def test_each_part_prints_the_same_chords(name: str) -> None:
    """At sounding pitch every part's chord symbols are those of the first part."""
    found = [
        [
            (symbol.offset, tuple(p.pitchClass for p in symbol.pitches))
            for symbol in part.flatten().getElementsByClass("ChordSymbol")
        ]
        for part in sounding(name).parts
    ]
    assert len(found[0]) > 20
    assert all(symbols == found[0] for symbols in found)


def test_the_march_prints_chords_in_its_first_part_only() -> None:
    counts = [
        len(part.flatten().getElementsByClass("ChordSymbol")) for part in parsed("march").parts
    ]
    assert counts[0] > 50
    assert counts[1:] == [0, 0, 0]


@pytest.mark.parametrize("name", NAMES)
def test_all_parts_sound_in_one_key(name: str) -> None:
    keys = [
        [
            (key.getContextByClass("Measure").number, key.sharps)
            for key in part.recurse().getElementsByClass("KeySignature")
        ]
        for part in sounding(name).parts
    ]
    assert all(part == keys[0] for part in keys)


KEYS = {"march": [(0, -3), (38, -4)], "air": [(0, -1)], "swing": [(0, -2)]}
"""Bar and number of sharps (flats are negative): E flat, then A flat for the trio; F; B flat."""


@pytest.mark.parametrize("name", NAMES)
def test_the_concert_key_is_the_one_meant(name: str) -> None:
    first = sounding(name).parts[0]
    keys = [
        (key.getContextByClass("Measure").number, key.sharps)
        for key in first.recurse().getElementsByClass("KeySignature")
    ]
    assert keys == KEYS[name]


ENDS = {
    ("march", 37): ("E-", "B-7"),
    ("march", 58): ("A-", "E-7"),
    ("air", 28): ("F", "B-m/D-"),
    ("swing", 34): ("B-6", "E-7"),
}
"""The last bar of a piece or strain: its chord and the one before (a dominant; in the air and
the swung number the subdominant side)."""


@pytest.mark.parametrize(("name", "bar"), ENDS)
def test_pieces_close_on_their_own_chord(name: str, bar: int) -> None:
    symbols = list(sounding(name).parts[0].flatten().getElementsByClass("ChordSymbol"))
    figures = [symbol.figure for symbol in symbols if symbol.measureNumber <= bar]
    before = [figure for figure in figures if figure != figures[-1]]
    assert (figures[-1], before[-1]) == ENDS[name, bar]
    root = next(s.root() for s in reversed(symbols) if s.measureNumber <= bar)
    bass = list(sounding(name).parts[-1].measure(bar).notes)
    assert bass[-1].pitch.pitchClass == root.pitchClass


@pytest.mark.parametrize("name", NAMES)
def test_melodies_sing(name: str) -> None:
    """In the lead clarinet most moves are of a fourth or less; none is beyond a twelfth."""
    lead = sounding(name).parts[1]
    notes = [note for note in lead.flatten().notes if note.isNote and not note.duration.isGrace]
    leaps = [
        abs(interval.Interval(a, b).semitones)
        for a, b in pairwise(notes)
        if b.offset - a.offset <= 4
    ]
    assert max(leaps) <= 19
    assert sum(leap <= 5 for leap in leaps) / len(leaps) > 0.75
