"""Parts on one time line: what fits is found, what does not is said."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, strategies

import drills
from drills.errors import PlaceError
from drills.music.score import Part
from drills.music.time import Length, length, position
from drills.places.aligning import align, find_everywhere, find_stretch
from drills.places.finding import Place, find_span
from drills.reading.musicxml import open_score, read_all
from tests.section.made import marked, part, pickup, renumbered, short, with_bar

FOUR = ["C4 D4 E4 F4", "G4 A4 B4 C5", "C5 B4 A4 G4", "F4 E4 D4 C4"]
SCORES = Path(drills.__file__).parent.parent / "scores"


def flute() -> Part:
    return part("Flute", FOUR)


def horn() -> Part:
    return part("Horn in F", FOUR)


def starts(parts: list[Part], number: int) -> list[Fraction]:
    aligned = align(parts)
    return [piece.start for piece in aligned.pieces[number]]


def test_bars_that_fit_are_laid_side_by_side() -> None:
    aligned = align([flute(), horn()])
    assert list(map(int, aligned.starts)) == [0, 4, 8, 12]
    assert aligned.columns == tuple(((i,), (i,)) for i in range(4))
    assert aligned.remarks == ()
    assert aligned.end == 16


@pytest.mark.parametrize("turned", [False, True])
def test_one_part_has_a_pickup_more(turned: bool) -> None:
    """Whoever has it, bar 1 stays bar 1, and the pickup lies before it."""
    parts = [pickup(flute(), "G4"), horn()]
    parts = parts[::-1] if turned else parts
    aligned = align(parts)
    with_it, without = (1, 0) if turned else (0, 1)
    assert [p.start for p in aligned.pieces[with_it]] == [0, 1, 5, 9, 13]
    assert [p.start for p in aligned.pieces[without]] == [1, 5, 9, 13]
    assert aligned.remarks == ("Horn in F lacks bar 0 of Flute",)


def test_a_pickup_that_is_numbered_as_bar_1_moves_the_numbers() -> None:
    """Flute: pickup 1, then 2 to 5.  Horn: 1 to 4.  Flute's bar 2 is the horn's bar 1."""
    ahead = pickup(flute(), "G4")
    aligned = align([renumbered(ahead, 1), horn()])
    assert [p.start for p in aligned.pieces[1]] == [1, 5, 9, 13]
    assert aligned.remarks == (
        "Horn in F lacks bar 1 of Flute",
        "bar 2 of Flute is bar 1 in Horn in F",
    )


def test_a_pickup_that_is_shorter_than_the_others() -> None:
    """A quarter and a half before bar 1: both end where bar 1 begins."""
    aligned = align([pickup(flute(), "G4"), pickup(horn(), "E4 F4")])
    assert [p.start for p in aligned.pieces[0]][:2] == [1, 2]
    assert [p.start for p in aligned.pieces[1]][:2] == [0, 2]
    assert aligned.remarks == ("bar 0 of Horn in F lasts 2 quarters, that of Flute 1",)


def test_a_pickup_written_as_a_full_bar_ends_with_the_others() -> None:
    full = part("Horn in F", ["r r r G4", *FOUR])
    aligned = align([pickup(flute(), "G4"), renumbered(full, 0)])
    assert [p.start for p in aligned.pieces[0]][:2] == [3, 4]
    assert [p.start for p in aligned.pieces[1]][:2] == [0, 4]


def test_a_part_that_stops_early() -> None:
    aligned = align([flute(), part("Horn in F", FOUR[:2])])
    assert aligned.columns[2:] == (((2,), ()), ((3,), ()))
    assert aligned.remarks == ("Horn in F lacks bars 3 to 4 of Flute",)
    assert aligned.place_at(1, Fraction(9)) is None
    assert find_everywhere(aligned, "3", (0, 1))[1] is None


def test_a_part_without_bars() -> None:
    aligned = align([flute(), part("Horn in F", [])])
    assert aligned.remarks == ("Horn in F has no bars",)
    assert find_everywhere(aligned, "2", (0, 1))[1] is None


def test_a_short_export_stays_with_its_fellow() -> None:
    """Bar 2 of the horn holds half its notes: the others begin where they must."""
    aligned = align([flute(), short(horn(), 1, length(2))])
    assert [p.start for p in aligned.pieces[1]] == [0, 4, 8, 12]
    assert aligned.remarks == ("bar 2 of Horn in F lasts 2 quarters, that of Flute 4",)
    assert aligned.time_of(1, Place(1, position(2))) == 8, "the end of the bar"
    assert aligned.place_at(1, Fraction(7)) == Place(1, position(2))


def test_a_bar_that_one_part_splits() -> None:
    """A repeat in the middle of bar 2: its halves together are the other part's bar."""
    whole = horn()
    first = replace(whole.bars[1], length=length(2))
    second = replace(first, number="X1", offset=length(2), index=2)
    rest = [replace(bar, index=bar.index + 1) for bar in whole.bars[2:]]
    split = replace(whole, bars=(whole.bars[0], first, second, *rest))
    aligned = align([flute(), split])
    assert aligned.columns[1] == ((1,), (1, 2))
    assert aligned.remarks == ()
    assert aligned.place_at(1, Fraction(7)) == Place(2, position(1))
    assert aligned.time_of(1, Place(2, position(1))) == 7
    assert find_everywhere(aligned, "2", (0, 1))[1] == find_span(split, "2")


