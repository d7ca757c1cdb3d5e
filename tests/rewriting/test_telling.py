"""What the player is told: what was done, what does not fit, what cannot be done."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from drills.errors import UsageError
from drills.music.notes import Grace, Note
from drills.music.pitch import Pitch, Unpitched
from drills.music.score import Bar, Part
from drills.music.time import NoteValue
from drills.rewriting.asked import How, rewriting_for
from drills.rewriting.rewrite import rewritten
from tests.music_made import bar_of, notes
from tests.rewriting.music import part_for, read, rewrite, with_bars


def remarks(part: Part, name: str, how: How = How.SOUNDING, *places: str) -> tuple[str, ...]:
    return rewrite(part, name, how, *places).part.remarks


def test_the_name_that_a_sheet_prints() -> None:
    new = rewrite(part_for("Clarinet in B flat", "C5 D5 E5 F5"), "alto saxophone").part
    assert new.name == "Clarinet in B flat, for Alto saxophone"
    assert (new.instrument.name, new.instrument.known) == ("Alto saxophone", True)
    assert new.instrument.transposition.chromatic == -9


def test_nothing_wanted_is_nothing_done() -> None:
    part = part_for("Flute", "C5 D5 E5 F5")
    assert rewritten(part, None) is part


@pytest.mark.parametrize(
    ("bars", "target", "how", "words"),
    [
        (("C5 D5 E5 F5",), "oboe", How.SOUNDING, "at sounding pitch."),
        (("C5 D5 E5 F5",), "trombone", How.SOUNDING, "at sounding pitch, an octave lower."),
        (("C5 D5 E5 F5",), "tuba", How.SOUNDING, "at sounding pitch, two octaves lower."),
        (("C5 D5 E5 F5",), "oboe", How.WRITTEN, "with the same written notes."),
        (("C4 D4 E4 F4",), "piccolo", How.WRITTEN, "written notes, an octave higher."),
        (
            ("C4 D4 E4 F4", "r r r r", "C7 B6 A6 G6"),
            "oboe",
            How.SOUNDING,
            "at sounding pitch, an octave lower in bar 3.",
        ),
    ],
)
def test_what_was_done(bars: tuple[str, ...], target: str, how: How, words: str) -> None:
    told, *_ = remarks(part_for("Flute", *bars), target, how)
    name = rewriting_for(target).instrument.name
    assert told.startswith(f"Rewritten for {name} from Flute, ")
    assert told.endswith(words)


def test_a_note_outside_the_range_is_named_with_its_bars() -> None:
    part = part_for("Piano", "A3 C6 A3 G6", "A3 G6 C5 r")
    new = rewrite(part, "oboe", How.SOUNDING)
    assert new.part.remarks[1:] == ("A3 lies below the range of Oboe, Bb3 to G6 (bars 1 and 2).",)
    assert [(str(one.pitch), one.number, one.below) for one in new.outside] == [
        *(("A3", "1", True), ("A3", "1", True), ("A3", "2", True)),
    ]


def test_grace_notes_outside_are_named_too() -> None:
    note = notes("Bb3", "half")[0]
    top = notes("C6 G6", "quarter", Fraction(2))
    assert isinstance(note, Note)
    grace = Grace((Pitch.parse("A3"),), NoteValue("eighth"))
    part = with_bars("Flute", [bar_of([replace(note, graces=(grace,)), *top])])
    assert [str(one.pitch) for one in rewrite(part, "oboe").outside] == ["A3"]


def test_many_notes_outside_are_few_words_and_all_named() -> None:
    low = "C3 D3 E3 F3 G3 A3 Bb2 A2"
    part = part_for("Piano", low, "C6 D6 E6 F6 G6 E6 D6 C6", kind="eighth")
    new = rewrite(part, "soprano", How.SOUNDING)
    assert len({one.pitch for one in new.outside}) > 6
    about = [one for one in new.part.remarks if "range" in one]
    assert len(about) == 7
    named = {one.pitch for one in new.outside if str(one.pitch) in " ".join(about)}
    assert named == {one.pitch for one in new.outside}
    assert "outside the range too" in about[-1]


def test_what_is_not_drilled_is_not_named() -> None:
    part = part_for("Flute", "C5 D5 E5 F5", "r r r r", "C7 C4 C7 C4", "r r r r")
    assert len(remarks(part, "oboe", How.SOUNDING, "1")) == 1
    assert len(remarks(part, "oboe", How.SOUNDING, "3")) == 2


def test_chords_stand_as_they_are_and_that_is_said() -> None:
    chord = notes("C5", "whole")[0]
    assert isinstance(chord, Note)
    both = replace(chord, tones=(*chord.tones, Pitch.parse("E5")))
    part = with_bars("Piano", [bar_of([both])])
    new = rewrite(part, "clarinet").part
    assert read(new) == "D5+F#5"
    assert new.remarks[1] == (
        "Clarinet in B flat plays one note at a time; chords stand as they are (bar 1)."
    )
    assert len(remarks(part, "marimba")) == 1


def drums() -> Bar:
    beats = [
        replace(note, tones=(Unpitched("C", 5),))
        for note in notes("C5 C5 C5 C5", "quarter")
        if isinstance(note, Note)
    ]
    return bar_of(beats)


def test_drums_become_no_pitches_and_pitches_no_drums() -> None:
    part = with_bars("Snare drum", [drums()])
    with pytest.raises(UsageError, match="bar 1: this is music of unpitched percussion"):
        rewrite(part, "flute")
    with pytest.raises(UsageError, match="this is music of pitches and cannot"):
        rewrite(part_for("Flute", "C5 D5 E5 F5"), "snare drum")


def test_drums_for_other_drums_stay_where_they_stand() -> None:
    part = with_bars("Snare drum", [drums()])
    new = rewrite(part, "drum set").part
    assert new.bars[0].voices == part.bars[0].voices
    assert new.instrument.name == "Drum set"


def test_a_player_who_also_plays_drums_is_rewritten_where_there_are_pitches() -> None:
    part = with_bars("Glockenspiel", [bar_of(notes("C4 D4 E4 F4", "quarter")), drums()])
    new = rewrite(part, "flute", How.WRITTEN, "1@1-1@2").part
    assert read(new).startswith("C4 D4 E4 F4")
    assert new.bars[1] == part.bars[1]
    with pytest.raises(UsageError, match="bar 2"):
        rewrite(part, "flute", How.WRITTEN, "2")


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("saxophone", "did you mean Sopranino .*, Alto saxophone, .* or Bass saxophone"),
        ("trmpet", "did you mean Trumpet in B flat"),
        ("horn in B flat", "not known in that pitch; known are Horn in F"),
        ("horn in H", "not known in that pitch; known are Horn in F"),
        ("Horn in As", "not known in that pitch; known are Horn in F"),
        ("trumpet in F sharp", "not known in that pitch"),
        ("", "write it as a part would"),
        ("gearbox", "write it as a part would"),
    ],
)
def test_a_name_that_is_none_names_the_nearest(name: str, words: str) -> None:
    with pytest.raises(UsageError, match=words):
        rewriting_for(name)


@pytest.mark.parametrize(
    ("name", "found"),
    [
        *(("Altsaxophon", "Alto saxophone"), ("a sax", "Alto saxophone"), ("Fag.", "Bassoon")),
        *(("cor anglais", "English horn"), ("Klarinette in A", "Clarinet in A")),
        *(("B flat trumpet", "Trumpet in B flat"), ("euphonium t.c.", "Euphonium in treble clef")),
    ],
)
def test_names_in_other_words(name: str, found: str) -> None:
    assert rewriting_for(name).instrument.name == found


def test_music_that_stays_at_an_end_of_the_range_is_told() -> None:
    """The highest fifth of a bass clarinet, as far as its range goes in the table."""
    part = part_for("Flute", "C6 D6 E6 F6", "C5 D5 E5 F5")
    told = remarks(part, "bass clarinet", How.WRITTEN)
    assert any("highest fifth of the range of Bass clarinet" in one for one in told)
    middle = part_for("Flute", "C5 D5 E5 F5", "G4 A4 B4 C5")
    assert not any("fifth of the range" in one for one in remarks(middle, "flute", How.WRITTEN))
