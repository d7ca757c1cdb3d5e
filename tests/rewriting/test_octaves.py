"""Octaves: as few jumps as can be, for the notes that are drilled, never inside a slur.

The ranges are those of the table of instruments; what is right is worked out by hand.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from drills.music.notes import Note
from drills.music.score import Bar, Part
from drills.rewriting.asked import How
from tests.music_made import bar_of, notes
from tests.rewriting.music import notes_of, part_for, read, rewrite, with_bars


def test_what_fits_stays_where_it_sounds() -> None:
    assert read(rewrite(part_for("Flute", "C5 D5 E5 F5"), "oboe").part) == "C5 D5 E5 F5"


def test_one_octave_serves_the_whole_part_where_one_fits() -> None:
    part = part_for("Flute", "C4 D4 E4 F4", "r r r r", "C5 D5 E5 F5")
    assert read(rewrite(part, "piccolo", How.WRITTEN).part) == "C5 D5 E5 F5 |  | C6 D6 E6 F6"


LOW_AND_HIGH = ("C4 D4 E4 F4", "r r G4 A4", "C7 B6 A6 G6")
"""For an oboe (to G6) the last bar lies too high; the first cannot be lower (from B flat 3)."""


def test_a_phrase_moves_by_itself_at_a_rest() -> None:
    part = part_for("Flute", "C4 D4 E4 F4", "r r r r", "C7 B6 A6 G6")
    assert read(rewrite(part, "oboe").part) == "C4 D4 E4 F4 |  | C6 B5 A5 G5"


def test_without_a_rest_nothing_jumps_and_what_does_not_fit_is_named() -> None:
    new = rewrite(part_for("Flute", *LOW_AND_HIGH), "oboe")
    jumps = [b.tones[0].midi - a.tones[0].midi for a, b in pairwise(notes_of(new.part)[4:])]  # type: ignore[union-attr]
    assert jumps == [2, 27, -1, -2, -2]
    assert new.outside


def test_a_rest_shorter_than_a_beat_is_no_place_to_jump() -> None:
    eighths = bar_of(notes("C4 D4 E4 F4 G4 A4 B4 r", "eighth"))
    high = bar_of(notes("C7 B6 A6 G6", "quarter"))
    new = rewrite(with_bars("Flute", [eighths, high]), "oboe")
    assert read(new.part) == "C4 D4 E4 F4 G4 A4 B4 | C7 B6 A6 G6"
    assert [str(one.pitch) for one in new.outside] == ["C7", "B6", "A6"]


def slurred(bars: list[Bar]) -> Part:
    """A slur from the first note to the last."""
    part = with_bars("Flute", bars)
    first, last = part.bars[0].voices[0], part.bars[-1].voices[0]
    begins, ends = first.events[0], last.events[-1]
    assert isinstance(begins, Note)
    assert isinstance(ends, Note)
    opened, closed = replace(begins, slur_starts=(1,)), replace(ends, slur_stops=(1,))
    return replace(
        part,
        bars=(
            replace(part.bars[0], voices=(replace(first, events=(opened, *first.events[1:])),)),
            *part.bars[1:-1],
            replace(part.bars[-1], voices=(replace(last, events=(*last.events[:-1], closed)),)),
        ),
    )


def test_a_slur_over_a_rest_keeps_its_octave() -> None:
    bars = [bar_of(notes(text, "quarter")) for text in ("C4 D4 E4 F4", "r r r r", "C7 B6 A6 G6")]
    assert read(rewrite(slurred(bars), "oboe").part) == "C4 D4 E4 F4 |  | C7 B6 A6 G6"


FAR_AWAY = ("E4 D4 C4 C4", "r r r r", "C6 D6 C6 D6", "G6 r r r", "r r r r", "C7 C7 C7 C7")


def test_bars_that_are_not_drilled_move_no_spot() -> None:
    part = part_for("Flute", *FAR_AWAY)
    new = rewrite(part, "oboe", How.SOUNDING, "3")
    assert read(new.part).split(" | ")[2] == "C6 D6 C6 D6"
    assert new.outside == ()
    # The landing note is drilled too.
    assert read(rewrite(part, "trumpet in C", How.SOUNDING, "3").part).split(" | ")[2:4] == [
        *("C5 D5 C5 D5", "G5"),
    ]


def test_the_top_of_the_range_is_left_where_most_notes_would_lie_there() -> None:
    """D6 to F sharp 6 are the highest fourth of a saxophone; an octave lower is easier."""
    new = rewrite(part_for("Alto saxophone", "E6 D#6 E6 F#6"), "tenor saxophone", How.WRITTEN)
    assert read(new.part) == "E5 D#5 E5 F#5"
    half = rewrite(part_for("Alto saxophone", "C5 B4 E6 F6"), "tenor saxophone", How.WRITTEN)
    assert read(half.part) == "C5 B4 E6 F6"


def test_the_bottom_of_the_range_is_where_music_may_lie() -> None:
    part = part_for("Clarinet in B flat", "E3 F3 G3 A3")
    assert read(rewrite(part, "clarinet in A", How.WRITTEN).part) == "E3 F3 G3 A3"


def test_cues_and_hidden_notes_decide_nothing() -> None:
    cue = [replace(n, cue=True) for n in notes("C7 C7", "quarter") if isinstance(n, Note)]
    bar = bar_of([*cue, *notes("r r", "quarter")])
    part = with_bars("Flute", [bar, bar_of(notes("C6 D6 E6 F6", "quarter"))])
    new = rewrite(part, "oboe")
    assert read(new.part) == "C7 C7 | C6 D6 E6 F6"
    assert new.outside == ()


@pytest.mark.parametrize("how", How)
def test_of_a_range_too_small_for_the_music_the_most_is_used(how: How) -> None:
    new = rewrite(part_for("Piano", "C3 G3 C4 G4", "C5 G5 C6 G6"), "bass", how)
    low, high = 40, 64  # E2 to E4
    inside = [n for n in notes_of(new.part) if low <= n.tones[0].midi <= high]  # type: ignore[union-attr]
    assert len(inside) == 4
    assert len(new.outside) == 4
