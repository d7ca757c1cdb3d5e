"""What the programme must offer to a player, a reader of MusicXML and a drill sheet."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from lxml import etree

from tests.scores.heard import NAMES, document, parsed

FEATURES = (
    ("a pickup bar numbered 0", "march air swing", "part/measure[1][@number='0'][@implicit='yes']"),
    (
        "a rights line",
        "march air swing",
        "identification/rights[.='Dedicated to the public domain (CC0 1.0)']",
    ),
    ("chord symbols", "march air swing", "part/measure/harmony"),
    ("rehearsal marks", "march air swing", "part/measure/direction/direction-type/rehearsal"),
    ("slurs", "march air swing", "part/measure/note/notations/slur"),
    ("accents", "march swing", "part/measure/note/notations/articulations/accent"),
    ("staccato", "march swing", "part/measure/note/notations/articulations/staccato"),
    ("a breath mark", "air swing", "part/measure/note/notations/articulations/breath-mark"),
    ("a fermata", "air", "part/measure/note/notations/fermata"),
    ("grace notes", "march air", "part/measure/note/grace"),
    (
        "triplets with a bracket",
        "march air swing",
        "part/measure/note/notations/tuplet[@bracket='yes']",
    ),
    ("ties over a bar line or in it", "march air swing", "part/measure/note/notations/tied"),
    ("6/8", "march", "part/measure/attributes/time[beats='6'][beat-type='8']"),
    ("5/4", "air", "part/measure/attributes/time[beats='5'][beat-type='4']"),
    ("3/4", "air", "part/measure/attributes/time[beats='3'][beat-type='4']"),
    ("a repeat", "march swing", "part/measure/barline/repeat[@direction='backward']"),
    ("a first ending", "march swing", "part/measure/barline/ending[@number='1'][@type='stop']"),
    ("a second ending", "march swing", "part/measure/barline/ending[@number='2'][@type='start']"),
    ("a multi-bar rest", "march air swing", "part/measure/attributes/measure-style/multiple-rest"),
    ("a final double bar", "march air swing", "part/measure/barline[bar-style='light-heavy']"),
    ("Fine", "march", "part/measure/direction/sound[@fine='yes']"),
    ("a way back to the sign", "march", "part/measure/direction/sound[@dalsegno]"),
    ("a change of key", "march", "part/measure[@number='38']/attributes/key"),
    ("dynamics", "march air swing", "part/measure/direction/direction-type/dynamics"),
    ("hairpins", "march air", "part/measure/direction/direction-type/wedge"),
    (
        "a tempo in words and number",
        "march",
        "part/measure/direction[direction-type/words][direction-type/metronome/beat-unit='quarter']",
    ),
    (
        "a tempo in dotted quarters",
        "march",
        "part/measure/direction/direction-type/metronome[beat-unit='quarter']/beat-unit-dot",
    ),
    (
        "a tempo in words only",
        "air",
        "part/measure[@number='0']/direction[@directive='yes']/direction-type/words",
    ),
    ("swung eighths for playback", "swing", "part/measure/direction/sound/swing"),
    (
        "a spot marked in the score",
        "air swing",
        "part/measure/direction/direction-type/words[.='drill']",
    ),
    (
        "the end of a marked spot",
        "air swing",
        "part/measure/direction/direction-type/words[.='end drill']",
    ),
    (
        "a B flat clarinet",
        "march air swing",
        "part/measure[1]/attributes/transpose[diatonic='-1'][chromatic='-2']",
    ),
    (
        "an E flat alto saxophone",
        "march air swing",
        "part/measure[1]/attributes/transpose[diatonic='-5'][chromatic='-9']",
    ),
    (
        "a part in concert pitch",
        "march air swing",
        "part[not(measure/attributes/transpose)]/measure[1]/attributes/clef",
    ),
    (
        "an instrument an octave lower",
        "air swing",
        "part/measure[1]/attributes/transpose[octave-change='-1']",
    ),
    ("a flat ninth in a chord symbol", "swing", "part/measure/harmony/degree[degree-value='9']"),
    ("a bass under a chord symbol", "march air swing", "part/measure/harmony/bass"),
)
"""Feature, the scores that have it, and where it stands in them (XPath 1.0)."""


@pytest.mark.parametrize(
    ("name", "path"),
    [
        pytest.param(name, path, id=f"{feature}, {name}")
        for feature, names, path in FEATURES
        for name in names.split()
    ],
)
def test_the_score_has(name: str, path: str) -> None:
    assert document(name).xpath(path)


@pytest.mark.parametrize(
    ("name", "least", "most"), [("march", 40, 70), ("air", 24, 40), ("swing", 24, 40)]
)
def test_length_in_bars(name: str, least: int, most: int) -> None:
    for part in document(name).findall("part"):
        assert least <= len(part.findall("measure")) - 1 <= most


@pytest.mark.parametrize(("name", "everywhere"), [("march", True), ("air", False), ("swing", True)])
def test_which_parts_carry_the_rehearsal_marks(name: str, everywhere: bool) -> None:
    marks = [
        [mark.text for mark in part.iter("rehearsal")] for part in document(name).findall("part")
    ]
    assert len(marks[0]) >= 4
    assert all(texts == (marks[0] if everywhere else []) for texts in marks[1:])


@pytest.mark.parametrize("name", NAMES)
def test_words_only_means_no_hidden_number(name: str) -> None:
    """The air gives its tempo in words; no number for playback stands beside them."""
    numbers = document(name).xpath("part/measure/direction/sound[@tempo] | .//metronome")
    assert bool(numbers) == (name != "air")


@pytest.mark.parametrize(
    ("name", "bars"),
    [("march", {20: "1", 21: "2"}), ("swing", {11: "1", 12: "1", 13: "2", 14: "2"})],
)
def test_endings_hold_their_bars(name: str, bars: dict[int, str]) -> None:
    for part in parsed(name).parts:
        found = {
            measure.number: bracket.number
            for bracket in part.recurse().getElementsByClass("RepeatBracket")
            for measure in bracket.getSpannedElements()
        }
        assert bars.items() <= found.items()


def test_the_swung_number_unfolds() -> None:
    """35 bars; bars 5 to 10 twice, each time with its own ending of two."""
    unfolded = parsed("swing").parts[0].expandRepeats()
    numbers = [measure.number for measure in unfolded.getElementsByClass("Measure")]
    assert numbers == [*range(13), *range(5, 11), *range(13, 35)]


# --- the bar of sixteen sixteenths -------------------------------------------------


def _run() -> tuple[list[etree._Element], etree._Element]:
    """The notes of bar 29 of the first clarinet, and what follows at once."""
    part = document("march").find("part[@id='P2']")
    assert part is not None
    notes = part.findall("measure[@number='29']/note")
    landing = part.find("measure[@number='30']/note")
    assert landing is not None
    return notes, landing


def _pitch(note: etree._Element) -> tuple[str | None, str | None, str | None]:
    return (
        note.findtext("pitch/step"),
        note.findtext("pitch/alter"),
        note.findtext("pitch/octave"),
    )


def test_a_full_bar_of_sixteenths_and_its_landing_note() -> None:
    notes, landing = _run()
    assert [note.findtext("type") for note in notes] == ["16th"] * 16
    assert all(note.find("rest") is None for note in notes)
    assert landing.find("pitch") is not None


@pytest.mark.parametrize("size", [2, 3, 4])
def test_no_cell_of_the_run_comes_twice(size: int) -> None:
    """16 cells of two notes, 15 of three, 14 of four, counted with the landing note."""
    notes, landing = _run()
    pitches = [_pitch(note) for note in (*notes, landing)]
    cells = [tuple(pitches[at : at + size]) for at in range(len(pitches) - size + 1)]
    assert len(cells) == 18 - size
    assert len(set(cells)) == len(cells)
    assert all(a != b for a, b in pairwise(pitches))


def test_the_run_has_slurs_and_accents() -> None:
    notes, _ = _run()
    assert sum(note.find("notations/slur[@type='start']") is not None for note in notes) >= 3
    assert sum(note.find("notations/articulations/accent") is not None for note in notes) == 4


def test_there_is_more_to_drill() -> None:
    """Four sixteenths or more in a row, in the first clarinet of the march."""
    part = document("march").find("part[@id='P2']")
    assert part is not None
    sixteenths = part.findall("measure/note[type='16th']")
    assert len(sixteenths) >= 120


# --- multi-bar rests and chord offsets ----------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_a_multi_bar_rest_counts_bars_that_are_silent(name: str) -> None:
    for part in document(name).findall("part"):
        measures = part.findall("measure")
        for index, measure in enumerate(measures):
            count = int(measure.findtext("attributes/measure-style/multiple-rest") or 0)
            for silent in measures[index : index + count]:
                assert silent.find("note/pitch") is None
            assert count != 1


@pytest.mark.parametrize("name", NAMES)
def test_chords_stand_on_beats(name: str) -> None:
    first = parsed(name).parts[0]
    for symbol in first.flatten().getElementsByClass("ChordSymbol"):
        assert Fraction(symbol.beat).denominator == 1, f"bar {symbol.measureNumber}"
