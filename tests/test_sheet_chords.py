"""The chords behind one part's sheet, as the part counts its bars and as it is played."""

from __future__ import annotations

import pytest

from drills.errors import PlaceError
from drills.for_instrument.asked import How, Rewriting, rewriting_for
from drills.for_instrument.rewrite import rewritten
from drills.harmony.chord import Source
from drills.music.score import Part
from drills.places import find_span
from drills.section.harmonies import Said
from drills.sheet import Choices, Sheet, make_sheet
from drills.sheet_chords import chords_behind
from tests.section.made import E_FLAT, part, renumbered

IN_C_MAJOR = "C5 E5 G5 E5"


def band() -> list[Part]:
    """A flute over two horns' fifth, and an alto saxophone that sounds as the flute does."""
    return [
        part("Flute", [IN_C_MAJOR] * 3),
        part("Horn", ["C3 C3 C3 C3"] * 3),
        part("Bassoon", ["G3 G3 G3 G3"] * 3),
        part("Alto saxophone", ["A4 C#5 E5 C#5"] * 3, moved=E_FLAT),
    ]


def sheet_for(
    rewriting: Rewriting | None, said: Said = (), parts: list[Part] | None = None
) -> Sheet:
    """The alto saxophone's second bar with its chords, perhaps for another instrument."""
    parts = band() if parts is None else parts
    span = find_span(parts[3], "2")
    chords = chords_behind(parts, 3, said).around(span, rewriting)
    return make_sheet(rewritten(parts[3], rewriting, [span]), span, Choices(), "", chords)


def read(sheet: Sheet) -> tuple[str, str]:
    """The first symbol over the excerpt, and what stands under its notes."""
    (symbol, *_) = sheet.excerpt.bars[0].chords
    labels = " ".join(function.label for tones in sheet.functions for function in tones)
    return symbol.root, labels


REWRITTEN = {
    "as it is": (None, "A", "R 3 5 3 R"),
    "the same sound": (rewriting_for("clarinet in B flat"), "D", "R 3 5 3 R"),
    "the same notes": (rewriting_for("clarinet in B flat", How.WRITTEN), "A", "R 3 5 3 R"),
    "the same notes for a horn": (rewriting_for("horn in F", How.WRITTEN), "A", "R 3 5 3 R"),
}
"""How the part is rewritten -> the root that is read, and the functions."""


@pytest.mark.parametrize("name", REWRITTEN)
def test_notes_keep_their_place_in_the_chord_for_another_instrument(name: str) -> None:
    rewriting, root, labels = REWRITTEN[name]
    assert read(sheet_for(rewriting)) == (root, labels)


@pytest.mark.parametrize("name", REWRITTEN)
def test_what_the_player_says_is_written_for_their_part(name: str) -> None:
    """F sharp minor for the saxophone, written: A is its third whatever plays it."""
    rewriting, root, _ = REWRITTEN[name]
    made = sheet_for(rewriting, [("2", "F#m")])
    assert read(made)[1].startswith("b3 5 b7 5")
    assert made.excerpt.bars[0].chords[0].remark == "as you said"
    assert {"A": "F#", "D": "B"}[root] == read(made)[0]


def test_a_place_is_counted_in_the_bars_of_the_part() -> None:
    parts = band()
    parts[3] = renumbered(parts[3], 2)
    span = find_span(parts[3], "2")
    (first, *_) = chords_behind(parts, 3, [("2", "F#m")]).around(span)
    assert first.start == 0
    assert first.chord.source is Source.PLAYER
    with pytest.raises(PlaceError, match="'1'"):
        chords_behind(parts, 3, [("1", "F#m")])


def test_no_chord_can_be_said() -> None:
    made = sheet_for(rewriting_for("flute", How.WRITTEN), [("2", "N.C.")])
    assert {function.words for tones in made.functions[:4] for function in tones} == {"no chord"}
