"""The written MusicXML: valid, and the same notes for every reader at hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import music21
import pytest
from hypothesis import HealthCheck, given, settings
from lxml import etree

import drills
from drills.music.notes import Articulation, Event, Grace, Note, Voice
from drills.music.pitch import SEMITONES, KeySignature, Pitch, Transposition
from drills.music.score import (
    Bar,
    ChordDegree,
    ChordSymbol,
    Clef,
    Direction,
    Instrument,
    RehearsalMark,
    TempoMark,
)
from drills.music.time import NoteValue, TimeSignature, position
from drills.output.musicxml import musicxml_bytes
from drills.places.finding import find_span
from drills.reading.musicxml import open_score, read_all, read_part
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from tests.output.fixtures_time import (
    ALTO,
    CLARINET,
    OBOE,
    bars,
    drill,
    group,
    sheet,
    sheets,
)
from tests.output.musicxml_readers import by_music21, by_partitura, in_sheets
from tests.schema import complaints

MANY = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def one(*music: Bar, repeated: bool = False) -> Sheet:
    return sheet(group(drill(music, repeated=repeated)))


def written(*music: Bar) -> etree._Element:
    """The document of one drill, which must be valid."""
    return parsed(musicxml_bytes([one(*music)]))


def parsed(document: bytes) -> etree._Element:
    assert complaints(document) == []
    return etree.fromstring(document)


def texts(root: etree._Element, path: str) -> list[str]:
    return [found.text or "" for found in root.iterfind(path)]


def with_events(bar: Bar, **changes: object) -> Bar:
    """The bar with a change to each of its notes."""
    events = tuple(replace(e, **changes) for e in bar.voices[0].events)  # type: ignore[arg-type]
    return replace(bar, voices=(Voice("1", events),))


def notes_in(bar: Bar) -> list[Note]:
    return [event for event in bar.voices[0].events if isinstance(event, Note)]


# --- readers ---------------------------------------------------------------------


@given(sheets())
@MANY
def test_it_is_valid_and_two_libraries_read_the_same_notes(tmp_path: Path, music: Sheet) -> None:
    document = musicxml_bytes([music])
    assert complaints(document) == []
    wanted = in_sheets([music])
    assert by_music21(document) == wanted
    assert by_partitura(document, tmp_path) == wanted


@given(sheets())
@MANY
def test_we_read_what_we_wrote(tmp_path: Path, music: Sheet) -> None:
    """Every event is equal: values, tuplets (nested too), ties, graces, accents."""
    path = tmp_path / "written.musicxml"
    path.write_bytes(musicxml_bytes([music]))
    part = read_part(open_score(path))
    ours = [bar for g in music.blocks for d in g.drills for bar in d.bars]
    assert [bar.voices[0].events for bar in part.bars] == [bar.voices[0].events for bar in ours]
    assert [bar.time for bar in part.bars] == [bar.time for bar in ours]
    moved = [bar.instrument.transposition for bar in part.bars]
    assert moved == [bar.instrument.transposition for bar in ours]


def test_sheets_follow_one_another_and_every_reader_agrees(tmp_path: Path) -> None:
    first = replace(one(*bars("C4/4 D4/2.", instrument=CLARINET)), part="Clarinet 2")
    second = replace(one(*bars("E4/2.", "3/4", ALTO)), part="Alto saxophone")
    document = musicxml_bytes([first, second])
    root = parsed(document)
    assert texts(root, "part-list/score-part/part-name") == ["Clarinet 2, Alto saxophone"]
    assert [p.get("new-page") for p in root.iterfind(".//print")] == ["yes"]
    used = [n.get("id") for n in root.iterfind(".//note/instrument")]
    assert used == ["P1-I1", "P1-I1", "P1-I2"]
    assert by_music21(document) == by_partitura(document, tmp_path) == in_sheets([first, second])


@pytest.mark.parametrize("text", ["C+4/4 Dd4/4 F#+4/4 Bdb4/4", "x:C5/4 snare:E4/4 x:G5/2"])
def test_microtones_and_drums_come_back(tmp_path: Path, text: str) -> None:
    music = one(*bars(text))
    document = musicxml_bytes([music])
    assert complaints(document) == []
    assert by_music21(document) == in_sheets([music])
    if ":" not in text:  # partitura keeps whole semitones only, so microtones are not asked of it
        return
    assert by_partitura(document, tmp_path) == in_sheets([music])


def everything() -> Bar:
    """One bar with every sign that a bar can carry."""
    (bar,) = bars("C4/8( D4/8) 'E4/16' F4/4 {3:2 G4/8 A4/8 r/8} C5|E5/4", instrument=CLARINET)
    first, *rest = bar.voices[0].events
    assert isinstance(first, Note)
    last = rest[-1]
    assert isinstance(last, Note)
    first = replace(first, articulations=tuple(Articulation), octave_line=1)
    after = Grace((Pitch.parse("D5"),), NoteValue("32nd"), slashed=False)
    last = replace(last, graces_after=(after, after))
    (low,) = bars("C3/2 C3/4. r/8")
    second = Voice("2", tuple(replace(e, hidden=True) for e in low.voices[0].events))
    (cue,) = bars("G5/2 G5/2")
    third = Voice("3", tuple(replace(e, cue=True) for e in notes_in(cue)[1:]))
    return replace(
        bar,
        key=KeySignature(-3, "minor"),
        clef=Clef("G", 2, -1),
        voices=(Voice("1", (first, *rest[:-1], last)), second, third),
        marks=(RehearsalMark("E"), RehearsalMark("12")),
        tempos=(
            TempoMark(position(0), NoteValue("quarter", 1), Fraction(181, 2), "Con brio"),
            TempoMark(position(1), text="slower"),
            TempoMark(position(2)),
        ),
        chords=(
            ChordSymbol(position(0), "Bb", "dominant", "7", "D"),
            ChordSymbol(
                position(3, 2),
                "F#",
                "minor",
                degrees=(
                    ChordDegree(9, Fraction(-1), "add"),
                    ChordDegree(5, Fraction(0), "subtract", printed=False),
                ),
            ),
            ChordSymbol(position(3), "", "none", "N.C."),
        ),
        directions=(
            Direction(position(0), "dynamic", "sfz"),
            Direction(position(1, 3), "dynamic", "p possibile"),
            Direction(position(7, 2), "words", "dolce"),
        ),
        clef_changes=((position(2), Clef("F", 4)),),
        key_changes=(
            (position(3), KeySignature(custom=(("F", Fraction(1)), ("B", Fraction(-1, 2))))),
        ),
    )


def test_everything_that_a_bar_can_carry_is_valid() -> None:
    music = one(everything())
    document = musicxml_bytes([music])
    root = parsed(document)
    assert texts(root, ".//rehearsal") == ["E", "12"]
    assert texts(root, ".//harmony//root-step") == ["B", "F", "C"]
    assert texts(root, ".//harmony/kind") == ["dominant", "minor", "none"]
    shown = [degree.get("print-object") for degree in root.findall(".//harmony/degree")]
    assert shown == [None, "no"]
    assert texts(root, ".//key/key-alter") == ["1", "-0.5"]
    assert [f.tag for f in root.iterfind(".//dynamics/*")] == ["sfz", "other-dynamics"]
    assert [s.get("type") for s in root.iterfind(".//octave-shift")] == ["down", "stop"]
    assert len(root.findall(".//note[@print-object='no']")) == 3
    assert len(root.findall(".//note/cue")) == 1
    assert [s.get("tempo") for s in root.iterfind(".//sound")] == ["60", "135.75"]
    assert by_music21(document) == in_sheets([music])


def test_every_sign_on_a_note_comes_back() -> None:
    """By music21, which has a class for each of them."""
    (bar,) = bars("C4/1")
    for sign in Articulation:
        document = musicxml_bytes([one(with_events(bar, articulations=(sign,)))])
        note = music21.converter.parseData(document, format="musicxml").flatten().notes[0]
        found = [type(mark).__name__ for mark in (*note.articulations, *note.expressions)]
        assert found == [MUSIC21_SIGNS[sign]], sign


MUSIC21_SIGNS = {
    Articulation.ACCENT: "Accent",
    Articulation.STRONG_ACCENT: "StrongAccent",
    Articulation.STACCATO: "Staccato",
    Articulation.STACCATISSIMO: "Staccatissimo",
    Articulation.TENUTO: "Tenuto",
    Articulation.DETACHED_LEGATO: "DetachedLegato",
    Articulation.BREATH_MARK: "BreathMark",
    Articulation.FERMATA: "Fermata",
    Articulation.TRILL: "Trill",
    Articulation.TURN: "Turn",
    Articulation.INVERTED_TURN: "InvertedTurn",
    Articulation.MORDENT: "Mordent",
    Articulation.INVERTED_MORDENT: "InvertedMordent",
    Articulation.TREMOLO: "Tremolo",
    Articulation.SCOOP: "Scoop",
    Articulation.PLOP: "Plop",
    Articulation.DOIT: "Doit",
    Articulation.FALLOFF: "Falloff",
}


# --- transposition ---------------------------------------------------------------

TRANSPOSITIONS = (
    ("piccolo", Transposition(7, 12), ("0", "0", "1")),
    ("clarinet in E flat", Transposition(2, 3), ("2", "3", None)),
    ("clarinet in B flat", Transposition(-1, -2), ("-1", "-2", None)),
    ("clarinet in A", Transposition(-2, -3), ("-2", "-3", None)),
    ("horn in F", Transposition(-4, -7), ("-4", "-7", None)),
    ("alto saxophone", Transposition(-5, -9), ("-5", "-9", None)),
    ("tenor saxophone", Transposition(-8, -14), ("-1", "-2", "-1")),
    ("baritone saxophone", Transposition(-12, -21), ("-5", "-9", "-1")),
    ("double bass", Transposition(-7, -12), ("0", "0", "-1")),
)
"""Steps, semitones and octaves of ``transpose``, octaves apart: the W3C reference for the
element (MusicXML 4.0) with the usual transpositions of the instruments (common practice)."""


@pytest.mark.parametrize(("name", "moved", "wanted"), TRANSPOSITIONS)
def test_transposition_is_told_with_octaves_apart(
    name: str, moved: Transposition, wanted: tuple[str, str, str | None]
) -> None:
    document = musicxml_bytes(
        [one(*bars("C5/4 F#4/4 Bb4/2", instrument=Instrument(name, "", moved)))]
    )
    transpose = parsed(document).find(".//transpose")
    assert transpose is not None
    tags = ("diatonic", "chromatic", "octave-change")
    assert tuple(transpose.findtext(tag) for tag in tags) == wanted
    # and music21 hears what we say that sounds
    part = music21.converter.parseData(document, format="musicxml").parts[0]
    heard = [p.nameWithOctave.replace("-", "b") for p in part.toSoundingPitch().flatten().pitches]
    assert heard == [str(moved.sounding(Pitch.parse(text))) for text in ("C5", "F#4", "Bb4")]


def test_a_return_to_concert_pitch_is_told() -> None:
    root = written(*bars("C4/1", instrument=CLARINET), *bars("C4/1", instrument=OBOE))
    assert texts(root, ".//transpose/chromatic") == ["-2", "0"]


# --- accidentals -----------------------------------------------------------------

SHOWN = {
    "sharp": 1,
    "flat": -1,
    "natural": 0,
    "double-sharp": 2,
    "flat-flat": -2,
    "quarter-sharp": 0.5,
    "quarter-flat": -0.5,
}
"""Semitones of the signs, from the definitions of ``accidental-value`` in MusicXML 4.0."""


def alters_as_printed(measure: etree._Element, key: KeySignature) -> Iterator[tuple[float, float]]:
    """For each note what a player would play from the print, and what is meant."""
    in_force: dict[str, float] = {}
    for note in measure.iterfind("note"):
        pitch = note.find("pitch")
        if pitch is None:
            continue
        step, octave = pitch.findtext("step", ""), pitch.findtext("octave", "")
        place = step + octave
        meant = float(pitch.findtext("alter", "0"))
        sign = note.findtext("accidental")
        if sign is not None:
            in_force[place] = SHOWN[sign]
        tied = any(tie.get("type") == "stop" for tie in note.iterfind("tie"))
        yield (meant if tied else in_force.get(place, float(key.alter_of(step)))), meant


@given(sheets())
@MANY
def test_a_player_who_reads_only_the_print_plays_the_right_notes(music: Sheet) -> None:
    for fifths in (0, 3, -4):
        key = KeySignature(fifths)
        drills = [d for g in music.blocks for d in g.drills]
        changed = [replace(d, bars=tuple(replace(b, key=key) for b in d.bars)) for d in drills]
        root = parsed(musicxml_bytes([sheet(group(*changed))]))
        for measure in root.iterfind(".//measure"):
            for played, meant in alters_as_printed(measure, key):
                assert played == meant


@pytest.mark.parametrize(
    ("text", "fifths", "wanted"),
    [
        ("F#4/4 F#4/4 F4/4 F4/4", 0, ["sharp", "", "natural", ""]),
        ("F#4/4 F#5/4 F5/4 F4/4", 0, ["sharp", "sharp", "natural", "natural"]),
        ("F#4/4 F4/4 F#4/2", 1, ["", "natural", "sharp"]),
        ("'F#4/16' F#4/2 G4/2", 0, ["sharp", "", ""]),
        ("C#4/2 C#4/2~ | C#4/2 C#4/2", 0, ["sharp", "", "", "sharp"]),
        ("C#4/2 C#4/2~ | C#4/2 C4/2", 0, ["sharp", "", "", "natural"]),
        ("Bb4/4 Bbb4/4 B4/4 B##4/4", -1, ["", "flat-flat", "natural", "double-sharp"]),
    ],
)
def test_accidentals_hold_to_the_end_of_the_bar(text: str, fifths: int, wanted: list[str]) -> None:
    """Common practice: on their own line or space only; a tied note needs none."""
    music = [replace(bar, key=KeySignature(fifths)) for bar in bars(text)]
    notes = written(*music).iterfind(".//note")
    assert [note.findtext("accidental", "") for note in notes] == wanted


# --- beams -----------------------------------------------------------------------


def beams_of(root: etree._Element) -> list[list[str]]:
    return [
        [beam.text or "" for beam in note.iterfind("beam")] for note in root.iterfind(".//note")
    ]


@pytest.mark.parametrize(
    ("text", "time", "wanted"),
    [
        ("C4/8.[ C4/16] r/4", "2/4", ["begin", "end/backward hook", ""]),
        ("C4/16[ C4/8.] r/4", "2/4", ["begin/forward hook", "end", ""]),
        (
            "C4/16[ C4/8- C4/16] r/4",
            "2/4",
            ["begin/forward hook", "continue", "end/backward hook", ""],
        ),
        ("C4/8.[ C4/16- C4/8] r/4.", "6/8", ["begin", "continue/backward hook", "end", ""]),
        ("C4/8[ C4/16- C4/8.] r/4.", "6/8", ["begin", "continue/forward hook", "end", ""]),
        ("{3:2 C4/8.[ C4/16- C4/8]} r/4", "2/4", ["begin", "continue/backward hook", "end", ""]),
        (
            "C4/8[ C4/32- C4/32- C4/16] r/4",
            "2/4",
            ["begin", "continue/begin/begin", "continue/continue/end", "end/end", ""],
        ),
        # one primary beam over two beats: the second beam stops where the beat does
        (
            "C4/8[ C4/16- C4/16- C4/16- C4/16- C4/8]",
            "2/4",
            ["begin", "continue/begin", "continue/end", "continue/begin", "continue/end", "end"],
        ),
        (
            "C4/8[ C4/8- C4/16- C4/8- C4/16]",
            "4/8",
            ["begin", "continue", "continue/forward hook", "continue", "end/backward hook"],
        ),
        # a rest under the beam: the first beam goes on
        ("C4/16[ r/8 C4/16] r/4", "2/4", ["begin/forward hook", "", "end/backward hook", ""]),
        ("C4/8 C4/8 r/4", "2/4", ["", "", ""]),
    ],
)
def test_beams_of_every_level(text: str, time: str, wanted: list[str]) -> None:
    """Common practice of engraving."""
    assert ["/".join(levels) for levels in beams_of(written(*bars(text, time)))] == wanted


ONE_BEAM = (
    "*/8 */8",
    "*/8. */16",
    "*/16 */8.",
    "*/16 */8 */16",
    "*/64 */64 */32 */16 */8",
    "*/32. */64 */16 */8",
    "*/8 */16 */32 */32",
    "*/16 */16 */16 */16",
    "{3:2 */8 */8 */8}",
    "{3:2 */8 */16 */16 */8}",
    "{5:4 */16 */16 */16 */16 */16}",
    "{6:4 */16 */16 */8 */16 */16}",
)


@pytest.mark.parametrize("figure", ONE_BEAM)
def test_beams_of_one_beat_are_those_of_music21(figure: str) -> None:
    """music21 works out beams from the durations alone."""
    tokens = figure.split()
    places = [i for i, token in enumerate(tokens) if token.startswith("*")]
    signs = dict.fromkeys(places, "-") | {places[0]: "[", places[-1]: "]"}
    for place, sign in signs.items():
        head = tokens[place].rstrip("}")
        tokens[place] = head.replace("*", "C4") + sign + tokens[place][len(head) :]
    (bar,) = bars(" ".join(tokens), "1/4")
    durations = [
        music21.note.Note(quarterLength=Fraction(e.length.quarters)) for e in bar.voices[0].events
    ]
    measure = music21.stream.Measure(durations)
    found = music21.meter.TimeSignature("1/4").getBeams(measure, measureStartOffset=0.0)
    wanted = [[_beam_word(beam) for beam in note] for note in found]
    assert beams_of(written(bar)) == wanted


def _beam_word(beam: music21.beam.Beam) -> str:
    words = {"start": "begin", "stop": "end", "continue": "continue"}
    return (
        words.get(beam.type) or {"left": "backward hook", "right": "forward hook"}[beam.direction]
    )


def test_grace_notes_share_a_beam() -> None:
    root = written(*bars("'C4/16' 'D4/16' E4/2 'F4/8' G4/2"))
    assert beams_of(root) == [["begin", "begin"], ["end", "end"], [], [], []]


# --- tuplets and slurs -----------------------------------------------------------


def test_a_tuplet_under_its_own_beam_needs_no_bracket() -> None:
    beamed = written(*bars("{3:2 C4/8[ D4/8- E4/8]} {3:2 C4/4 D4/8} r/2"))
    assert [t.get("bracket") for t in beamed.iterfind(".//tuplet[@type='start']")] == ["no", "yes"]
    assert texts(beamed, ".//normal-type") == ["eighth"]


def test_nested_tuplets_are_numbered_and_tell_their_own_ratio() -> None:
    """The W3C reference for ``tuplet``: nested ones have tuplet-actual and tuplet-normal each,
    and time-modification holds the product."""
    root = written(*bars("{3:2 {5:4 C4/32 C4/32 C4/32 C4/32 C4/32} D4/8 E4/8} r/2."))
    found = [(t.get("type"), t.get("number")) for t in root.iterfind(".//tuplet")]
    assert found == [("start", "1"), ("start", "2"), ("stop", "2"), ("stop", "1")]
    actual = texts(root, ".//tuplet-actual/tuplet-number")
    assert (actual, texts(root, ".//tuplet-normal/tuplet-number")) == (["3", "5"], ["2", "4"])
    assert texts(root, ".//tuplet-actual/tuplet-type") == ["eighth", "32nd"]
    inner = root.find(".//note/time-modification")
    assert inner is not None
    assert [inner.findtext("actual-notes"), inner.findtext("normal-notes")] == ["15", "8"]


def test_slur_numbers_are_used_again_and_half_a_slur_is_left_out() -> None:
    root = written(*bars("C4/4( D4/4) E4/4( F4/4) | C4/4 D4/4) E4/4 F4/4("))
    found = [(s.get("type"), s.get("number")) for s in root.iterfind(".//slur")]
    assert found == [("start", "1"), ("stop", "1"), ("start", "1"), ("stop", "1")]


def test_slurs_that_overlap_have_numbers_of_their_own() -> None:
    (bar,) = bars("C4/4 D4/4 E4/4 F4/4")
    marks = (((7,), ()), ((8,), ()), ((9,), (8,)), ((), (7, 9)))
    events = tuple(
        replace(event, slur_starts=starts, slur_stops=stops)
        for event, (starts, stops) in zip(notes_in(bar), marks, strict=True)
    )
    root = written(replace(bar, voices=(Voice("1", events),)))
    found = [(s.get("type"), s.get("number")) for s in root.iterfind(".//slur")]
    assert found == [
        *(("start", "1"), ("start", "2"), ("stop", "2")),
        *(("start", "3"), ("stop", "1"), ("stop", "3")),
    ]


# --- the document ----------------------------------------------------------------


def two_groups() -> Sheet:
    cells = group(drill(bars("C4/2 D4/2"), "1-2"), drill(bars("D4/2 E4/2"), "2-3"))
    line = drill(bars("C4/8. D4/16 E4/2."), "reversed dotted", repeated=False)
    return sheet(cells, group(line, title="The whole line in rhythms"))


def test_labels_headings_and_bar_lines() -> None:
    root = parsed(musicxml_bytes([two_groups()]))
    words = [
        [(w.text, w.get("font-weight")) for w in measure.iterfind(".//words")]
        for measure in root.iterfind(".//measure")
    ]
    assert words == [
        [("1-2", None), ("Two notes at a time", "bold"), ("Bar 1, the whole bar", "bold")],
        [("2-3", None)],
        [("reversed dotted", None), ("The whole line in rhythms", "bold")],
    ]
    repeats = [
        [r.get("direction") for r in measure.iterfind(".//repeat")]
        for measure in root.iterfind(".//measure")
    ]
    assert repeats == [["forward", "backward"], ["forward", "backward"], []]
    assert texts(root, ".//bar-style")[-1] == "light-heavy"
    assert [m.get("number") for m in root.iterfind(".//measure")] == ["1", "2", "3"]
    assert [bool(m.findall("print")) for m in root.iterfind(".//measure")] == [False, False, True]


def test_a_line_between_others_ends_in_a_double_bar() -> None:
    lines = [drill(bars("C4/1 | D4/1"), repeated=False) for _ in range(2)]
    assert texts(parsed(musicxml_bytes([sheet(group(*lines))])), ".//bar-style") == [
        "light-light",
        "light-heavy",
    ]


def test_the_header_tells_what_it_is_made_from() -> None:
    root = parsed(musicxml_bytes([two_groups()], "drills-made-from:0123456789abcdef"))
    assert root.findtext("work/work-title") == "Harbour March"
    assert root.findtext("movement-title") == "Bar 1, the whole bar"
    assert root.findtext("identification/creator[@type='composer']") == "harbour band"
    assert root.findtext("identification/rights") == "free to copy"
    assert root.findtext("identification/encoding/software") == "drills"
    field = root.find("identification/miscellaneous/miscellaneous-field")
    assert field is not None
    assert (field.get("name"), field.text) == ("drills", "drills-made-from:0123456789abcdef")


def test_the_ladder_s_first_number_is_the_tempo() -> None:
    root = parsed(musicxml_bytes([two_groups()]))
    assert texts(root, ".//per-minute") == ["60"]
    assert [s.get("tempo") for s in root.iterfind(".//sound")] == ["60"]


@pytest.mark.parametrize(
    ("time", "beats", "unit", "symbol"),
    [
        (TimeSignature((3, 2), 8), "3+2", "8", None),
        (TimeSignature((4,), 4, "common"), "4", "4", "common"),
        (TimeSignature((2,), 2, "cut"), "2", "2", "cut"),
    ],
)
def test_time_signatures(time: TimeSignature, beats: str, unit: str, symbol: str | None) -> None:
    (bar,) = bars("r/R", str(time))
    found = written(replace(bar, time=time)).find(".//time")
    assert found is not None
    assert (found.findtext("beats"), found.findtext("beat-type")) == (beats, unit)
    assert found.get("symbol") == symbol


def test_what_does_not_change_is_not_written_again() -> None:
    root = written(*bars("C4/1 | D4/1"), *bars("E4/2.", "3/4"))
    attributes = [[child.tag for child in a] for a in root.iterfind(".//attributes")]
    assert attributes == [["divisions", "key", "time", "clef"], ["time"]]


def test_divisions_are_the_least_that_are_exact() -> None:
    assert texts(written(*bars("C4/1")), ".//divisions") == ["1"]
    root = written(
        *bars("{3:2 C4/8 D4/8 E4/8} {5:4 C4/16 D4/16 E4/16 F4/16 G4/16} C4/64 D4/32. r/2")
    )
    assert texts(root, ".//divisions") == ["240"]  # lcm of 3, 5 and 16


def test_a_rest_of_a_bar_has_no_value() -> None:
    rest = written(*bars("r/R", "3/4")).find(".//note")
    assert rest is not None
    assert [child.tag for child in rest] == ["rest", "duration", "voice"]


def test_a_sheet_without_drills_is_an_empty_bar() -> None:
    """A line of one note has nothing to drill; the document is still valid."""
    empty = sheet(music=bars("C4/1"))
    for found in (musicxml_bytes([empty]), musicxml_bytes([])):
        assert [note[0].tag for note in parsed(found).iterfind(".//note")] == ["rest"]


def test_hostile_texts_stay_texts() -> None:
    title = 'A "march" <&> ]]> #(system "x") \x00\x1b\ud800 ☂'
    music = sheet(*two_groups().blocks, title=title)
    root = parsed(musicxml_bytes([music], mark="</miscellaneous-field>"))
    assert root.findtext("work/work-title") == 'A "march" <&> ]]> #(system "x") ��� ☂'


def test_the_same_sheets_give_the_same_bytes() -> None:
    assert musicxml_bytes([two_groups()], "m") == musicxml_bytes([two_groups()], "m")


def test_every_semitone_of_the_table_is_told_by_step_and_alter() -> None:
    """C4 is MIDI 60 (scientific pitch): music21 hears the same number for every spelling."""
    names = [f"{step}{sign}4" for step in SEMITONES for sign in ("bb", "b", "", "#", "##")]
    music = one(*bars(" | ".join(f"{name}/1" for name in names)))
    part = music21.converter.parseData(musicxml_bytes([music]), format="musicxml").parts[0]
    assert [p.midi for p in part.flatten().pitches] == [Pitch.parse(name).midi for name in names]


# --- real sheets -----------------------------------------------------------------

SCORES = sorted((Path(drills.__file__).parent.parent / "scores").glob("*.musicxml"))


@pytest.mark.parametrize("path", SCORES, ids=lambda path: path.stem)
def test_sheets_of_the_demo_scores_are_read_alike(tmp_path: Path, path: Path) -> None:
    """Every part, a bar in eight, all orders of rhythms as they come: by three readers."""
    for part in read_all(open_score(path)):
        made = [
            make_sheet(part, find_span(part, bar.number), Choices())
            for bar in part.bars[3::8]
            if any(note.is_attack for voice in bar.voices for note in notes_of(voice))
        ]
        document = musicxml_bytes(made)
        assert complaints(document) == []
        assert by_music21(document) == by_partitura(document, tmp_path) == in_sheets(made)
        (tmp_path / "own.musicxml").write_bytes(document)
        back = list(read_part(open_score(tmp_path / "own.musicxml")).bars)
        for one in (d for s in made for g in s.blocks for d in g.drills):
            read, back = back[: len(one.bars)], back[len(one.bars) :]
            assert [unslurred(bar) for bar in read] == [unslurred(bar) for bar in one.bars]
            assert slurs_in(read) == slurs_in(one.bars)
        assert back == []


def notes_of(voice: Voice) -> list[Note]:
    return [event for event in voice.events if isinstance(event, Note)]


def slurs_in(music: Sequence[Bar]) -> set[tuple[int, int]]:
    """Where each slur begins and ends, in notes and grace notes from the first."""
    begun: dict[int, int] = {}
    found = set()
    notes = [note for bar in music for note in notes_of(bar.voices[0])]
    sites: list[Note | Grace] = []
    for note in notes:
        sites += [*note.graces, note, *note.graces_after]
    for place, site in enumerate(sites):
        found |= {(begun.pop(slur), place) for slur in site.slur_stops if slur in begun}
        begun |= dict.fromkeys(site.slur_starts, place)
    return found


def unslurred(bar: Bar) -> list[Event]:
    """The events without the numbers of their slurs, which are given anew."""
    plain: list[Event] = []
    for event in bar.voices[0].events:
        if isinstance(event, Note):
            graces = tuple(replace(g, slur_starts=(), slur_stops=()) for g in event.graces)
            signs = tuple(sorted(event.articulations))
            plain.append(
                replace(event, graces=graces, slur_starts=(), slur_stops=(), articulations=signs)
            )
        else:
            plain.append(event)
    return plain
