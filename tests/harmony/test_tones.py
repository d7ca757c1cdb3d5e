"""What a sounding note is in a chord."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drills.harmony.chord import NO_CHORD, PitchClass
from drills.harmony.kinds import KINDS, tone_label
from drills.harmony.symbols import chord_of, parse_chord
from drills.harmony.tones import belongs, function_tone, spelled
from drills.music.pitch import CONCERT, STEPS, Pitch, Transposition
from drills.music.score import ChordSymbol
from drills.music.time import START

FUNCTIONS = {
    # Chord symbols and their tensions: common practice. Tones of the chord first.
    "G7": "G=R B=3 D=5 F=b7 | A=9 E=13 C=11 C#=#11 Ab=b9 A#=#9 Bb=#9 Eb=b13 F#=7",
    "Dm7": "D=R F=b3 A=5 C=b7 | E=9 G=11 B=13",
    "Cmaj7": "C=R E=3 G=5 B=7 | D=9 F#=#11 A=13",
    "Bdim7": "B=R D=b3 F=b5 Ab=bb7 G#=bb7 | C#=9 A#=7",
    "C7": "C=R E=3 G=5 Bb=b7 A#=b7 | F=11",
    "C": "C=R E=3 G=5 Fb=3 | D=9 A=6 Ab=b6 F=11 B=7 Bb=b7",
    "Cm": "C=R Eb=b3 G=5 D#=b3 | D=9 E=3 A=6",
    "C6": "C=R E=3 G=5 A=6 | B=7",
    "Csus4": "C=R F=4 G=5 | E=3 Eb=b3 D=9",
    "Csus2": "C=R D=2 G=5 | F=11",
    "C5": "C=R G=5 | E=3 Eb=b3",
    "C+": "C=R E=3 G#=#5 Ab=#5 | G=5",
    "C7(b5)": "C=R E=3 Gb=b5 F#=b5 Bb=b7 | G=5",
    "C7(#9)": "C=R E=3 G=5 Bb=b7 D#=#9 Eb=#9 |",
    "C7(b9,#9,b5,#11)": "C=R E=3 Gb=b5 F#=#11 Bb=b7 Db=b9 D#=#9 |",
    "Cm7(b5)": "C=R Eb=b3 Gb=b5 F#=b5 Bb=b7 | D=9 G=5 A=13",
    "C/D": "C=R E=3 G=5 D=9 | F=11",
    "F/G": "F=R A=3 C=5 G=9 | D=6",
    "C7(no1)": "E=3 G=5 Bb=b7 | C=R",
    "Ab Ger.6": "Ab=R C=3 Eb=5 F#=#6 Gb=#6 | Bb=9",
}
"""Chord -> notes and what they are in it; those before the bar belong to it."""


@pytest.mark.parametrize("name", FUNCTIONS)
def test_functions(name: str) -> None:
    chord = parse_chord(name)
    inside, _, outside = FUNCTIONS[name].partition("|")
    for notes, own in ((inside, True), (outside, False)):
        for note in notes.split():
            pitch, _, label = note.partition("=")
            sounding = Pitch.parse(f"{pitch}4")
            assert tone_label(function_tone(chord, sounding)) == label, note
            assert belongs(chord, sounding) is own, note


def test_nothing_is_counted_without_a_chord() -> None:
    pitch = Pitch.parse("C4")
    assert not belongs(NO_CHORD, pitch)
    assert spelled(NO_CHORD) == ()
    with pytest.raises(ValueError, match="no chord to count from"):
        function_tone(NO_CHORD, pitch)


def test_tones_are_spelled_from_the_root() -> None:
    assert [str(name) for name in spelled(parse_chord("Bdim7"))] == ["B", "D", "F", "Ab"]
    assert [str(name) for name in spelled(parse_chord("Ab7/C"))] == ["Ab", "C", "Eb", "Gb"]
    assert [str(name) for name in spelled(parse_chord("G#m"))] == ["G#", "B", "D#"]


def test_every_pitch_has_a_function_and_counts_the_semitones_it_sounds() -> None:
    for kind in KINDS.values():
        if kind.name == "none":
            continue
        chord = parse_chord(f"Eb{kind.suffix}")
        for step in STEPS:
            for alter in (-2, -1, 0, 1, 2):
                pitch = Pitch(step, Fraction(alter), 5)
                tone = function_tone(chord, pitch)
                assert (3 + tone.semitones) % 12 == pitch.midi % 12
                assert belongs(chord, pitch) is (tone in chord.tones)


def test_a_quarter_tone_counts_as_its_step() -> None:
    assert tone_label(function_tone(parse_chord("C7"), Pitch("E", Fraction(1, 2), 4))) == "3"


@pytest.mark.parametrize("chromatic", range(12))
def test_a_part_reads_its_own_names_and_keeps_its_functions(chromatic: int) -> None:
    """The written note is in the written chord what the sounding one is in the sounding chord."""
    diatonic = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)[chromatic]
    player = Transposition(-diatonic, -chromatic)
    back = Transposition(diatonic, chromatic)
    for kind in KINDS:
        if kind == "none":
            continue
        concert = chord_of(ChordSymbol(START, "G", kind), CONCERT)
        written_root = str(PitchClass("G").moved(back))
        assert chord_of(ChordSymbol(START, written_root, kind), player) == concert
        as_written = chord_of(ChordSymbol(START, written_root, kind), CONCERT)
        for step in STEPS:
            for alter in (-1, 0, 1):
                sounding = Pitch(step, Fraction(alter), 4)
                written = back.sounding(sounding)
                assert function_tone(as_written, written) == function_tone(concert, sounding)
                assert belongs(as_written, written) == belongs(concert, sounding)


def test_the_alto_saxophone_reads_e7_where_g7_sounds() -> None:
    alto = Transposition(-5, -9)
    chord = chord_of(ChordSymbol(START, "E", "dominant"), alto)
    assert str(chord) == "G7"
    labels = [
        tone_label(function_tone(chord, alto.sounding(Pitch.parse(name))))
        for name in ("E4", "G#4", "B4", "D5", "F#5", "C#5", "A4", "A#4", "F5")
    ]
    assert labels == ["R", "3", "5", "b7", "9", "13", "11", "#11", "b9"]
