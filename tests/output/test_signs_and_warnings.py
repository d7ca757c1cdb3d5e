"""Signs one after another on a note, values that no font has, and what LilyPond warns of."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import permutations
from pathlib import Path

import pytest

from drills.music.notes import Articulation, Note
from drills.music.pitch import Pitch
from drills.music.time import START, NoteValue
from drills.output.engrave import engrave
from drills.output.engrave.kinds import words
from drills.output.engrave.log import remarks
from drills.output.lilypond.notes import ARTICULATIONS, write_note

QUARTER = NoteValue("quarter")
GOLDEN = Path(__file__).parents[1] / "golden"
SCHEME_WORD = re.compile(r"#'?[-\w.:]+")
"""A number or a name that LilyPond hands to Scheme (LilyPond 2.24, Extending: a Scheme
expression ends where Scheme's own reader ends it: at a blank, a bracket, a quote)."""


def written(value: NoteValue, *signs: Articulation) -> str:
    note = Note(START, value.length, (Pitch("C", Fraction(0), 5),), value, articulations=signs)
    return write_note(note, from_before=False)


def document(*notes: str) -> str:
    head = 'scoopSign = \\markup "s" plopSign = \\markup "p"\n'
    return f'\\version "2.24.0"\n{head}{{ {" ".join(notes)} }}'


def swallowed(text: str) -> list[str]:
    """What stands directly after a word that Scheme reads and would be read with it."""
    ends = (match.end() for match in SCHEME_WORD.finditer(text))
    return [text[end - 6 : end + 3] for end in ends if not re.match(r"[\s()\"}]|$", text[end:])]


def test_a_falloff_before_any_other_sign_is_engraved() -> None:
    pairs = permutations(ARTICULATIONS, 2)
    text = document(*(written(QUARTER, *pair) for pair in pairs))
    assert engrave([text]).pdfs  # a word like "-4->" would be an error


@pytest.mark.parametrize("sign", ARTICULATIONS)
def test_no_sign_is_read_as_one_word_with_the_next(sign: Articulation) -> None:
    others = (other for other in ARTICULATIONS if other != sign)
    assert swallowed(" ".join(written(QUARTER, sign, other) for other in others)) == []


@pytest.mark.parametrize("golden", sorted(GOLDEN.glob("*.ly")), ids=lambda path: path.name)
def test_nothing_on_a_page_is_swallowed(golden: Path) -> None:
    assert swallowed(golden.read_text(encoding="utf-8")) == []


def test_the_longest_notes_keep_their_heads() -> None:
    values = [NoteValue(kind, dots) for kind in ("breve", "long", "maxima") for dots in (0, 1)]
    made = engrave([document(r"\time 12/1", *(written(value) for value in values))])
    assert not any("head" in warning for warning in made.warnings)


def test_a_lost_head_is_told() -> None:
    made = engrave([document(r"c'\maxima")])
    assert made.remarks == ("a note is so long that LilyPond has no head for it",)


def test_what_the_edge_of_an_excerpt_leaves_open_is_not_told() -> None:
    made = engrave([document("c'4~ r4 d'4( e'4)", "f'2(")])
    assert made.warnings
    assert made.remarks == ()


def test_a_kind_that_is_not_known_is_told_word_for_word() -> None:
    log = "-:1:2: warning: the moon is full\n"
    assert remarks(log) == ("LilyPond warns: the moon is full",)
    assert words("warning: unterminated slur") == ""
