"""The line of a spot: what counts as an attack, where runs end, what the edges are."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from drills.errors import PlaceError
from drills.music.notes import Articulation, Event, Grace, Note, Rest, Voice
from drills.music.pitch import Pitch
from drills.music.score import Bar, Part
from drills.music.time import NoteValue, length, position
from drills.places.finding import find_span
from drills.places.spots import Slur, Spot, make_spot, slurs_within
from tests.music_made import bar_of, notes, part_of


def spot_of(part: Part, place: str, **more: bool | str) -> Spot:
    return make_spot(part, find_span(part, place), **more)  # type: ignore[arg-type]


def tones(spot: Spot) -> list[str]:
    """Each run's pitches in one string."""
    return [" ".join(str(a.tones[0]) for a in run.attacks) for run in spot.runs]


def two_bars(first: list[Event], second: list[Event], time: str = "4/4") -> Part:
    return part_of([bar_of(first, time), bar_of(second, time)])


def test_the_landing_note_belongs_to_the_line() -> None:
    part = two_bars(notes("C4 D4 E4 F4", "quarter"), notes("G4 A4 B4 C5", "quarter"))
    spot = spot_of(part, "1")
    assert tones(spot) == ["C4 D4 E4 F4 G4"]
    assert (spot.landing, spot.approach) == (5, 0)
    assert tones(spot_of(part, "1", landing=False)) == ["C4 D4 E4 F4"]


def test_no_landing_after_a_beat_of_rest() -> None:
    part = two_bars(notes("C4 D4 E4 r", "quarter"), notes("G4 A4 B4 C5", "quarter"))
    assert tones(spot_of(part, "1")) == ["C4 D4 E4"]


def test_a_landing_note_after_a_short_rest() -> None:
    part = two_bars(notes("C4 D4 E4 F4 G4 A4 B4 r", "eighth"), notes("G4 A4 B4 C5", "quarter"))
    assert tones(spot_of(part, "1")) == ["C4 D4 E4 F4 G4 A4 B4 G4"]


def test_the_approach_note_when_asked_for() -> None:
    part = two_bars(notes("C4 D4 E4 F4", "quarter"), notes("G4 A4 B4 C5", "quarter"))
    spot = spot_of(part, "2", approach=True)
    assert tones(spot) == ["F4 G4 A4 B4 C5"]
    assert spot.approach == 1
    assert [attack.number for attack in spot.line] == [1, 2, 3, 4, 5]


def test_a_rest_of_a_beat_ends_a_run_and_a_shorter_one_does_not() -> None:
    events = notes("C4 D4", "eighth") + notes("r", "quarter", Fraction(1))
    events += notes("E4 r F4 G4", "eighth", Fraction(2))
    assert tones(spot_of(part_of([bar_of(events)]), "1")) == ["C4 D4", "E4 F4 G4"]


def test_the_beat_of_compound_time_is_dotted() -> None:
    """A quarter rest in 6/8 is shorter than the dotted quarter that is counted."""
    events = notes("C4", "eighth") + notes("r", "quarter", Fraction(1, 2))
    events += notes("D4 E4 F4", "eighth", Fraction(3, 2))
    assert tones(spot_of(part_of([bar_of(events, "6/8")]), "1")) == ["C4 D4 E4 F4"]


def tied(first: Event, second: Event) -> list[Event]:
    assert isinstance(first, Note)
    assert isinstance(second, Note)
    return [replace(first, tie_start=True), replace(second, tie_stop=True)]


def test_ties_over_the_bar_line_are_one_attack() -> None:
    first, second = notes("C4 D4 E4 F4", "quarter"), notes("F4 G4 A4 B4", "quarter")
    first[3], second[0] = tied(first[3], second[0])
    spot = spot_of(two_bars(first, second), "1-2")
    assert tones(spot) == ["C4 D4 E4 F4 G4 A4 B4"]
    assert spot.line[3].length == length(2)
    assert tones(spot_of(two_bars(first, second), "2")) == ["G4 A4 B4"], "a held note is no attack"


def test_to_a_beat_means_what_is_attacked_there() -> None:
    part = two_bars(notes("C4 D4 E4 F4", "quarter"), notes("G4 A4 B4 C5", "quarter"))
    assert tones(spot_of(part, "1@3-2@1", landing=False)) == ["E4 F4 G4"]
    assert tones(spot_of(part, "1@3", landing=False)) == ["E4"]
    assert tones(spot_of(part, "1@3-2@1")) == ["E4 F4 G4"], "the player named the landing note"
    assert tones(spot_of(part, "1@3-2")) == ["E4 F4 G4 A4 B4 C5"]


