"""The fingering tables hold what the instruments' mechanics and acoustics demand.

Sources.  Valves lower by 2, 1 and 3 semitones, a fourth valve and an F
attachment by 5; a slide position by one: common practice.  Partial n of a tube
lies 12 log2(n) semitones above the first: acoustics.  The trumpet's chart: the
trumpet article of Wikipedia.  Slide positions: en.wikibooks.org/wiki/Trombone/
Slide_Positions.  Saxophone and flute overblow the octave, the clarinet the
twelfth: common practice (phys.unsw.edu.au/music).  The oboe's half hole, thumb
and side octave keys: bretpimentel.com, Commonly fudged woodwind fingerings.
Lowest notes of the instruments: music21.
"""

from __future__ import annotations

import json
from importlib.resources import files
from math import log2

import pytest
from music21 import instrument as music21_instrument

from drills.errors import DrillsError
from drills.instruments.fingering import Table, Use, load_table, table_of
from tests.effort.notes import held, midi_of, name_of, standard

FOLDER = files("drills.instruments").joinpath("tables")
TABLES = tuple(sorted(file.name[:-5] for file in FOLDER.iterdir() if file.name.endswith(".json")))
BRASS = ("trumpet", "horn", "euphonium", "tuba", "trombone")
VALVES = BRASS[:-1]
WOODWINDS = tuple(name for name in TABLES if name not in BRASS)


def span(low: str, high: str) -> range:
    return range(midi_of(low), midi_of(high) + 1)


def test_every_family_has_its_table() -> None:
    assert set(WOODWINDS) == {
        *("saxophone", "baritone-saxophone", "clarinet", "bass-clarinet"),
        *("flute", "oboe", "bassoon"),
    }
    assert set(BRASS) < set(TABLES)


@pytest.mark.parametrize("name", TABLES)
def test_every_note_of_the_range_has_a_fingering(name: str) -> None:
    table = load_table(name)
    assert [name_of(m) for m in range(table.low, table.high + 1) if m not in table.notes] == []


@pytest.mark.parametrize("name", TABLES)
def test_no_two_notes_share_a_fingering_in_one_register(name: str) -> None:
    table = load_table(name)
    seen: dict[object, int] = {}
    for midi, fingerings in table.notes.items():
        for f in fingerings:
            key = (f.register, f.keys, f.partial, f.position, f.side)
            assert key not in seen, f"{name_of(midi)} and {name_of(seen[key])}: {f.label}"
            seen[key] = midi


@pytest.mark.parametrize("name", TABLES)
def test_every_table_names_its_source_and_its_doubtful_notes(name: str) -> None:
    table = load_table(name)
    assert len(table.source) > 40
    assert table.doubtful <= set(table.notes)


TWO_KEYS_OF_ONE_FINGER = {
    *("LH1 bis", "palmD palmEb", "palmD palmEb palmF"),
    *("T R", "A G#", "side3 side4"),
    "C B",
    *("whisper thumbC#", "lowD lowC", "lowD lowC lowB", "lowD lowC lowB lowBb"),
}
"""What one finger (or palm) can hold together: common practice."""


@pytest.mark.parametrize("name", WOODWINDS)
def test_a_finger_holds_only_what_it_can(name: str) -> None:
    table = load_table(name)
    for midi, fingerings in table.notes.items():
        for fingering in fingerings:
            by_finger: dict[str, list[str]] = {}
            for key in fingering.keys:
                by_finger.setdefault(table.keys[key].finger, []).append(key)
            for finger, keys in by_finger.items():
                together = " ".join(keys)
                assert len(keys) == 1 or together in TWO_KEYS_OF_ONE_FINGER, (
                    f"{name_of(midi)}: the {finger} holds {together}"
                )


@pytest.mark.parametrize(
    ("table", "player"),
    [
        ("saxophone", music21_instrument.Saxophone),
        ("clarinet", music21_instrument.Clarinet),
        ("bass-clarinet", music21_instrument.BassClarinet),
        ("flute", music21_instrument.Flute),
        ("oboe", music21_instrument.Oboe),
        ("bassoon", music21_instrument.Bassoon),
        ("trumpet", music21_instrument.Trumpet),
        ("trombone", music21_instrument.Trombone),
    ],
)
def test_lowest_note_as_music21_has_it(
    table: str, player: type[music21_instrument.Instrument]
) -> None:
    assert load_table(table).low == player().lowestNote.midi


# --- overblowing ---------------------------------------------------------------


