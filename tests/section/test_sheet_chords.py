"""The chords behind one part's sheet, named as the part and as the room name them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drills.errors import PlaceError, UsageError
from drills.harmony.chord import Source
from drills.music.pitch import Transposition
from drills.music.score import ChordSymbol, Instrument, Part
from drills.music.time import START
from drills.places.finding import find_span
from drills.section.sheet_chords import chords_behind
from tests.music_made import bar_of, notes, part_of

B_FLAT = Instrument("clarinet", "woodwind", Transposition(-1, -2), True)


def triads(names: str, instrument: Instrument, name: str) -> Part:
    """A part of whole notes, a bar each."""
    bars = [bar_of(notes(one, "whole")) for one in names.split()]
    made = part_of([replace(bar, instrument=instrument) for bar in bars], name)
    return replace(made, instrument=instrument)


CONCERT = Instrument("flute", "woodwind", Transposition(), True)


def trio() -> tuple[Part, ...]:
    """C, F and G major in concert pitch: root and fifth on flutes, the third on a clarinet."""
    return (
        triads("C5 C5 D5", CONCERT, "Flute"),
        triads("F#4 B4 C#5", B_FLAT, "Clarinet"),
        triads("G3 F3 G3", CONCERT, "Alto flute"),
        triads("C3 F2 G2", CONCERT, "Bassoon"),
    )


def test_chords_are_read_from_the_notes_of_all_parts() -> None:
    parts = trio()
    found = chords_behind(parts, 1).around(find_span(parts[1], "2"))
    assert [str(one.chord) for one in found] == ["C", "F", "G"]
    assert {one.chord.source for one in found} == {Source.NOTES}
    assert [(int(one.start), int(one.end)) for one in found] == [(0, 4), (4, 8), (8, 12)]


def test_a_symbol_goes_before_the_notes() -> None:
    parts = trio()
    first, *others = parts[0].bars
    first = replace(first, chords=(ChordSymbol(START, "A", "minor"),))
    marked = replace(parts[0], bars=(first, *others))
    found = chords_behind((marked, *parts[1:]), 1).around(find_span(parts[1], "1"))
    assert str(found[0].chord) == "Am"
    assert found[0].chord.source is Source.SYMBOL


@pytest.mark.parametrize(
    ("part", "written", "sounding"),
    [(1, "D7", "C7"), (1, "Bm7/F#", "Am7/E"), (0, "D7", "D7"), (1, "N.C.", "N.C.")],
)
def test_what_the_player_says_is_read_as_their_part_writes_it(
    part: int, written: str, sounding: str
) -> None:
    """A clarinet in B flat sounds a tone lower than it reads."""
    parts = trio()
    chords = chords_behind(parts, part, (("2", written),))
    found = chords.around(find_span(parts[part], "2"))
    said = [one.chord for one in found if one.chord.source is Source.PLAYER]
    assert [str(chord) for chord in said] == [sounding]


def test_errors_name_what_was_said() -> None:
    parts = trio()
    with pytest.raises(UsageError, match="Hm7"):
        chords_behind(parts, 0, (("1", "Hm7"),))
    with pytest.raises(PlaceError, match="99"):
        chords_behind(parts, 0, (("99", "C"),))
