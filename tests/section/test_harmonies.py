"""Chords on the common time line: symbols first, then notes, and the player above both."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest

from drills.errors import PlaceError, UsageError
from drills.harmony.chord import Source
from drills.music.pitch import Transposition
from drills.music.score import Part
from drills.places.aligning import align
from drills.section.harmonies import SYMBOL_HOLDS, Said, harmonies_in, harmonies_of, heard_in
from tests.section.made import B_FLAT, E_FLAT, part, pickup, renumbered, symbols

C_TRIAD = ("C5 C5 C5 C5", "G4 G4 G4 G4", "E4 E4 E4 E4", "C3 C3 C3 C3")
G_SEVEN = ("B4 B4 B4 B4", "F4 F4 F4 F4", "D4 D4 D4 D4", "G2 G2 G2 G2")
NAMES = ("Soprano", "Alto", "Tenor", "Bass")


def choir(bars: int = 2) -> list[Part]:
    """C major and G seven in turn, four voices at concert pitch."""
    pairs = zip(C_TRIAD, G_SEVEN, strict=True)
    return [
        part(name, ([one, other] * bars)[:bars])
        for name, (one, other) in zip(NAMES, pairs, strict=True)
    ]


def named(
    parts: Sequence[Part], low: int = 0, high: int = 8, said: Said = ()
) -> list[tuple[object, ...]]:
    found = harmonies_of(align(parts), Fraction(low), Fraction(high), said)
    return [(one.start, one.end, str(one.chord), one.chord.source) for one in found]


def test_chords_are_read_from_the_notes_of_all_parts() -> None:
    found = harmonies_of(align(choir()), Fraction(0), Fraction(8))
    assert named(choir()) == [(0, 4, "C", Source.NOTES), (4, 8, "G7", Source.NOTES)]
    assert {h.chord.source for h in found} == {Source.NOTES}


def test_what_comes_after_a_stretch_tells_its_last_chord() -> None:
    """F A C D falls a fifth to G, which lies outside the stretch: a seventh on D, no sixth on F."""
    voices = ("D5 D5 D5 D5", "C5 C5 B4 B4", "A4 A4 G4 G4", "F3 F3 G3 G3")
    parts = [
        part(name, [" ".join(text.split()[:1] * 4), " ".join(text.split()[2:] * 2)])
        for name, text in zip(NAMES, voices, strict=True)
    ]
    assert named(parts, 0, 4) == [(0, 4, "Dm7/F", Source.NOTES)]


@pytest.mark.parametrize("staff", range(4))
def test_symbols_on_one_staff_count_for_all(staff: int) -> None:
    parts = choir()
    parts[staff] = symbols(parts[staff], {0: "F", 1: "Bb"})
    assert named(parts) == [(0, 4, "F", Source.SYMBOL), (4, 8, "Bb", Source.SYMBOL)]


def test_what_the_symbols_leave_open_is_read_from_the_notes() -> None:
    parts = choir()
    parts[0] = symbols(parts[0], {1: "Bb"})
    assert named(parts) == [(0, 4, "C", Source.NOTES), (4, 8, "Bb", Source.SYMBOL)]


def test_a_symbol_does_not_hold_for_ever() -> None:
    parts = choir(12)
    parts[0] = symbols(parts[0], {0: "F"})
    ends = 4 * (SYMBOL_HOLDS + 1)
    found = named(parts, 0, 48)
    assert found[0] == (0, ends, "F", Source.SYMBOL)
    assert found[1][0] == ends
    assert found[1][2:] == ("G7", Source.NOTES)


def test_what_the_player_says_counts_up_to_the_end_of_the_bar() -> None:
    found = named(choir(), said=[("1@3", "Am7")])
    assert found == [
        (0, 2, "C", Source.NOTES),
        (2, 4, "Am7", Source.PLAYER),
        (4, 8, "G7", Source.NOTES),
    ]


def test_what_the_player_says_ends_with_the_next_change() -> None:
    parts = choir()
    parts[0] = symbols(parts[0], {0: "C", 1: "G"})
    halves = named(parts, said=[("1@2", "F"), ("1@3", "Dm")])
    assert halves[:3] == [
        (0, 1, "C", Source.SYMBOL),
        (1, 2, "F", Source.PLAYER),
        (2, 4, "Dm", Source.PLAYER),
    ]


def test_what_the_player_says_of_a_bar_counts_all_through_it() -> None:
    """Bar 1 changes its chord in the middle; a chord for the bar is for all of it."""
    voices = ("C5 C5 C5 C5", "G4 G4 A4 A4", "E4 E4 F4 F4", "C3 C3 F3 F3")
    parts = [part(name, [text]) for name, text in zip(NAMES, voices, strict=True)]
    assert [one[0] for one in named(parts)][:2] == [0, 2]
    assert named(parts, said=[("1", "Am")]) == [(0, 4, "Am", Source.PLAYER)]
    both = named(parts, said=[("1", "Am"), ("1@4", "E7")])
    assert both == [(0, 3, "Am", Source.PLAYER), (3, 4, "E7", Source.PLAYER)]
    assert both == named(parts, said=[("1@4", "E7"), ("1", "Am")])
    from_beat_1 = named(parts, said=[("1@1", "Am")])
    assert [one[:3] for one in from_beat_1] == [(0, 2, "Am"), (2, 4, "F")]


@pytest.mark.parametrize(
    ("place", "start", "end"),
    [("1-3", 0, 12), ("1@3-3", 2, 12), ("2-3@2", 4, 10), ("2@4-3@1", 7, 9), ("2@2-2@3", 5, 7)],
)
def test_what_the_player_says_of_a_stretch_counts_all_through_it(
    place: str, start: int, end: int
) -> None:
    found = named(choir(4), 0, 16, said=[(place, "Dm")])
    assert [one for one in found if one[3] is Source.PLAYER] == [(start, end, "Dm", Source.PLAYER)]
    assert sum(int(str(one[1])) - int(str(one[0])) for one in found) == 16


def test_what_was_said_before_a_stretch_reaches_into_it() -> None:
    assert named(choir(4), 8, 16, said=[("1-3", "Dm")])[0] == (8, 12, "Dm", Source.PLAYER)


def test_a_place_is_read_as_the_part_reads_it_for_which_it_is_said() -> None:
    """The tenor numbers its bars from 2: its bar 2 is bar 1 of the others."""
    parts = choir()
    parts[2] = renumbered(parts[2], 2)
    aligned = align(parts)
    for part_number, start in ((0, 4), (2, 0), (None, 4)):
        found = harmonies_of(aligned, Fraction(0), Fraction(8), [("2", "Dm")], said_by=part_number)
        assert [one.start for one in found if one.chord.source is Source.PLAYER] == [start]


def test_a_chord_or_a_place_that_cannot_be_read() -> None:
    with pytest.raises(UsageError, match=r"chord 'H7'"):
        named(choir(), said=[("1", "H7")])
    with pytest.raises(PlaceError, match=r"'99'"):
        named(choir(), said=[("99", "C7")])


def test_one_voice_alone_makes_no_chord_and_no_key_is_needed() -> None:
    """A single repeated note: nothing is claimed."""
    assert named([part("Flute", ["C5 C5 C5 C5"] * 2)]) == []


def transposed(moved: Transposition, texts: Sequence[str]) -> Part:
    """A part that sounds like C_TRIAD's or G_SEVEN's voice, written for a transposing player."""
    return part("Clarinet in B flat", texts, moved=moved)


def test_names_and_functions_do_not_depend_on_the_parts_transposition() -> None:
    """The alto in turn for a B flat and an E flat instrument: what sounds is the same."""
    concert = choir()
    for moved, texts in (
        (B_FLAT, ["A4 A4 A4 A4", "G4 G4 G4 G4"]),
        (E_FLAT, ["E5 E5 E5 E5", "D5 D5 D5 D5"]),
    ):
        parts = [*concert[:1], transposed(moved, texts), *concert[2:]]
        assert named(parts) == named(concert)


def test_notes_are_heard_at_concert_pitch_on_the_common_line() -> None:
    parts = [pickup(part("Oboe", ["C5 D5 E5 F5"]), "G4"), transposed(B_FLAT, ["D5 D5 r r"])]
    heard = heard_in(align(parts), Fraction(0), Fraction(3))
    found: list[tuple[object, ...]] = [(h.start, h.end, str(h.pitch), h.part) for h in heard]
    assert found == [
        (0, 1, "G4", 0),
        (1, 2, "C5", 0),
        (1, 2, "C5", 1),
        (2, 3, "D5", 0),
        (2, 3, "C5", 1),
    ]


def test_harmonies_move_to_a_parts_own_time() -> None:
    """The oboe has a pickup more; in the horn the second bar begins a quarter earlier."""
    still = ["C5 C5 C5 C5"] * 2
    parts = [pickup(part("Oboe", still), "G4"), part("Horn", still)]
    aligned = align(parts)
    found = harmonies_of(aligned, Fraction(0), Fraction(9), [("2", "F")])
    own = [one for one in harmonies_in(aligned, 1, found) if str(one.chord) == "F"]
    assert [one.start for one in own] == [4]
    assert [one.end for one in own] == [8]