def test_saxophone_repeats_at_the_octave_with_the_octave_key() -> None:
    table = load_table("saxophone")
    for midi in span("D5", "C6"):
        assert held(table, name_of(midi)) == held(table, name_of(midi - 12)) | {"octave"}
    assert held(table, "C#6") == held(table, "C#5") | {"octave"} == {"octave"}


def test_clarinet_repeats_at_the_twelfth_with_the_register_key() -> None:
    table = load_table("clarinet")
    for midi in span("E3", "F4"):
        low = [frozenset(f.keys) | {"R"} for f in table.notes[midi]]
        assert [frozenset(f.keys) for f in table.notes[midi + 19]] == low


def test_flute_repeats_at_the_octave_by_air_alone() -> None:
    table = load_table("flute")
    for midi in span("E4", "C#5"):
        assert held(table, name_of(midi)) == held(table, name_of(midi + 12))
    for note in ("D", "Eb"):
        assert held(table, f"{note}5") == held(table, f"{note}4") - {"LH1"}
    ordinary = {held(table, name_of(midi)) for midi in span("C4", "C7")}
    assert len(ordinary) == 27


def test_oboe_repeats_at_the_octave_by_half_hole_and_two_octave_keys() -> None:
    table = load_table("oboe")
    for midi in span("C#4", "Eb4"):
        half = held(table, name_of(midi)) - {"LH1"} | {"LH1half"}
        assert held(table, name_of(midi + 12)) == half
    for midi in span("E4", "G#4"):
        assert held(table, name_of(midi + 12)) == held(table, name_of(midi)) | {"oct1"}
    for midi in span("A4", "C5"):
        assert held(table, name_of(midi + 12)) == held(table, name_of(midi)) | {"oct2"}


def test_bassoon_repeats_at_the_octave_by_half_hole_and_without_the_whisper_key() -> None:
    table = load_table("bassoon")
    for midi in span("F#2", "G#2"):
        half = held(table, name_of(midi)) - {"LH1"} | {"LH1half"}
        assert held(table, name_of(midi + 12)) == half
    for midi in span("A2", "C3"):
        without = table.notes[midi + 12][1]
        assert frozenset(without.keys) == held(table, name_of(midi)) - {"whisper"}


KEYS_THAT_CHANGE = (
    ("saxophone", "C#5", "D5", 7),
    ("saxophone", "C5", "D5", 6),
    ("saxophone", "B4", "C5", 2),
    ("clarinet", "Bb4", "B4", 9),
    ("clarinet", "A4", "B4", 10),
    ("clarinet", "G4", "A4", 1),
    ("flute", "C#5", "D5", 7),
    ("flute", "C5", "D5", 8),
)
"""Counted on printed charts across the break."""


@pytest.mark.parametrize(("name", "first", "second", "count"), KEYS_THAT_CHANGE)
def test_keys_that_change(name: str, first: str, second: str, count: int) -> None:
    table = load_table(name)
    assert len(held(table, first) ^ held(table, second)) == count


# --- brass ---------------------------------------------------------------------


@pytest.mark.parametrize("name", BRASS)
def test_open_notes_are_a_harmonic_series(name: str) -> None:
    for series in load_table(name).open_notes.values():
        reference = series[2] - 12
        for partial, midi in series.items():
            assert abs(midi - reference - 12 * log2(partial)) < 0.5


@pytest.mark.parametrize("name", VALVES)
def test_valves_lower_by_their_semitones(name: str) -> None:
    table = load_table(name)
    semitones = {key.name: key.semitones for key in table.keys.values()}
    assert {v: s for v, s in semitones.items() if v in "123"} == {"1": 2, "2": 1, "3": 3}
    assert semitones.get("4", 5) == 5
    for midi, fingerings in table.notes.items():
        for f in fingerings:
            side = "B flat" if f.side == "B flat" else ""
            assert ("T" in f.keys) == (f.side == "B flat")
            lowered = sum(semitones[key] for key in f.keys)
            assert table.open_notes[side][f.partial] - lowered == midi, name_of(midi)


def test_the_horn_is_a_fourth_higher_on_the_b_flat_side() -> None:
    sides = load_table("horn").open_notes
    for partial, midi in sides["B flat"].items():
        assert midi - sides[""][partial] == 5


TRUMPET_CHART = "123 13 23 12 1 2 0 123 13 23 12 1 2 0 23 12 1 2 0 12 1 2 0 1 2 0 23 12 1 2 0"


def test_the_trumpet_chart_from_low_f_sharp_to_high_c() -> None:
    table = load_table("trumpet")
    chart = ["".join(table.notes[m][0].keys) or "0" for m in span("F#3", "C6")]
    assert chart == TRUMPET_CHART.split()