def test_numbers_that_differ_all_through_are_one_remark() -> None:
    aligned = align([flute(), renumbered(horn(), 101)])
    assert aligned.columns == tuple(((i,), (i,)) for i in range(4))
    assert aligned.remarks == ("bar 1 of Flute is bar 101 in Horn in F",)


def test_marks_hold_against_numbers() -> None:
    """The horn lacks a bar between A and B, and numbers on as if nothing were missing."""
    ahead = marked(part("Flute", [*FOUR, *FOUR]), {1: "A", 5: "B"})
    behind = marked(part("Horn in F", [*FOUR, *FOUR][:7]), {1: "A", 4: "B"})
    aligned = align([ahead, behind])
    assert aligned.columns[5] == ((5,), (4,))
    assert aligned.time_of(0, find_span(ahead, "B").first) == aligned.time_of(
        1, find_span(behind, "B").first
    )


def test_other_marks_keep_bars_apart() -> None:
    """The horn's second bar is C: it lacks A, whatever its numbers say."""
    ahead = marked(part("Flute", FOUR), {1: "A"})
    behind = marked(part("Horn in F", FOUR[:3]), {1: "C"})
    assert [column[1] for column in align([ahead, behind]).columns] == [(0,), (), (1,), (2,)]
    plain = [part("Flute", FOUR), part("Horn in F", FOUR[:3])]
    assert [column[1] for column in align(plain).columns] == [(0,), (1,), (2,), ()]


@given(
    strategies.integers(2, 40),
    strategies.data(),
)
def test_bars_that_are_cut_out_are_missed_where_they_were(
    count: int, data: strategies.DataObject
) -> None:
    """All bars alike but for their numbers, which tell where a stretch is missing."""
    low = data.draw(strategies.integers(0, count - 1))
    high = data.draw(strategies.integers(low, count - 1))
    whole = part("Flute", ["C4 C4 C4 C4"] * count)
    kept = [bar for bar in whole.bars if not low <= bar.index < high]
    cut = replace(
        whole, name="Oboe", bars=tuple(replace(bar, index=i) for i, bar in enumerate(kept))
    )
    aligned = align([whole, cut])
    assert len(aligned.bars) == count
    for index, home in enumerate(aligned.homes[1]):
        assert whole.bars[home].number == cut.bars[index].number


# --- places ----------------------------------------------------------------------


def test_a_place_reads_in_each_part_by_its_own_numbers() -> None:
    aligned = align([flute(), renumbered(horn(), 101)])
    first, second = find_everywhere(aligned, "2@3-3@1", (0, 1))
    assert first is not None
    assert second is not None
    assert first.words == "beat 3 of bar 2 to beat 1 of bar 3"
    assert (second.words, second.asked) == (
        "beat 3 of bar 102 to beat 1 of bar 103",
        "102@3-103@1",
    )
    assert second == find_span(aligned.parts[1], second.asked)


