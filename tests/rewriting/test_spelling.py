"""How notes are spelled: leading notes, chromatic lines, far keys, music without a key.

What is right here is common practice of engraving, worked out by hand.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from drills.music.notes import Grace, Note
from drills.music.pitch import KeySignature, Pitch
from drills.music.time import NoteValue
from drills.rewriting.asked import How
from drills.rewriting.signs import oddity
from tests.music_made import bar_of, notes
from tests.rewriting.music import notes_of, part_for, read, rewrite, with_bars

B_MINOR = KeySignature(2, "minor")
"""G sharp minor, five sharps, on an alto saxophone."""


def test_a_leading_note_stays_a_double_sharp() -> None:
    new = rewrite(part_for("Flute", "B4 A#4 B4 r", key=B_MINOR), "alto saxophone").part
    assert new.bars[0].key.fifths == 5
    assert read(new) == "G#5 F##5 G#5"


def test_a_double_sharp_among_leaps_becomes_a_natural() -> None:
    new = rewrite(part_for("Flute", "D5 A#4 F#5 D5", key=B_MINOR), "alto saxophone").part
    assert read(new) == "B5 G5 D#6 B5"


def test_a_passage_in_a_far_key_is_read_on_the_other_side() -> None:
    """F sharp major inside B minor would be D sharp major: E flat major is read."""
    far = "F#4 G#4 A#4 B4 C#5 D#5 E#5 F#5 E#5 D#5 C#5 A#4"
    new = rewrite(
        part_for("Flute", far, kind="eighth", time="12/8", key=B_MINOR), "alto saxophone"
    ).part
    assert all(abs(note.tones[0].alter) <= 1 for note in notes_of(new))  # type: ignore[union-attr]
    assert read(new).startswith("Eb5 F5 G5 Ab5 Bb5 C6")


def test_the_same_sounding_key_keeps_every_sign() -> None:
    text = "F##4 G#4 Bbb4 C#5"
    new = rewrite(part_for("Flute", text, key=KeySignature(7)), "oboe").part
    assert (read(new), new.bars[0].key.fifths) == (text, 7)
    assert read(rewrite(part_for("Flute", text), "horn", How.WRITTEN).part) == text


TWELVE = ("C5 Ab4 B4 F#4", "Eb5 D5 Bb4 G4", "A4 E5 C#5 F5")
"""All twelve pitches without a signature."""


@pytest.mark.parametrize("target", ["alto saxophone", "clarinet in A", "horn", "E flat clarinet"])
def test_music_without_a_key_gets_none_and_plain_signs(target: str) -> None:
    new = rewrite(part_for("Flute", *TWELVE), target).part
    assert {bar.key for bar in new.bars} == {KeySignature()}
    assert len({note.tones[0].midi % 12 for note in notes_of(new)}) == 12  # type: ignore[union-attr]
    odd = [n for n in notes_of(new) if oddity(n.tones[0], KeySignature()) > 1]  # type: ignore[arg-type]
    assert odd == []


def test_white_notes_without_signs_are_c_major() -> None:
    new = rewrite(part_for("Flute", "C5 D5 E5 F5", "G5 F#5 G5 C5"), "alto saxophone").part
    assert {bar.key.fifths for bar in new.bars} == {3}


def test_tied_notes_are_spelled_alike_over_a_change_of_key() -> None:
    def tied(**how: bool) -> Note:
        note = notes("A#4", "whole")[0]
        assert isinstance(note, Note)
        return replace(note, **how)  # type: ignore[arg-type]

    first = bar_of([tied(tie_start=True)], key=KeySignature(6))
    second = bar_of([tied(tie_stop=True)], key=KeySignature(1))
    new = rewrite(with_bars("Flute", [first, second]), "clarinet").part
    assert [bar.key.fifths for bar in new.bars] == [-4, 3]
    before, after = notes_of(new)
    assert before.tones == after.tones


def test_grace_notes_chords_and_quarter_tones_move_too() -> None:
    note = notes("C5", "whole")[0]
    assert isinstance(note, Note)
    quarter = Pitch("E", Fraction(1, 2), 5)
    before = Grace((Pitch.parse("B4"),), NoteValue("eighth"))
    after = Grace((Pitch.parse("D5"),), NoteValue("eighth"))
    full = replace(note, tones=(*note.tones, quarter), graces=(before,), graces_after=(after,))
    new = notes_of(rewrite(with_bars("Oboe", [bar_of([full])]), "clarinet").part)[0]
    assert new.tones == (Pitch.parse("D5"), Pitch("F", Fraction(3, 2), 5))
    assert new.graces == (replace(before, tones=(Pitch.parse("C#5"),)),)
    assert new.graces_after == (replace(after, tones=(Pitch.parse("E5"),)),)


@pytest.mark.parametrize(
    ("pitch", "fifths", "cost"),
    [
        *(("C4", 0, 0), ("F#4", 0, 1), ("F#4", 1, 0), ("F4", 1, 1), ("E#4", 6, 0)),
        *(("E#4", 0, 5), ("Fb4", 0, 5), ("C##4", 0, 13), ("B#4", 7, 0)),
    ],
)
def test_what_a_sign_costs(pitch: str, fifths: int, cost: int) -> None:
    assert oddity(Pitch.parse(pitch), KeySignature(fifths)) == cost
