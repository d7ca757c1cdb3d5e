"""The table of instruments, checked against music21's own and against printed names."""

from __future__ import annotations

import warnings

import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from music21 import instrument as their_instruments

from drills.instruments.table import (
    InstrumentFact,
    fact_of,
    instrument_facts,
    instrument_of,
    misses_transposition,
    plain,
)
from drills.music.pitch import CONCERT, Pitch, Transposition
from drills.music.score import UNNAMED

FACTS = {fact.name: fact for fact in instrument_facts()}

# music21's class for a row, as an outside reader of the same common practice.
THEIRS = {
    "Piccolo": "Piccolo",
    "Flute": "Flute",
    "Oboe": "Oboe",
    "English horn": "EnglishHorn",
    "Bassoon": "Bassoon",
    "Clarinet in B flat": "Clarinet",
    "Bass clarinet": "BassClarinet",
    "Soprano saxophone": "SopranoSaxophone",
    "Alto saxophone": "AltoSaxophone",
    "Tenor saxophone": "TenorSaxophone",
    "Baritone saxophone": "BaritoneSaxophone",
    "Trumpet in B flat": "Trumpet",
    "Horn in F": "Horn",
    "Trombone": "Trombone",
    "Bass trombone": "BassTrombone",
    "Tuba": "Tuba",
    "Violin": "Violin",
    "Viola": "Viola",
    "Cello": "Violoncello",
}
OTHER_LOW = {
    "Baritone saxophone": "Bb3: without the low A that most instruments have",
    "Horn in F": "C2: pedal notes counted",
}
"""Lowest notes where music21 says otherwise, and why."""


@pytest.mark.parametrize(("name", "theirs"), THEIRS.items())
def test_transpositions_and_lowest_notes_as_in_music21(name: str, theirs: str) -> None:
    fact, other = FACTS[name], getattr(their_instruments, theirs)()
    moved = other.transposition
    expected = (moved.generic.staffDistance, moved.semitones) if moved is not None else (0, 0)
    assert (fact.transposition.diatonic, fact.transposition.chromatic) == expected
    low = other.lowestNote.nameWithOctave.replace("-", "b")
    assert (str(fact.low) == low) is (name not in OTHER_LOW)
    assert fact.program in (other.midiProgram + 1, 0)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    # Written ranges from the fingering charts of the instruments (common practice):
    # saxophone Bb3 to F#6, clarinet E3 to G6, flute C4 to C7, trumpet F#3 to C6,
    # trombone E2 to D5, horn C3 to C6.
    [
        ("Alto saxophone", "Bb3", "F#6"),
        ("Clarinet in B flat", "E3", "G6"),
        ("Flute", "C4", "C7"),
        ("Trumpet in B flat", "F#3", "C6"),
        ("Trombone", "E2", "D5"),
        ("Horn in F", "C3", "C6"),
    ],
)
def test_written_ranges(name: str, low: str, high: str) -> None:
    assert (FACTS[name].low, FACTS[name].high) == (Pitch.parse(low), Pitch.parse(high))


@pytest.mark.parametrize(
    ("name", "semitones"),
    # Written minus sounding, in semitones (common practice).
    [
        ("Soprano saxophone", 2),
        ("Alto saxophone", 9),
        ("Tenor saxophone", 14),
        ("Baritone saxophone", 21),
        ("Horn in F", 7),
        ("Clarinet in A", 3),
        ("Clarinet in E flat", -3),
        ("Bass clarinet", 14),
        ("Tenor horn", 9),
        ("Bass in E flat", 21),
        ("Bass in B flat", 26),
        ("Contrabassoon", 12),
        ("Piccolo", -12),
        ("Double bass", 12),
    ],
)
def test_transpositions(name: str, semitones: int) -> None:
    assert FACTS[name].transposition.chromatic == -semitones