def test_most_parts_count_where_they_disagree() -> None:
    """The first part counts its pickup as bar 1; both others do not."""
    parts = [renumbered(pickup(flute(), "G4"), 1), horn(), part("Oboe", FOUR)]
    stretch = find_stretch(align(parts), "3", (0, 1, 2))
    assert stretch.low == 9
    assert stretch.said_by == 1
    assert [span.asked for span in stretch.spans if span] == ["4", "3", "3"]
    assert stretch.remarks == (
        "3 is read as in Horn in F, where it is bar 3; that is bar 4 in Flute",
    )


def test_of_as_many_the_first_counts() -> None:
    parts = [renumbered(pickup(flute(), "G4"), 1), horn()]
    assert find_stretch(align(parts), "3", (0, 1)).low == 5
    assert find_stretch(align(parts), "3", (1, 0)).low == 9


def test_a_mark_that_one_part_knows_is_found_in_all() -> None:
    stretch = find_stretch(align([flute(), marked(horn(), {2: "E"})]), "E@2", (0,))
    assert [int(at) for at in (stretch.low, stretch.high)] == [9, 10]
    assert [span.words for span in stretch.spans if span] == ["beat 2 of bar 3"]


def test_a_place_that_nobody_knows() -> None:
    with pytest.raises(PlaceError, match=r"there is no bar or mark 'Z'.*bars are 1 to 4"):
        find_everywhere(align([flute(), horn()]), "Z", (0, 1))


def test_a_place_that_fits_twice_in_one_part_is_asked_of_the_others() -> None:
    doubled = marked(flute(), {0: "E", 2: "E"})
    aligned = align([doubled, marked(horn(), {2: "E"})])
    assert find_stretch(aligned, "E", (0, 1)).low == 8
    with pytest.raises(PlaceError, match=r"E fits 2 places; write E#1"):
        find_stretch(align([doubled]), "E", (0,))


def test_a_stretch_over_bars_that_a_part_lacks_is_what_it_has_of_it() -> None:
    aligned = align([flute(), part("Horn in F", FOUR[:2])])
    assert [s and s.asked for s in find_everywhere(aligned, "2-4", (0, 1))] == ["2-4", "2"]


PLACES = ("1", "8", "12@3", "12@2.5-14@1", "C:2-C:4@1", "5-9", "0", "C:-1", "20@1-20@4")


@pytest.mark.parametrize("text", PLACES)
def test_the_march_reads_alike_in_all_its_parts(text: str) -> None:
    """Its parts print the same numbers and marks: each part's own reading is the common one."""
    parts = read_all(open_score(SCORES / "march.musicxml"))
    aligned = align(parts)
    assert aligned.remarks == ()
    for number, one in enumerate(parts):
        span = find_span(parts[0], text)
        moved = aligned.span_in(number, span, of=0)
        assert moved is not None
        assert (moved.first, moved.end, moved.includes_end) == (
            span.first,
            span.end,
            span.includes_end,
        )
        assert find_span(one, moved.asked) == replace(
            moved, words=find_span(one, moved.asked).words
        )


@given(strategies.fractions(0, 56).filter(lambda time: time < 56), strategies.integers(0, 3))
def test_times_and_places_go_both_ways(time: Fraction, number: int) -> None:
    """Wherever a part has a bar that is long enough, the way there and back is exact."""
    ahead = pickup(part("Flute", FOUR * 3), "G4 G4")
    parts = [ahead, part("Oboe", FOUR * 3), renumbered(part("Horn in F", FOUR * 2), 7), horn()]
    aligned = align(parts)
    place = aligned.place_at(number, time) if time < aligned.end else None
    if place is not None:
        assert aligned.time_of(number, place) == time


def test_music_is_told_bar_by_bar_in_a_parts_own_time() -> None:
    aligned = align([pickup(flute(), "G4"), short(horn(), 1, Length(Fraction(2)))])
    own = [(int(low), int(high)) for low, high in aligned.own(1, Fraction(0), Fraction(9))]
    assert own == [(0, 4), (4, 6)]
    assert aligned.common(1, Fraction(6)) == 9
    assert aligned.common(1, Fraction(6), ending=True) == 7


def test_a_later_bar_of_a_longer_time_signature_does_not_confuse() -> None:
    changed = with_bar(flute(), 2, length=length(3))
    aligned = align([changed, with_bar(horn(), 2, length=length(3))])
    assert list(map(int, aligned.starts)) == [0, 4, 8, 11]
