"""General MIDI numbers, against the lists of independent libraries."""

from __future__ import annotations

import music21
import pretty_midi
import pytest

from drills.instruments.general_midi import (
    DRUM_CHANNEL,
    DRUM_KEYS,
    DRUMS,
    DRUMS_BY_PLACE,
    HIGH_CLICK,
    KIN,
    LOW_CLICK,
    drum_of,
    drum_on,
    program_of,
)
from drills.instruments.table import instrument_facts
from drills.music.pitch import Unpitched
from drills.sound.practice.voices import SOUNDS

WINDS = [
    *("Piccolo", "Flute", "Recorder", "Oboe", "EnglishHorn", "Clarinet", "BassClarinet"),
    *("Bassoon", "Contrabassoon", "SopranoSaxophone", "AltoSaxophone", "TenorSaxophone"),
    *("BaritoneSaxophone", "Trumpet", "Horn", "Trombone", "BassTrombone", "Tuba"),
    *("Contrabass", "Violin", "Glockenspiel", "Xylophone", "Vibraphone", "Timpani", "Piano"),
]


@pytest.mark.parametrize("name", WINDS)
def test_programs_are_those_of_music21(name: str) -> None:
    instrument = getattr(music21.instrument, name)()
    assert program_of(instrument.instrumentName) == instrument.midiProgram


@pytest.mark.parametrize(
    ("name", "program"),
    [
        ("Clarinet in B♭ 2", 72),
        ("Bass clarinet", 72),
        ("Bb Cornet", 57),
        ("Klarinette in Es", 72),
        ("Altsaxophon", 66),
        ("Tenor Sax.", 67),
        ("Baritone Sax", 68),
        ("Flûte", 74),
        ("Posaune 1", 58),
        ("Horn in F", 61),
        ("Piccolo trumpet", 57),
        ("Euphonium", 59),
        ("Electric guitar", 28),
        ("E-Piano", 5),
        ("Mellophone", 61),
    ],
)
def test_names_as_scores_write_them(name: str, program: int) -> None:
    """Program numbers from 1, as the General MIDI 1 sound set lists them."""
    found = program_of(name)
    assert found is not None
    assert found + 1 == program


def test_an_unknown_instrument_has_none() -> None:
    assert program_of("serpent") is None
    assert program_of("") is None


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("Snare Drum", 38),
        ("Bass Drum", 36),
        ("Closed Hi-Hat", 42),
        ("Open hi-hat", 46),
        ("Pedal Hi-Hat", 44),
        ("Crash Cymbal", 49),
        ("Ride Cymbal", 51),
        ("Ride Bell", 53),
        ("Tambourine", 54),
        ("Cowbell", 56),
        ("Claves", 75),
        ("Wood Block", 76),
        ("Triangle", 81),
    ],
)
def test_drums_are_keys_of_general_midi(name: str, key: int) -> None:
    """The percussion key map of General MIDI 1."""
    assert drum_of(Unpitched("C", 5, name)) == key


def test_a_drum_without_a_name_goes_by_its_place() -> None:
    """Common practice of the drum-set staff: bass drum in the lowest space, snare in the third."""
    assert drum_of(Unpitched("F", 4)) == 36
    assert drum_of(Unpitched("C", 5)) == 38
    assert drum_of(Unpitched("B", 2)) == 38


def test_percussion_keys_have_the_names_of_pretty_midi() -> None:
    assert list(DRUM_KEYS) == list(range(35, 82))
    for key, name in DRUM_KEYS.items():
        assert name.replace("hi-hat", "hi hat") == pretty_midi.note_number_to_drum_name(key).lower()


@pytest.mark.parametrize("key", range(128))
def test_a_key_is_the_drum_that_sounds_on_it(key: int) -> None:
    assert drum_of(drum_on(key)) == (key if key in DRUM_KEYS else 38)


@pytest.mark.parametrize(
    ("key", "place"), [(36, "F4"), (38, "C5"), (42, "G5"), (46, "G5"), (49, "A5"), (57, "A5")]
)
def test_a_key_stands_where_its_drum_is_written(key: int, place: str) -> None:
    """Common practice of the drum-set staff."""
    drum = drum_on(key)
    assert f"{drum.step}{drum.octave}" == place


def test_drums_without_a_sound_of_their_own_sound_like_their_kin() -> None:
    assert set(KIN) | set(SOUNDS.values()) >= {*DRUM_KEYS} - {58}  # the vibraslap has none
    assert set(KIN.values()) <= set(SOUNDS.values())


def test_the_tables_stay_in_range() -> None:
    facts = instrument_facts()
    assert all(0 <= program <= 128 for fact in facts for program in (fact.program, fact.stand_in))
    assert not any(fact.program and fact.stand_in for fact in facts)
    keys = {*DRUMS.values(), *DRUMS_BY_PLACE.values(), HIGH_CLICK, LOW_CLICK}
    assert all(35 <= key <= 81 for key in keys)  # the range of the General MIDI 1 key map
    assert DRUM_CHANNEL + 1 == 10
    assert all(name == name.casefold() for name in DRUMS)