def test_euphonium_and_trumpet_differ_by_transposition_and_the_fourth_valve() -> None:
    trumpet, euphonium = load_table("trumpet"), load_table("euphonium")
    for midi in span("F#3", "C6"):
        ours = euphonium.notes[midi - 14][0].keys
        theirs = trumpet.notes[midi][0].keys
        assert ours == {("1", "3"): ("4",), ("1", "2", "3"): ("2", "4")}.get(theirs, theirs)


SLIDE_POSITIONS = {
    "E2": {"7", "T2"},
    "F2": {"6", "T1"},
    "Bb2": {"1"},
    "B2": {"7", "T2"},
    "F3": {"1", "6"},
    "B3": {"4", "7"},
    "C4": {"3", "6"},
    "D4": {"1", "4", "7"},
    "G#4": {"3", "5", "7"},
}


@pytest.mark.parametrize(("note", "positions"), SLIDE_POSITIONS.items())
def test_slide_positions_as_published(note: str, positions: set[str]) -> None:
    fingerings = load_table("trombone").notes[midi_of(note)]
    assert {f.label.removeprefix("position ") for f in fingerings} == positions


def test_positions_and_the_trigger_follow_the_semitone_rule() -> None:
    table = load_table("trombone")
    for midi, fingerings in table.notes.items():
        for f in fingerings:
            trigger = 5 if "T" in f.keys else 0
            first = table.open_notes[""][f.partial]
            assert f.position == first - trigger - midi + 1
            assert 1 <= f.position <= (6 if trigger else 7)
            assert (f.partial, f.position) != (7, 1), (
                "the seventh partial cannot be raised in first"
            )


# --- loading -------------------------------------------------------------------


def test_a_table_is_read_once() -> None:
    assert load_table("flute") is load_table("flute")


def test_a_table_that_extends_another_takes_over_what_it_does_not_say() -> None:
    bass, clarinet = load_table("bass-clarinet"), load_table("clarinet")
    assert bass.notes[midi_of("B4")] == clarinet.notes[midi_of("B4")]
    assert midi_of("Eb3") in bass.notes
    assert midi_of("Eb3") not in clarinet.notes


def test_a_missing_table_says_what_to_do() -> None:
    with pytest.raises(DrillsError, match="'ocarina' is missing or damaged; install drills again"):
        load_table("ocarina")


def damaged(**changes: object) -> dict[str, object]:
    data: dict[str, object] = json.loads(FOLDER.joinpath("flute.json").read_text("utf-8"))
    return data | changes


WRONG_FINGERINGS = (
    ({"C4": [{"keys": "T LH9"}]}, "holds LH9"),
    ({"C4": [{"keys": "T T"}]}, "holds a key twice"),
    ({"C4": [{"keys": "T", "use": "equal"}]}, "must begin with its one standard"),
    ({"C4": [{"keys": "T"}, {"keys": "LH1"}]}, "must begin with its one standard"),
    ({"H4": [{"keys": "T"}]}, "'H4' is not a pitch"),
    ({"C4": [{"keys": "T", "use": "sometimes"}]}, "'sometimes' is not a valid Use"),
)


@pytest.mark.parametrize(("fingerings", "what"), WRONG_FINGERINGS)
def test_a_table_that_contradicts_itself_is_refused(
    fingerings: dict[str, object], what: str
) -> None:
    with pytest.raises(DrillsError, match=what):
        table_of(damaged(fingerings=fingerings), "flute")


def test_a_table_without_its_source_is_refused() -> None:
    data = damaged()
    del data["source"]
    with pytest.raises(DrillsError, match="source"):
        table_of(data, "flute")


LABELS = (
    ("saxophone", "G4", 0, "LH1 LH2 LH3"),
    ("saxophone", "Bb4", 1, "LH1 bis (bis B flat)"),
    ("saxophone", "C#5", 0, "open"),
    ("trumpet", "A4", 0, "1-2"),
    ("trumpet", "C5", 0, "open"),
    ("horn", "A4", 0, "B flat side 1-2"),
    ("trombone", "C3", 0, "position 6"),
    ("trombone", "C3", 1, "T1"),
)


@pytest.mark.parametrize(("name", "note", "number", "label"), LABELS)
def test_a_fingering_as_a_player_reads_it(name: str, note: str, number: int, label: str) -> None:
    assert load_table(name).notes[midi_of(note)][number].label == label


def test_the_standard_fingering_comes_first_and_alone() -> None:
    for name in TABLES:
        table: Table = load_table(name)
        for midi, fingerings in table.notes.items():
            assert standard(table, name_of(midi)).use is Use.STANDARD
            assert all(f.use is not Use.STANDARD for f in fingerings[1:])