@pytest.mark.parametrize("fact", instrument_facts(), ids=lambda fact: fact.name)
def test_every_row_is_sound(fact: InstrumentFact) -> None:
    families = {"woodwind", "brass", "strings", "keyboard", "percussion", "voice"}
    assert fact.family in families
    if fact.low is not None and fact.high is not None:
        assert 10 < fact.high.midi - fact.low.midi < 90
    # A step count and a semitone count that belong to one interval: 7 steps to 12 semitones.
    expected = fact.transposition.diatonic * 12 / 7
    assert abs(fact.transposition.chromatic - expected) < 1.5
    assert all(alias == plain(alias) for alias in fact.aliases)
    assert len(set(fact.aliases)) == len(fact.aliases)


def test_names_are_used_once() -> None:
    assert len(FACTS) == len(instrument_facts())


def test_an_alias_belongs_to_one_kind_of_instrument() -> None:
    owners: dict[str, set[str]] = {}
    for fact in instrument_facts():
        for alias in fact.aliases:
            owners.setdefault(alias, set()).add(fact.name.split(" in ")[0])
    assert {alias: names for alias, names in owners.items() if len(names) > 1} == {
        "cor": {"Cornet", "Horn"},
    }


@pytest.mark.parametrize(
    ("printed", "name"),
    # Names as they stand in printed parts; German B is B flat.
    [
        ("Clarinet 2", "Clarinet in B flat"),
        ("1st Clarinet in B\N{MUSIC FLAT SIGN}", "Clarinet in B flat"),
        ("Klarinette in B", "Clarinet in B flat"),
        ("Klarinette in A", "Clarinet in A"),
        ("Es-Klarinette", "Clarinet in E flat"),
        ("E\N{MUSIC FLAT SIGN} Clarinet", "Clarinet in E flat"),
        ("Clarinette en La", "Clarinet in A"),
        ("Clarinetto in Sib 1", "Clarinet in B flat"),
        ("A Clarinet", "Clarinet in A"),
        ("Solo Clarinet", "Clarinet in B flat"),
        ("Bass Clarinet in B\N{MUSIC FLAT SIGN}", "Bass clarinet"),
        ("Bassklarinette", "Bass clarinet"),
        ("Contra-Alto Clarinet", "Contra-alto clarinet"),
        ("Alto Saxophone 1", "Alto saxophone"),
        ("Altsaxophon", "Alto saxophone"),
        ("Tenor Sax II", "Tenor saxophone"),
        ("Bari Sax", "Baritone saxophone"),
        ("Saxophone baryton", "Baritone saxophone"),
        ("Querflöte", "Flute"),
        ("Flauto 2", "Flute"),
        ("Ottavino", "Piccolo"),
        ("Hautbois", "Oboe"),
        ("Cor anglais", "English horn"),
        ("Englischhorn", "English horn"),
        ("Fagott", "Bassoon"),
        ("Kontrafagott", "Contrabassoon"),
        ("Horn in F 1", "Horn in F"),
        ("Corno in Mib", "Horn in E flat"),
        ("Cor en Fa", "Horn in F"),
        ("French Horn", "Horn in F"),
        ("Trompete in B 1", "Trumpet in B flat"),
        ("Trumpet in C", "Trumpet in C"),
        ("Tromba in Do", "Trumpet in C"),
        ("Flügelhorn 2", "Flugelhorn"),
        ("Solo Cornet B\N{MUSIC FLAT SIGN}", "Cornet in B flat"),
        ("E\N{MUSIC FLAT SIGN} Alto Horn", "Tenor horn"),
        ("Posaune 3", "Trombone"),
        ("Bass Trombone", "Bass trombone"),
        ("Euphonium T.C.", "Euphonium in treble clef"),
        ("Tuba", "Tuba"),
        ("B\N{MUSIC FLAT SIGN} Bass", "Bass in B flat"),
        ("Kontrabass", "Double bass"),
        ("Violoncello", "Cello"),
        ("Große Trommel", "Bass drum"),
        ("Pauken", "Timpani"),
        ("Drum Set", "Drum set"),
    ],
)
def test_printed_names(printed: str, name: str) -> None:
    found = instrument_of(printed)
    assert (found.name, found.known) == (name, True)
    assert found.family == FACTS[name].family


