"""The section page: chords, chords built up and cells, against answers written by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import music21
import pytest

from drills.music.notes import Articulation, Note, Voice
from drills.music.score import Bar, Part
from drills.places.bar_names import completes_previous
from drills.reading.musicxml import open_score, read_all
from drills.section.making import CELLS as USUAL_CELLS
from drills.section.making import SHORT_FROM, make_section
from drills.section.players import Section
from drills.section.score import ScoreKind, SectionScore, Staff
from drills.sheets.choices import Choices
from drills.sheets.drill import Ending
from tests.section.made import (
    ALTO_CLEF,
    B_FLAT,
    BASS_CLEF,
    E_FLAT,
    in_key,
    part,
    symbols,
    with_bar,
)

CORPUS = Path(music21.__file__).parent / "corpus" / "bach"
CHORALES = sorted(CORPUS.glob("*.mxl"))
CHORDS, BUILD, CELLS = ScoreKind.CHORDS, ScoreKind.BUILD, ScoreKind.CELLS
ONE_SIZE = Choices(sizes=(4,), rhythms=())


def choir() -> list[Part]:
    """A cadence for four voices, written by hand: C | F G7 | C."""
    return [
        part("Soprano", ["E5 E5 E5 E5", "F5 F5 D5 D5", "C5 C5 C5 C5"]),
        part("Alto", ["C5 C5 C5 C5", "C5 C5 B4 B4", "C5 C5 C5 C5"]),
        part("Tenor", ["G4 G4 G4 G4", "A4 A4 F4 F4", "E4 E4 E4 E4"]),
        part("Bass", ["C3 C3 C3 C3", "F3 F3 G3 G3", "C3 C3 C3 C3"]),
    ]


def section(parts: Sequence[Part], at: str = "1-3", choices: Choices = ONE_SIZE) -> Section:
    return make_section(parts, range(len(parts)), at, choices)


def score(made: Section, kind: ScoreKind) -> SectionScore:
    return next(one for one in made.scores if one.kind is kind)


def music(bar: Bar) -> str:
    """ "r:1 G4:3": what a bar holds, with lengths in quarters; ties as ~."""
    return " ".join(
        f"{'+'.join(map(str, e.tones))}{'~' if e.tie_start else ''}:{e.length}"
        if isinstance(e, Note)
        else f"r:{e.length}"
        for e in bar.voices[0].events
    )


def written(staff: Staff) -> list[str]:
    return [music(bar) for bar in staff.bars]


def under(staff: Staff) -> list[tuple[int, str, str]]:
    return [(one.bar, one.text, one.cents) for one in staff.under]


# --- chords --------------------------------------------------------------------------


def test_a_cadence_as_its_chords() -> None:
    """C, F, G7 and C, worked out by hand; cents of pure thirds, fifths, 16:9 (see test_tuning)."""
    chords = score(section(choir()), ScoreKind.CHORDS)
    assert [name.text for name in chords.chords] == ["C (from the notes)", "F", "G7", "C"]
    assert chords.bar_labels == ("1", "2", "", "3")
    assert chords.ends == (0, 2, 3)
    assert not chords.repeated
    soprano, alto, tenor, bass = chords.staves
    assert written(soprano) == ["E5:4", "F5:4", "D5:4", "C5:4"]
    assert under(soprano) == [(0, "3", "-14"), (1, "R", "0"), (2, "5", "+2"), (3, "R", "0")]
    assert written(alto) == ["C5:4", "C5:4", "B4:4", "C5:4"]
    assert [text for _, text, _ in under(alto)] == ["R", "5", "3", "R"]
    assert under(tenor) == [(0, "5", "+2"), (1, "3", "-14"), (2, "b7", "-4"), (3, "3", "-14")]
    assert [text for _, text, _ in under(bass)] == ["R", "R", "R", "R"]


def test_a_chord_that_goes_on_with_the_same_notes_is_one() -> None:
    parts = [with_bar(one, 1, voices=one.bars[0].voices) for one in choir()]
    chords = score(section(parts), ScoreKind.CHORDS)
    assert chords.bar_labels == ("1-2", "3")
    assert chords.ends == (0, 1)
    assert written(chords.staves[0]) == ["E5:4", "C5:4"]


def test_other_notes_in_the_same_chord_are_another_column() -> None:
    """The soprano steps from the third to the fifth: the chord stays, its sound does not."""
    parts = [with_bar(one, 1, voices=one.bars[0].voices) for one in choir()]
    parts[0] = part("Soprano", ["E5 E5 E5 E5", "G5 G5 G5 G5", "C5 C5 C5 C5"])
    chords = score(section(parts), ScoreKind.CHORDS)
    assert [name.text.split()[0] for name in chords.chords] == ["C", "C", "C"]
    assert written(chords.staves[0]) == ["E5:4", "G5:4", "C5:4"]


def test_a_note_of_the_chord_is_held_rather_than_a_longer_one_that_is_none() -> None:
    parts = choir()
    parts[0] = part("Soprano", ["D5 D5 D5 E5", "F5 F5 D5 D5", "C5 C5 C5 C5"])
    chords = score(section([symbols(parts[0], {0: "C", 1: "F", 2: "C"}), *parts[1:]]), CHORDS)
    assert written(chords.staves[0])[0] == "E5:4"


def test_a_foreign_note_is_held_where_nothing_else_sounds() -> None:
    """D over C, between E and E: a neighbour, named as that, and not tuned."""
    soprano = part("Soprano", ["E5 D5 E5 E5"])
    others = [
        part(name, [f"{tone} {tone} {tone} {tone}"])
        for name, tone in (("Alto", "C5"), ("Tenor", "G4"), ("Bass", "C3"))
    ]
    made = section([symbols(soprano, {0: "C"}), *others], "1@2")
    chords = score(made, CHORDS)
    assert written(chords.staves[0]) == ["D5:4"]
    assert under(chords.staves[0]) == [(0, "n", "")]


def test_each_staff_is_written_for_its_player() -> None:
    """Keys, clefs and transpositions side by side; names above in concert pitch."""
    soprano, alto, tenor, bass = choir()
    clarinet = part(
        "Clarinet in B flat",
        ["F#5 F#5 F#5 F#5", "G5 G5 E5 E5", "D5 D5 D5 D5"],
        moved=B_FLAT,
    )
    saxophone = part(
        "Alto Saxophone", ["A5 A5 A5 A5", "A5 A5 G#5 G#5", "A5 A5 A5 A5"], moved=E_FLAT
    )
    viola = replace(tenor, name="Viola", bars=tuple(replace(b, clef=ALTO_CLEF) for b in tenor.bars))
    low = replace(bass, bars=tuple(replace(b, clef=BASS_CLEF) for b in bass.bars))
    parts = [in_key(clarinet, 2), in_key(saxophone, 3), viola, low]
    mixed, concert = section(parts), section([soprano, alto, tenor, bass])
    for kind in (CHORDS, BUILD):
        assert score(mixed, kind).chords == score(concert, kind).chords
        for one, other in zip(score(mixed, kind).staves, score(concert, kind).staves, strict=True):
            assert one.under == other.under
    staves = score(mixed, CHORDS).staves
    assert written(staves[0]) == ["F#5:4", "G5:4", "E5:4", "D5:4"]
    assert written(staves[1]) == ["A5:4", "A5:4", "G#5:4", "A5:4"]
    assert [staff.bars[0].key.fifths for staff in staves] == [2, 3, 0, 0]
    assert [staff.bars[0].clef.sign for staff in staves] == ["G", "G", "C", "F"]
    assert staves[0].bars[0].instrument.transposition == B_FLAT


def test_compound_time_gets_four_slow_dotted_beats() -> None:
    parts = [
        part(name, [f"{tone} {tone} {tone} {tone} {tone} {tone}"], kind="eighth", time="6/8")
        for name, tone in (("Flute", "E5"), ("Oboe", "C5"), ("Bassoon", "C3"))
    ]
    chords = score(section(parts, "1"), CHORDS)
    assert written(chords.staves[0]) == ["E5:6"]
    assert str(chords.staves[0].bars[0].time) == "12/8"


# --- built up ---------------------------------------------------------------------------


def test_chords_are_built_from_the_root_by_the_fifth_to_the_third_and_the_colour() -> None:
    build = score(section(choir()), BUILD)
    assert [name.text for name in build.chords] == ["C (from the notes)", "F", "G7", "C"]
    assert [name.bar for name in build.chords] == [0, 2, 4, 6]
    assert build.ends == (1, 3, 5, 7)
    soprano, alto, tenor, bass = build.staves
    assert written(bass)[4:6] == ["G3~:4", "G3:4"]
    assert written(soprano)[4:6] == ["r:1 D5~:1 D5~:2", "D5:4"]
    assert written(alto)[4:6] == ["r:2 B4~:2", "B4:4"]
    assert written(tenor)[4:6] == ["r:2 r:1 F4~:1", "F4:4"]
    entries = {u.bar: u.start.quarters for u in tenor.under}
    assert entries == {0: 1, 2: 2, 4: 3, 6: 1}, "the last chord has no fifth to wait for"


def test_a_chord_that_returns_is_built_once() -> None:
    parts = choir()
    back = [
        replace(
            one,
            bars=(
                *one.bars,
                *(replace(bar, index=3 + i, number=str(4 + i)) for i, bar in enumerate(one.bars)),
            ),
        )
        for one in parts
    ]
    made = section(back, "1-6")
    assert len(score(made, CHORDS).chords) == 8
    build = score(made, BUILD)
    assert [name.text.split()[0] for name in build.chords] == ["C", "F", "G7", "C"]
    assert [label for label in build.bar_labels if label] == ["1, 4", "2, 5", "2, 5", "3, 6"]


def test_who_has_no_note_of_the_chord_rests() -> None:
    soprano = part("Soprano", ["D5 D5 D5 D5"])
    others = [part(n, [f"{t} {t} {t} {t}"]) for n, t in (("Alto", "E5"), ("Bass", "C3"))]
    build = score(section([symbols(soprano, {0: "C"}), *others], "1"), BUILD)
    assert [staff.name for staff in build.staves] == ["Alto", "Bass"]


# --- cells ------------------------------------------------------------------------------


def duet() -> list[Part]:
    """A flute in two runs of four eighths over a slower horn."""
    flute = part("Flute", ["C5 D5 E5 F5 r r r r", "r r r r G5 A5 B5 C6"], kind="eighth")
    horn = part("Horn", ["C4 E4 G4 E4"] * 2)
    return [flute, horn]


def test_the_same_stretch_in_every_part() -> None:
    """Two windows, one for each run; what the horn plays there, and its last note held."""
    cells = score(section(duet(), "1-2"), CELLS)
    flute, horn = cells.staves
    assert written(flute) == ["C5:1/2 D5:1/2 E5:1/2 F5:3/2", "G5:1/2 A5:1/2 B5:1/2 C6:3/2"]
    assert written(horn) == ["C4:1 E4:2", "G4:1 E4:2"]
    assert cells.bar_labels == ("1, beat 1", "2, beat 3")
    assert cells.ends == (0, 1)
    assert cells.repeated


def test_windows_share_at_most_half_of_their_time() -> None:
    """Eight eighths hold five windows of four; those that are kept begin two apart or more."""
    flute = part("Flute", ["C5 D5 E5 F5 G5 A5 B5 C6"], kind="eighth")
    cells = score(section([flute, part("Horn", ["C4 E4 G4 E4"])], "1"), CELLS)
    beats = [float(label.split()[-1]) for label in cells.bar_labels if label]
    assert len(beats) >= 2
    assert all(other - one >= 1 for one, other in pairwise(beats))


def test_cells_end_as_those_of_the_sheets_do() -> None:
    rests = score(section(duet(), "1-2", replace(ONE_SIZE, ending=Ending.REST)), CELLS)
    assert written(rests.staves[0])[0] == "C5:1/2 D5:1/2 E5:1/2 F5:1/2 r:1"
    assert written(rests.staves[1])[0] == "C4:1 E4:1 r:1"


def test_a_window_off_the_beat_is_written_where_it_stands_in_its_beat() -> None:
    """Four notes from the second eighth on: a rest first, and a held horn struck again there."""
    flute = part("Flute", ["r D5 E5 F5 G5 r r r"], kind="eighth")
    whole = part("Horn", ["C4"], kind="whole")
    cells = score(section([flute, whole], "1"), CELLS)
    assert written(cells.staves[0]) == ["r:1/2 D5:1/2 E5:1/2 F5:1/2 G5:1"]
    assert written(cells.staves[1]) == ["r:1/2 C4~:1/2 C4:2"]


def test_signs_of_a_note_that_began_before_are_not_repeated() -> None:
    flute = part("Flute", ["r D5 E5 F5 G5 r r r"], kind="eighth")
    whole = part("Horn", ["C4"], kind="whole")
    (held,) = whole.bars[0].voices[0].events
    assert isinstance(held, Note)
    accented = replace(held, articulations=(Articulation.ACCENT,))
    whole = with_bar(whole, 0, voices=(Voice("1", (accented,)),))
    staff = score(section([flute, whole], "1"), CELLS).staves[1]
    found = [e for bar in staff.bars for e in bar.voices[0].events if isinstance(e, Note)]
    assert [note.articulations for note in found] == [(), ()]


def test_no_more_windows_than_asked_for_and_the_hardest_of_them() -> None:
    """The flute leaps in the second bar: of two windows both lie there."""
    calm = "G4 A4 G4 A4 G4 A4 G4 A4"
    wild = "C5 C6 C#5 C#6 D5 D6 Eb5 Eb6"
    parts = [part("Flute", [calm, wild], kind="eighth"), part("Horn", ["C4 E4 G4 E4"] * 2)]
    made = make_section(parts, (0, 1), "1-2", ONE_SIZE, cells=2)
    labels = [label for label in score(made, CELLS).bar_labels if label]
    assert len(labels) == 2
    assert all(label.startswith("2,") for label in labels)
    without = make_section(parts, (0, 1), "1-2", ONE_SIZE, cells=0)
    assert CELLS not in [one.kind for one in without.scores]


def test_a_short_run_is_one_window() -> None:
    flute = part("Flute", ["C5 D5 r r", "E5 F5 G5 A5"])
    cells = score(section([flute, part("Horn", ["C4 E4 G4 E4"] * 2)], "1-2"), CELLS)
    assert cells.bar_labels[0] == "1, beat 1"
    assert written(cells.staves[0])[0].startswith("C5:1 D5:")


# --- everything ------------------------------------------------------------------------


def well_formed(made: Section) -> None:
    """Every score that is written for a section; the spot itself is as the parts have it."""
    for one in made.scores:
        if one.kind is ScoreKind.SPOT:
            assert {len(staff.bars) for staff in one.staves} == {len(one.bar_labels)}
            continue
        counts = {len(staff.bars) for staff in one.staves}
        assert counts == {len(one.bar_labels)}
        sizes = {(bar.length, bar.time) for staff in one.staves for bar in staff.bars}
        assert len(sizes) == 1
        for staff in one.staves:
            for bar in staff.bars:
                events = bar.voices[0].events
                assert sum(e.length.quarters for e in events) == bar.time.bar_length.quarters
                assert all(
                    e.start.quarters + e.length.quarters == n.start.quarters
                    for e, n in pairwise(events)
                )
            for word in staff.under:
                starts = {e.start for e in staff.bars[word.bar].voices[0].events}
                assert word.start in starts
        assert one.ends[-1] == len(one.bar_labels) - 1
        assert all(name.bar < len(one.bar_labels) for name in one.chords)


@pytest.mark.parametrize("path", CHORALES[::27], ids=lambda path: path.stem)
def test_chorales_give_equal_staves_and_full_bars(path: Path) -> None:
    """Of four parts and more, many with pickups and bars that a repeat splits."""
    parts = read_all(open_score(path))
    own = [bar for bar in parts[0].bars if not completes_previous(parts[0], bar.index)]
    chosen = own[2 % len(own)].number, own[min(5, len(own) - 1)].number
    made = section(parts, "-".join(chosen), Choices(rhythms=()))
    told = {one.kind for one in made.scores}
    assert told | {ScoreKind.SPOT} == set(ScoreKind), "parts that split bars have no spot in score"
    well_formed(made)
    for slice_ in made.slices:
        assert slice_.start < slice_.end
    for one, other in pairwise(made.slices):
        assert one.end == other.start


def test_the_page_of_a_large_section_stops_after_its_chords_unless_cells_are_asked_for() -> None:
    chord = ["C4 D4 C4 D4", "E4 F4 E4 F4", "G4 A4 G4 A4"]
    many = [part(f"Horn {n}", [chord[n % 3]]) for n in range(1, SHORT_FROM + 1)]
    short = section(many, "1")
    assert [one.kind for one in short.scores] == [ScoreKind.SPOT, CHORDS]
    assert any(f"--section-cells {USUAL_CELLS}" in remark for remark in short.remarks)
    whole = make_section(many, range(len(many)), "1", ONE_SIZE, cells=2)
    assert [one.kind for one in whole.scores] == [ScoreKind.SPOT, CHORDS, BUILD, CELLS]
    fewer = section(many[1:], "1")
    assert [one.kind for one in fewer.scores] == [ScoreKind.SPOT, CHORDS, BUILD, CELLS]