def test_cues_and_hidden_notes_are_not_attacks() -> None:
    events = notes("C4 D4 E4 F4", "quarter")
    assert isinstance(events[1], Note)
    assert isinstance(events[2], Note)
    events[1], events[2] = replace(events[1], cue=True), replace(events[2], hidden=True)
    assert tones(spot_of(part_of([bar_of(events)]), "1")) == ["C4", "F4"]


def test_grace_notes_ride_on_their_main_note() -> None:
    events = notes("C4 D4 E4 F4", "quarter")
    assert isinstance(events[1], Note)
    grace = Grace((Pitch.parse("E4"),), NoteValue("eighth"), slur_starts=(7,))
    events[1] = replace(events[1], graces=(grace,), slur_stops=(7,))
    line = spot_of(part_of([bar_of(events)]), "1").line
    assert [len(attack.graces) for attack in line] == [0, 1, 0, 0]
    assert line[1].grace_slurred
    assert line[1].graces[0].slur_starts == (), "its slur is told by grace_slurred alone"


def test_the_music_goes_back_from_a_first_ending() -> None:
    """From the last note of a first ending nobody goes on to the second."""
    bars = [bar_of(notes(text, "half")) for text in ("C4 D4", "E4 F4", "G4 A4")]
    bars[1] = replace(bars[1], ending="1", ends_repeat=2)
    bars[2] = replace(bars[2], ending="2")
    part = part_of(bars)
    assert tones(spot_of(part, "1")) == ["C4 D4 E4"]
    assert tones(spot_of(part, "2")) == ["E4 F4"]
    assert tones(spot_of(part, "1-3")) == ["C4 D4 E4 F4", "G4 A4"]
    assert tones(spot_of(part, "3", approach=True)) == ["G4 A4"]
    plain = part_of([bars[0], replace(bars[1], ending=""), bars[2]])
    assert tones(spot_of(plain, "2")) == ["E4 F4 G4"], "the second time it goes on"


def test_a_fermata_stays_in_the_music() -> None:
    (note,) = notes("C4", "whole")
    assert isinstance(note, Note)
    signs = (Articulation.ACCENT, Articulation.FERMATA)
    line = spot_of(part_of([bar_of([replace(note, articulations=signs)])]), "1").line
    assert line[0].articulations == (Articulation.ACCENT,)


def slurred(part: Part, place: str) -> list[tuple[int, int]]:
    return [(slur.first, slur.last) for slur in spot_of(part, place, landing=False).slurs]


def test_slurs_are_cut_at_the_edges_of_the_line() -> None:
    first, second = notes("C4 D4 E4 F4", "quarter"), notes("G4 A4 B4 C5", "quarter")
    assert isinstance(first[2], Note)
    assert isinstance(second[1], Note)
    first[2] = replace(first[2], slur_starts=(1,))
    second[1] = replace(second[1], slur_stops=(1,))
    part = two_bars(first, second)
    assert slurred(part, "1-2") == [(3, 6)]
    assert slurred(part, "1") == [(3, 4)]
    assert slurred(part, "2") == [(1, 2)]
    assert slurred(part, "1@1-1@3") == [], "a single note is under no slur"


def test_slurs_within_a_cell() -> None:
    slurs = [Slur(2, 5), Slur(7, 9)]
    assert slurs_within(slurs, 4, 7) == (Slur(1, 2),)
    assert slurs_within(slurs, 1, 9) == tuple(slurs)
    assert slurs_within(slurs, 5, 7) == ()


def two_voices() -> Part:
    upper = Voice("1", (Rest(position(0), length(4), None),))
    lower = Voice("2", tuple(notes("C4 D4 E4 F4", "quarter")))
    bar: Bar = replace(bar_of(notes("C4 D4 E4 F4", "quarter")), voices=(upper, lower))
    both = replace(bar, voices=(Voice("1", tuple(notes("G4 A4", "half"))), lower))
    return part_of([bar, both])


def test_the_busiest_voice_is_chosen_and_the_other_named() -> None:
    spot = spot_of(two_voices(), "1", landing=False)
    assert (spot.voice, spot.other_voices) == ("2", ())
    spot = spot_of(two_voices(), "2")
    assert (spot.voice, spot.other_voices) == ("2", ("1",))
    assert tones(spot_of(two_voices(), "2", voice="1")) == ["G4 A4"]


def test_nothing_to_play() -> None:
    part = part_of([bar_of(notes("r r r r", "quarter")), bar_of(notes("C4 D4", "half"))])
    with pytest.raises(PlaceError, match="Clarinet 2 has no notes to play in bar 1;"):
        spot_of(part, "1")
    with pytest.raises(PlaceError, match="no voice '7'; its voices are 1"):
        spot_of(part, "2", voice="7")