@pytest.mark.parametrize(
    ("abbreviation", "name"),
    [
        ("Cl. 1", "Clarinet in B flat"),
        ("B. Cl.", "Bass clarinet"),
        ("A. Sx.", "Alto saxophone"),
        ("T. Sax.", "Tenor saxophone"),
        ("Fl.", "Flute"),
        ("Ob.", "Oboe"),
        ("Bsn.", "Bassoon"),
        ("Hn.", "Horn in F"),
        ("Tpt. 2", "Trumpet in B flat"),
        ("Tbn.", "Trombone"),
        ("Vc.", "Cello"),
    ],
)
def test_abbreviations_help_where_the_name_says_nothing(abbreviation: str, name: str) -> None:
    assert instrument_of("Player 1", abbreviation).name == name


@pytest.mark.parametrize("name", ["Player 1", "MusicXML Part", "Saxophone", "Solo", "Score"])
def test_names_that_are_none(name: str) -> None:
    found = instrument_of(name, transposition=CONCERT)
    assert (found.name, found.family, found.known) == (name, "", False)


def test_nothing_said_at_all() -> None:
    assert instrument_of("") == UNNAMED


class TestTransposition:
    def test_the_file_wins(self) -> None:
        moved = Transposition(-4, -7)
        assert instrument_of("Clarinet in A", transposition=moved).transposition == moved

    def test_without_one_the_part_is_taken_as_it_stands(self) -> None:
        found = instrument_of("Alto Saxophone")
        assert found.transposition == CONCERT
        assert misses_transposition(found)

    def test_of_one_name_the_row_that_transposes_so(self) -> None:
        assert instrument_of("Clarinet", transposition=Transposition(2, 3)).name == (
            "Clarinet in E flat"
        )
        assert instrument_of("Euphonium", transposition=Transposition(-8, -14)).name == (
            "Euphonium in treble clef"
        )

    @pytest.mark.parametrize("name", ["Flute", "Double Bass", "Piccolo", "Trombone", "Player 1"])
    def test_concert_and_octave_instruments_miss_nothing(self, name: str) -> None:
        assert not misses_transposition(instrument_of(name))

    def test_a_given_transposition_is_not_missed(self) -> None:
        found = instrument_of("Alto Saxophone", transposition=Transposition(-5, -9))
        assert not misses_transposition(found)


class TestPlayback:
    @pytest.mark.parametrize(
        ("sound", "name"),
        # MusicXML 4.0 standard sounds, file sounds.xml of the W3C.
        [
            ("wind.reed.clarinet.bflat", "Clarinet in B flat"),
            ("wind.reed.clarinet.a", "Clarinet in A"),
            ("wind.reed.clarinet.bass", "Bass clarinet"),
            ("wind.reed.saxophone.tenor", "Tenor saxophone"),
            ("wind.flutes.flute.piccolo", "Piccolo"),
            ("brass.french-horn", "Horn in F"),
            ("brass.trombone.bass", "Bass trombone"),
            ("strings.violin", "Violin"),
        ],
    )
    def test_sounds(self, sound: str, name: str) -> None:
        assert instrument_of("Player 1", sound=sound).name == name

    @pytest.mark.parametrize(
        ("program", "name"),
        # General MIDI Level 1 sound set, numbered from 1.
        [
            (66, "Alto saxophone"),
            (72, "Clarinet in B flat"),
            (74, "Flute"),
            (57, "Trumpet in B flat"),
        ],
    )
    def test_programs(self, program: int, name: str) -> None:
        assert instrument_of("Player 1", midi_program=program).name == name

    def test_the_name_is_believed_before_the_playback(self) -> None:
        assert instrument_of("Oboe", midi_program=74, sound="wind.flutes.flute").name == "Oboe"


@pytest.mark.parametrize("fact", instrument_facts(), ids=lambda fact: fact.name)
def test_every_row_is_found_by_its_own_name(fact: InstrumentFact) -> None:
    found = instrument_of(fact.name, transposition=fact.transposition)
    assert found.name == fact.name
    assert fact_of(found) == fact
