"""Pitch, transposition and keys, against published figures and two libraries."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import music21
import pytest
from hypothesis import given, strategies

from drills.music.pitch import (
    CONCERT,
    NO_KEY,
    ORDER_OF_SHARPS,
    SEMITONES,
    STEPS,
    KeySignature,
    Pitch,
    Transposition,
    Unpitched,
)

ALTERS = [Fraction(n, 2) for n in range(-4, 5)]


def pitches() -> strategies.SearchStrategy[Pitch]:
    return strategies.builds(
        Pitch,
        strategies.sampled_from(STEPS),
        strategies.sampled_from(ALTERS),
        strategies.integers(-1, 9),
    )


@pytest.mark.parametrize(
    ("text", "midi", "hertz"),
    [
        ("A4", 69, 440.0),
        ("C4", 60, 261.6256),
        ("Bb3", 58, 233.0819),
        ("A5", 81, 880.0),
        ("C-1", 0, 8.1758),
        ("G9", 127, 12543.8540),
    ],
)
def test_midi_numbers_are_those_of_the_tuning_formula(text: str, midi: int, hertz: float) -> None:
    """f = 440 * 2 ** ((n - 69) / 12): MIDI Tuning (MIDI Manufacturers Association), with
    ISO 16:1975, A4 = 440 Hz; note names in scientific pitch notation, C4 = note 60."""
    found = Pitch.parse(text).midi
    assert found == midi
    assert 440 * 2 ** ((float(found) - 69) / 12) == pytest.approx(hertz, abs=1e-4)


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("accidental", ["bb", "b", "", "#", "##"])
@pytest.mark.parametrize("octave", [0, 4, 8])
def test_every_spelling_has_the_number_that_music21_gives(
    step: str, accidental: str, octave: int
) -> None:
    other = music21.pitch.Pitch(f"{step}{accidental.replace('b', '-')}{octave}")
    pitch = Pitch.parse(f"{step}{accidental}{octave}")
    assert pitch.midi == other.midi
    # music21 counts C0 as 1
    assert pitch.diatonic == other.diatonicNoteNum - 1


@given(pitches())
def test_a_pitch_reads_as_it_is_written(pitch: Pitch) -> None:
    assert Pitch.parse(str(pitch)) == pitch


def test_quarter_tones_are_not_taken_for_octaves() -> None:
    assert Pitch.parse("C-1") == Pitch("C", Fraction(0), -1)
    assert Pitch.parse("Cd4") == Pitch("C", Fraction(-1, 2), 4)
    assert Pitch.parse("Cdb4").midi == Fraction(117, 2)
    assert str(Pitch("F", Fraction(1, 3), 4)) == "F(1/3)4"


@pytest.mark.parametrize("text", ["", "H4", "C", "4", "C#b4", "C4 ", "Cx4", "C###4"])
def test_what_is_no_pitch_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not a pitch"):
        Pitch.parse(text)


def test_a_step_and_an_alteration_have_bounds() -> None:
    with pytest.raises(ValueError, match="not a step"):
        Pitch("H", Fraction(0), 4)
    with pytest.raises(ValueError, match="alteration of 7/2"):
        Pitch("C", Fraction(7, 2), 4)


def test_spelling_counts_in_equality() -> None:
    assert Pitch.parse("C#4") != Pitch.parse("Db4")
    assert Pitch.parse("C#4").midi == Pitch.parse("Db4").midi


def test_an_unpitched_head_has_a_place() -> None:
    assert Unpitched("C", 5).diatonic == Pitch.parse("C5").diatonic
    assert str(Unpitched("C", 5, "snare")) == "snare at C5"


# --- transposition ---------------------------------------------------------------

INSTRUMENTS = (
    (music21.instrument.Piccolo, Transposition(7, 12)),
    (music21.instrument.Clarinet, Transposition(-1, -2)),
    (music21.instrument.BassClarinet, Transposition(-8, -14)),
    (music21.instrument.EnglishHorn, Transposition(-4, -7)),
    (music21.instrument.Contrabass, Transposition(-7, -12)),
    (music21.instrument.SopranoSaxophone, Transposition(-1, -2)),
    (music21.instrument.AltoSaxophone, Transposition(-5, -9)),
    (music21.instrument.TenorSaxophone, Transposition(-8, -14)),
    (music21.instrument.BaritoneSaxophone, Transposition(-12, -21)),
    (music21.instrument.Horn, Transposition(-4, -7)),
    (music21.instrument.Trumpet, Transposition(-1, -2)),
)
"""Written to sounding in steps and semitones (orchestration handbooks agree; MusicXML 4.0 gives
the same figures for ``transpose``)."""


@pytest.mark.parametrize(
    ("kind", "moved"), INSTRUMENTS, ids=lambda one: getattr(one, "__name__", "")
)
@pytest.mark.parametrize("written", ["C4", "F#5", "Bb3", "B4", "E#5", "Cb5"])
def test_instruments_sound_as_in_music21(kind: type, moved: Transposition, written: str) -> None:
    interval = kind().transposition
    other = interval.transposePitch(music21.pitch.Pitch(written.replace("b", "-")))
    assert str(moved.sounding(Pitch.parse(written))) == other.nameWithOctave.replace("-", "b")


@given(pitches(), strategies.integers(-21, 21), strategies.integers(-36, 36))
def test_sounding_is_so_many_semitones_away(pitch: Pitch, steps: int, semitones: int) -> None:
    """Whatever a score says of steps, the number of semitones holds."""
    assert Transposition(steps, semitones).sounding(pitch).midi == pitch.midi + semitones


def test_semitones_without_steps_are_spelled_nearby() -> None:
    """A score that says nine semitones down and no step: A4 sounds C4 all the same."""
    assert Transposition(0, -9).sounding(Pitch.parse("A4")).midi == 60
    assert Transposition(0, -2).sounding(Pitch.parse("C5")) == Pitch.parse("Cbb5")


def test_concert_pitch_stays() -> None:
    assert CONCERT.sounding(Pitch.parse("F#4")) == Pitch.parse("F#4")


# --- keys ------------------------------------------------------------------------


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_keys_alter_the_steps_that_music21_alters(fifths: int) -> None:
    """music21 counts the sharps of a key from its own circle of fifths."""
    altered = {p.step: p.alter for p in music21.key.KeySignature(fifths).alteredPitches}
    key = KeySignature(fifths)
    assert {step: float(key.alter_of(step)) for step in STEPS if key.alter_of(step)} == altered


def test_sharps_rise_by_fifths() -> None:
    for lower, higher in pairwise(ORDER_OF_SHARPS):
        assert (SEMITONES[higher] - SEMITONES[lower]) % 12 == 7


def test_keys_beyond_seven_and_of_their_own_kind() -> None:
    assert KeySignature(8).alter_of("F") == 2  # G sharp major: F double sharp
    assert KeySignature(8).alter_of("C") == 1
    assert KeySignature(-9).alter_of("E") == -2
    own = KeySignature(custom=(("F", Fraction(1)), ("B", Fraction(-1, 2))))
    assert [own.alter_of(step) for step in "FBC"] == [1, Fraction(-1, 2), 0]
    assert not any(NO_KEY.alter_of(step) for step in STEPS)


@pytest.mark.parametrize(
    ("moved", "written", "sounding"),
    [
        (Transposition(-1, -2), 2, 0),  # written D, sounding C
        (Transposition(-1, -2), -1, -3),
        (Transposition(-5, -9), 0, -3),
        (Transposition(-8, -14), 3, 1),
        (Transposition(-2, -3), -2, 1),  # clarinet in A, written B flat, sounding G
        (Transposition(7, 12), 4, 4),
    ],
)
def test_keys_move_with_the_instrument(moved: Transposition, written: int, sounding: int) -> None:
    """Common practice: the fingered key and the one that the band hears."""
    assert moved.sounding_key(KeySignature(written, "major")) == KeySignature(sounding, "major")


@pytest.mark.parametrize(("_", "moved"), INSTRUMENTS, ids=lambda one: getattr(one, "__name__", ""))
@pytest.mark.parametrize("fifths", range(-3, 4))
def test_the_scale_of_a_key_moves_into_the_scale_of_the_moved_key(
    _: type, moved: Transposition, fifths: int
) -> None:
    key = KeySignature(fifths)
    there = moved.sounding_key(key)
    for step in STEPS:
        sounding = moved.sounding(Pitch(step, key.alter_of(step), 4))
        assert sounding.alter == there.alter_of(sounding.step)


def test_a_signature_of_its_own_kind_moves_step_by_step() -> None:
    own = KeySignature(custom=(("F", Fraction(1)),))  # the scale of G
    assert dict(Transposition(-1, -2).sounding_key(own).custom) == {"B": -1}  # the scale of F
