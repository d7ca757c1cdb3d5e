"""Which table an instrument is judged by, and that what was assumed is said."""

from __future__ import annotations

import pytest

from drills.instruments.fingering import load_table
from drills.instruments.judged import instrument_for
from drills.instruments.table import InstrumentFact, instrument_facts, instrument_of
from drills.music.pitch import CONCERT, Transposition
from drills.music.score import UNNAMED, Instrument

NAMED = (
    ("Alto Sax. 1", "saxophone", 0),
    ("Baritone Sax", "baritone-saxophone", 0),
    ("2nd Clarinet", "clarinet", 0),
    ("Klarinette in B", "clarinet", 0),
    ("Bass Clarinet", "bass-clarinet", 0),
    ("Piccolo", "flute", 0),
    ("Cor anglais", "oboe", 0),
    ("Fagott", "bassoon", 0),
    ("Cornet", "trumpet", 0),
    ("Horn in F", "horn", 0),
    ("Horn in E flat", "horn", -2),
    ("Horn in C", "horn", -5),
    ("Euphonium", "euphonium", 0),
    ("Euphonium in treble clef", "euphonium", -14),
    ("Posaune", "trombone", 0),
    ("Alto trombone", "trombone", -5),
    ("Tuba", "tuba", 0),
    ("Tuba in C", "tuba", -2),
    ("E flat tuba", "tuba", -5),
    ("F tuba", "tuba", -7),
    ("Bass in E flat", "tuba", -26),
)
"""Shifts follow from how the instruments are written and built: common practice."""


@pytest.mark.parametrize(("name", "table", "shift"), NAMED)
def test_an_instrument_by_name(name: str, table: str, shift: int) -> None:
    found = instrument_for(name)
    assert (found.table, found.shift) == (table, shift)


ASSUMED = (
    ("Tuba", "taken for a tuba in B flat with four valves"),
    ("F tuba", "taken for a tuba in F with four valves"),
    ("Trombone", "with an F attachment"),
    ("Horn", "double horn in F and B flat"),
    ("Contrabassoon", "judged by the bassoon's fingerings"),
    ("Viola", "no fingering table for Viola: moves are judged by distance and register alone"),
    ("Nose flute of Ur", "'Nose flute of Ur' is taken for Flute"),
    ("Alto Sax. 1", "'Alto Sax. 1' is taken for Alto saxophone"),
    ("Zink", "'Zink' is no instrument that is known: moves are judged by distance"),
    ("", "no instrument is named: moves are judged by distance and register alone"),
)


@pytest.mark.parametrize(("name", "words"), ASSUMED)
def test_what_was_assumed_is_said(name: str, words: str) -> None:
    assert any(words in said for said in instrument_for(name).assumptions)


@pytest.mark.parametrize("name", ["Clarinet in B flat", "Flute", "Alto sax", "Trumpet"])
def test_nothing_is_said_where_nothing_was_assumed(name: str) -> None:
    assert instrument_for(name).assumptions == ()


def test_a_part_without_an_instrument() -> None:
    assert instrument_for(UNNAMED).table == ""
    assert "name one with --instrument" in instrument_for(UNNAMED).assumptions[0]


def test_the_file_decides_how_a_part_is_written() -> None:
    """A trombone part in B flat treble clef is read a ninth above what sounds."""
    written = Transposition(-8, -14)
    assert instrument_for(instrument_of("Trombone", transposition=written)).shift == -14
    assert instrument_for(instrument_of("Euphonium", transposition=written)).shift == -14


def test_a_horn_part_without_transposition_is_taken_as_a_horn_reads_it() -> None:
    assert instrument_for(Instrument("Horn in F", "brass", CONCERT, known=True)).shift == 0


@pytest.mark.parametrize("fact", instrument_facts(), ids=lambda fact: fact.name)
def test_every_known_instrument_is_judged(fact: InstrumentFact) -> None:
    """By distance, and it is said, or by a table that has the middle of the usual range."""
    found = instrument_for(fact.name)
    if not found.table:
        assert found.assumptions
        return
    assert fact.low is not None
    assert fact.high is not None
    middle = int(fact.low.midi + fact.high.midi) // 2
    notes = load_table(found.table).notes
    missing = [m for m in range(middle - 6, middle + 7) if m + found.shift not in notes]
    assert missing == []
