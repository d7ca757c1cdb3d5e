"""The cost of moves: exact parts, the cheapest way, symmetry, families, odd notes."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from drills.effort.moves import Move, cost_of_run, cost_of_tones, instrument_for
from drills.effort.slide import slide_terms, travel
from drills.effort.terms import total
from drills.effort.valves import valve_terms
from drills.effort.weights import MISPLACED, OUTSIDE, SLIDE_TURN
from drills.effort.woodwind import woodwind_terms
from drills.instruments.fingering import load_table
from drills.music.notes import Grace
from drills.music.pitch import Pitch, Unpitched
from drills.music.time import NoteValue, length
from drills.places.spots import Attack
from tests.effort.notes import cost, midi_of, name_of, run
from tests.music_made import attacks, pitches

INSTRUMENTS = (
    *("alto saxophone", "clarinet", "flute", "oboe", "bassoon"),
    *("trumpet", "horn in F", "euphonium", "tuba", "trombone", "viola"),
)
LOWEST = {"bassoon": "Bb1", "euphonium": "E2", "tuba": "E1", "trombone": "E2"}


@st.composite
def runs(draw: st.DrawFn, most: int = 8) -> tuple[str, list[Pitch]]:
    """An instrument and some notes from its lowest two octaves and a half."""
    instrument = draw(st.sampled_from(INSTRUMENTS))
    low = midi_of(LOWEST.get(instrument, "Bb3"))
    notes = draw(st.lists(st.integers(low, low + 28), min_size=2, max_size=most))
    return instrument, [Pitch.parse(name_of(midi)) for midi in notes]


# --- one move ------------------------------------------------------------------

EXACT = (
    ("alto saxophone", "A4 B4", {"fingers": 1.0, "interval": 0.05}),
    ("alto saxophone", "D4 D5", {"fingers": 0.5, "register": 1.0, "interval": 1.2}),
    (
        "alto saxophone",
        "Bb3 C#4",
        {"fingers": 1.0, "slow finger": 0.25, "slide": 4.0, "heavy key": 0.5, "interval": 0.075},
    ),
    (
        "alto saxophone",
        "C#4 Eb4",
        {
            **{"fingers": 1.1, "slow finger": 0.25, "slide": 3.0, "heavy key": 0.5},
            **{"two hands": 0.2, "interval": 0.05, "late answer": 0.125},
        },
    ),
    ("flute", "E4 E5", {"register": 1.0, "interval": 1.2}),
    ("clarinet", "E4 B5", {"fingers": 0.5, "roll": 0.125, "register": 1.0, "interval": 1.9}),
    ("trumpet", "B4 C5", {"fingers": 1.0, "interval": 0.05}),
    (
        "trumpet",
        "G#4 A4",
        {"fingers": 1.1, "slow finger": 0.25, "contrary": 0.5, "beside": 0.25, "interval": 0.05},
    ),
    ("trumpet", "G4 C5", {"partial": 1.0, "interval": 0.5}),
    ("trombone", "Bb3 A3", {"slide": 1.1, "interval": 0.05}),
)
"""Worked by hand; of fingers and air the quicker counts half."""


@pytest.mark.parametrize(("instrument", "notes", "parts"), EXACT)
def test_the_parts_of_a_move(instrument: str, notes: str, parts: dict[str, float]) -> None:
    """Worked by hand from the table of weights."""
    move = run(instrument, notes)[0]
    found: dict[str, float] = {}
    for term in move.terms:
        found[term.name] = round(found.get(term.name, 0) + term.value, 3)
    assert found == parts
    assert move.cost == round(sum(parts.values()), 3)


WORDS = (
    ("alto saxophone", "C5 D5", "C5-D5 moves 6 fingers, all down"),
    ("alto saxophone", "C#4 Bb3", "left little finger jumps from low C sharp to low B flat"),
    ("alto saxophone", "B3 Bb3", "left little finger slides from low B to low B flat"),
    ("clarinet", "A4 B4", "crosses the break, chalumeau to clarion"),
    ("oboe", "C5 D5", "left index finger opens or closes the half hole"),
    ("trumpet", "G#4 A4", "right ring finger up against right index finger down"),
    ("trombone", "Bb2 C3", "slide goes out from position 1 to position 6"),
    ("viola", "C4 G5", "moves an octave and a fifth"),
)


@pytest.mark.parametrize(("instrument", "notes", "words"), WORDS)
def test_a_player_is_told_why(instrument: str, notes: str, words: str) -> None:
    assert words in run(instrument, notes, alternates=False)[0].words


@given(runs())
def test_the_terms_add_up_and_every_one_has_words(case: tuple[str, list[Pitch]]) -> None:
    instrument, notes = case
    moves = cost_of_tones(notes, instrument_for(instrument))
    assert len(moves) == len(notes) - 1
    for move, (first, second) in zip(moves, pairwise(notes), strict=True):
        assert (move.first, move.second) == (first, second)
        assert move.cost == total(move.terms) >= 0
        assert all(term.words and term.value >= 0 for term in move.terms)


@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_a_repeated_note_costs_nothing(instrument: str) -> None:
    note = LOWEST.get(instrument, "C4")
    assert [(m.cost, m.terms) for m in run(instrument, f"{note} {note} {note}")] == [(0.0, ())] * 2


def test_enharmonic_spellings_cost_the_same_and_are_named_as_written() -> None:
    sharp, flat = run("clarinet", "F4 G#4")[0], run("clarinet", "F4 Ab4")[0]
    assert sharp.cost == flat.cost
    assert "F4-Ab4" in flat.words


@given(runs())
def test_a_run_costs_the_same_backwards(case: tuple[str, list[Pitch]]) -> None:
    """The cost is symmetric: which direction is harder differs and is left out."""
    instrument, notes = case
    there = cost_of_tones(notes, instrument_for(instrument))
    back = cost_of_tones(notes[::-1], instrument_for(instrument))
    assert total(t for m in there for t in m.terms) == pytest.approx(
        total(t for m in back for t in m.terms)
    )


# --- the cheapest way ----------------------------------------------------------


@given(runs())
def test_alternates_never_make_a_run_dearer(case: tuple[str, list[Pitch]]) -> None:
    instrument, notes = case
    player = instrument_for(instrument)
    free = sum(move.cost for move in cost_of_tones(notes, player))
    plain = sum(move.cost for move in cost_of_tones(notes, player, alternates=False))
    assert free <= plain + 1e-9


def every_way(instrument: str, notes: list[Pitch]) -> float:
    """The cheapest of all combinations of fingerings, tried one by one.

    Prices of single pairs come from the family's own module, the sum from here.
    """
    player = instrument_for(instrument)
    table = load_table(player.table)
    prices: dict[tuple[int, int, int], float] = {}
    choices = [table.notes[int(note.midi) + player.shift] for note in notes]
    for index, (first, second) in enumerate(pairwise(notes)):
        for i, j in product(range(len(choices[index])), range(len(choices[index + 1]))):
            prices[index, i, j] = _price(player.table, first, second, i, j)
    best = float("inf")
    for way in product(*(range(len(found)) for found in choices)):
        price = sum(prices[index, i, j] for index, (i, j) in enumerate(pairwise(way)))
        if table.kind == "slide":
            fingerings = [found[number] for found, number in zip(choices, way, strict=True)]
            ways = [travel(table, pair) for pair in pairwise(fingerings)]
            price += SLIDE_TURN.value * sum(a * b < 0 for a, b in pairwise(ways))
        best = min(best, price)
    return best


def _price(table_name: str, first: Pitch, second: Pitch, i: int, j: int) -> float:
    table = load_table(table_name)
    notes = (int(first.midi), int(second.midi))
    pair = (table.notes[notes[0]][i], table.notes[notes[1]][j])
    return total(TERMS[table.kind](table, notes, pair, (str(first), str(second))))


TERMS = {"keys": woodwind_terms, "valves": valve_terms, "slide": slide_terms}


@settings(max_examples=40, deadline=None)
@given(runs(most=4))
def test_no_other_choice_of_fingerings_is_cheaper(case: tuple[str, list[Pitch]]) -> None:
    instrument, notes = case
    player = instrument_for(instrument)
    assume(player.table and not player.shift)
    assume(all(note.midi in load_table(player.table).notes for note in notes))
    found = sum(move.cost for move in cost_of_tones(notes, player))
    assert found == pytest.approx(every_way(instrument, notes))


def fingers_of(moves: tuple[Move, ...]) -> list[str]:
    chosen = [moves[0].fingerings[0], *(move.fingerings[1] for move in moves)]
    return [fingering.name for fingering in chosen if fingering is not None]


def test_the_left_little_finger_goes_before_e_flat_on_the_clarinet() -> None:
    """Common practice: C5 with the left hand, since E flat has a right key only."""
    names = fingers_of(run("clarinet", "Eb5 C5 Eb5"))
    assert names[1] == "left little finger"


def test_c_sharp_between_b_and_e_flat_is_a_matter_of_hands() -> None:
    """B and C sharp and E flat: left, ... the right hand must be free for E flat."""
    names = fingers_of(run("clarinet", "B4 C#5 Eb5"))
    assert names[:2] == ["right little finger", "left little finger"]


def test_a_fingering_depends_on_its_neighbours() -> None:
    """Common practice: side C beside B, the second finger elsewhere."""
    assert fingers_of(run("alto saxophone", "B4 C5 B4"))[1] == "side C"
    assert fingers_of(run("alto saxophone", "A4 C5 A4"))[1] == ""


def test_the_bis_key_is_kept_in_flats_and_left_beside_b() -> None:
    """Common practice: bis in F major, the side key where B natural is near."""
    flats = fingers_of(run("alto saxophone", "F4 G4 A4 Bb4 A4 G4 F4"))
    assert flats == ["bis key held"] * 3 + ["bis B flat"] + ["bis key held"] * 3
    assert fingers_of(run("alto saxophone", "A4 Bb4 B4"))[1] == "side B flat"


def test_a_trill_fingering_stays_with_the_notes_it_is_for() -> None:
    assert "palm D" in fingers_of(run("alto saxophone", "C5 D5 C5"))[1]
    assert fingers_of(run("alto saxophone", "C5 D5 E5"))[1] == ""
    assert MISPLACED.value > 2


def test_the_slide_prefers_to_go_on() -> None:
    """Common practice: D in fourth position between E flat and C in a descending run."""
    moves = run("trombone", "F4 Eb4 D4 C#4")
    labels = [m.fingerings[1].label for m in moves if m.fingerings[1] is not None]
    assert labels == ["position 3", "position 4", "position 5"]
    turned = run("trombone", "Bb3 A3 Bb3", alternates=False)
    assert turned[1].terms[-1].name == "turn of the slide"


def test_standard_fingerings_alone_can_be_asked_for() -> None:
    moves = run("clarinet", "Eb5 C5 Eb5", alternates=False)
    table = load_table("clarinet")
    assert [m.fingerings[1] for m in moves] == [
        table.notes[midi_of("C5")][0],
        table.notes[midi_of("Eb5")][0],
    ]


# --- families and transposition ------------------------------------------------

MARCH = "C4 E4 G4 Bb4 A4 F#4 G4 C5 D5 E5 C5 G4"
FAMILIES = (
    ("soprano saxophone", "alto saxophone", "tenor saxophone", "bass saxophone"),
    ("clarinet in B flat", "clarinet in A", "clarinet in E flat", "bass clarinet"),
    ("flute", "piccolo", "alto flute"),
    ("oboe", "english horn"),
    ("trumpet in B flat", "trumpet in C", "cornet", "flugelhorn", "tenor horn"),
)


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family[0])
def test_one_fingering_one_cost_across_a_family(family: tuple[str, ...]) -> None:
    assert len({cost(instrument, MARCH) for instrument in family}) == 1


SAME_FINGERING = (
    ("horn in F", "C4 E4 G4 A4 C5", "horn in E flat", "D4 F#4 A4 B4 D5"),
    ("euphonium", "Bb2 C3 D3 F3 E3", "euphonium in treble clef", "C4 D4 E4 G4 F#4"),
    ("tuba in B flat", "Bb1 C2 D2 F2", "tuba in C", "C2 D2 E2 G2"),
    ("tuba in B flat", "Bb1 C2 D2 F2", "F tuba", "F2 G2 A2 C3"),
    ("tuba in B flat", "Bb1 C2 D2 F2", "bass in B flat", "C4 D4 E4 G4"),
    ("E flat tuba", "Eb2 F2 G2 Bb2", "bass in E flat", "C4 D4 E4 G4"),
)


@pytest.mark.parametrize(("one", "notes", "other", "moved"), SAME_FINGERING)
def test_one_fingering_one_cost_whatever_it_is_written(
    one: str, notes: str, other: str, moved: str
) -> None:
    first, second = run(one, notes), run(other, moved)
    assert [move.fingerings for move in first] == [move.fingerings for move in second]
    assert [move.cost for move in first] == [move.cost for move in second]


# --- notes that the table does not have -----------------------------------------


@pytest.mark.parametrize(
    ("instrument", "notes", "named"),
    [
        ("flute", "A6 E7", "E7"),
        ("alto saxophone", "A3 Bb3", "A3"),
        ("trombone", "Bb1 B1", "B1"),
        ("clarinet", "C3 C7", "C3 and C7"),
    ],
)
def test_a_note_outside_the_table_is_reported(instrument: str, notes: str, named: str) -> None:
    move = run(instrument, notes)[0]
    outside = move.terms[0]
    assert (outside.name, outside.value) == ("outside the table", OUTSIDE.value)
    assert outside.words == f"{named}: no fingering in the table"
    assert {term.name for term in move.terms} == {"outside the table", "interval"}


def test_a_run_goes_on_after_a_note_outside_the_table() -> None:
    moves = run("alto saxophone", "B4 G6 G6 B4 C5")
    assert [move.terms[0].name for move in moves[:3]] == ["outside the table"] * 3
    assert moves[1].cost == 0
    assert moves[3] == run("alto saxophone", "B4 C5")[0]


def test_a_quarter_tone_has_no_fingering() -> None:
    tones = [Pitch.parse("C5"), Pitch("D", Fraction(1, 2), 5)]
    move = cost_of_tones(tones, instrument_for("flute"))[0]
    assert move.terms[0].words == "D+5: no fingering in the table"


def test_drums_are_plain() -> None:
    snare, bass = Unpitched("C", 5, "snare"), Unpitched("F", 4, "bass drum")
    for instrument in ("snare drum", "clarinet", ""):
        moves = cost_of_tones([snare, snare, bass], instrument_for(instrument))
        assert [move.cost for move in moves] == [0.0, 1.0]
        assert moves[1].terms[0].words == "from snare at C5 to bass drum at F4"


# --- attacks -------------------------------------------------------------------


def test_moves_between_attacks_are_one_fewer() -> None:
    line = attacks("C4 D4 E4 F4")
    moves = cost_of_run(line, instrument_for("clarinet"))
    assert moves == cost_of_tones([a.tones[0] for a in line], instrument_for("clarinet"))
    assert cost_of_run(line[:1], instrument_for("clarinet")) == ()
    assert cost_of_run((), instrument_for("clarinet")) == ()


def test_grace_notes_are_played_on_the_way() -> None:
    eighth = NoteValue("eighth")
    first, second = pitches("G4 A4")
    grace = Grace(pitches("B4"), eighth)
    line = (
        Attack((first,), length(1), graces=(grace,)),
        Attack((second,), length(1), graces=(grace,)),
    )
    move = cost_of_run(line, instrument_for("alto saxophone"))[0]
    through = run("alto saxophone", "G4 B4 A4")
    assert (move.first, move.second, move.through) == (first, second, pitches("B4"))
    assert move.cost == round(sum(part.cost for part in through), 3)
    assert len(cost_of_run(line, instrument_for("alto saxophone"))) == 1


def test_a_chord_goes_by_its_highest_note_on_a_wind_instrument() -> None:
    line = (Attack(pitches("C4 G4"), length(1)), Attack(pitches("D4 A4"), length(1)))
    assert cost_of_run(line, instrument_for("trumpet")) == run("trumpet", "G4 A4")


def test_chords_elsewhere_go_by_their_nearest_notes() -> None:
    line = (Attack(pitches("C4 G4"), length(1)), Attack(pitches("A4 E5"), length(1)))
    assert cost_of_run(line, instrument_for("piano")) == run("piano", "G4 A4")
