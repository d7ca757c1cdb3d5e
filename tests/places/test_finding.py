"""Places: the table of the ways to say them, and what is said when one is wrong."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import PlaceError
from drills.music.score import Bar, Direction, Part, RehearsalMark
from drills.music.time import Length, position
from drills.places.bar_names import spoken_beat
from drills.places.finding import find_span, marked_spans
from tests.music_made import bar_of, notes, part_of


def four_quarters(number: str, mark: str = "", time: str = "4/4") -> Bar:
    bar = bar_of(notes("C4 D4 E4 F4", "quarter"), time)
    return replace(bar, number=number, marks=(RehearsalMark(mark),) if mark else ())


def pickup() -> Bar:
    bar = bar_of(notes("G4", "quarter"))
    return replace(bar, number="0", offset=Length(Fraction(3)))


PART = part_of(
    [
        pickup(),
        *[four_quarters(str(n), {5: "D", 9: "E"}.get(n, "")) for n in range(1, 13)],
        four_quarters("12a"),
        four_quarters("13", "12"),
        four_quarters("14", "E"),
        bar_of(notes("C4 D4 E4 F4 G4 A4", "eighth"), "6/8"),
    ]
)
"""Bars 0 to 12, 12a, 13 to 15 (a bar "17" by count is in 6/8); mark E stands twice."""


def said(text: str, part: Part = PART) -> str:
    """A span in short: first and end bar index with position, ] where the end belongs to it."""
    span = find_span(part, text)
    close = "]" if span.includes_end else ")"
    first = f"{span.first.bar}@{span.first.start}"
    return f"{first} {span.end.bar}@{span.end.start}{close}"


@pytest.mark.parametrize(
    ("text", "wanted", "words"),
    [
        ("11", "11@0 11@4)", "bar 11, the third bar of E"),
        ("3", "3@0 3@4)", "bar 3"),
        ("0", "0@0 0@1)", "bar 0"),
        ("0@4", "0@0 0@1)", "beat 4 of bar 0"),
        ("12a", "13@0 13@4)", "bar 12a, the fifth bar of E"),
        ("3@2", "3@1 3@2)", "beat 2 of bar 3"),
        ("3@2.5", "3@3/2 3@5/2)", "from just after the first note of beat 2 of bar 3"),
        ("3@2+1/3", "3@4/3 3@7/3)", "from just after the first note of beat 2 of bar 3"),
        ("3@4", "3@3 3@4)", "beat 4 of bar 3"),
        ("D", "5@0 5@4)", "bar 5, the first bar of D"),
        ("d", "5@0 5@4)", "bar 5, the first bar of D"),
        ("D:3", "7@0 7@4)", "bar 7, the third bar of D"),
        ("D:-1", "4@0 4@4)", "bar 4"),
        ("[12]", "14@0 14@4)", "bar 13, the first bar of mark 12"),
        ("bar12", "12@0 12@4)", "bar 12, the fourth bar of E"),
        ("E#2", "15@0 15@4)", "bar 14, the first bar of E"),
        ("E#1:2", "10@0 10@4)", "bar 10, the second bar of E"),
        ("9-11", "9@0 11@4)", "bar 9, the first bar of E, to bar 11"),
        ("3@3-4@1", "3@2 4@0]", "beat 3 of bar 3 to beat 1 of bar 4"),
        ("D:2-D:4@1", "6@0 8@0]", "bar 6, the second bar of D, to beat 1 of bar 8"),
        ("3@1-3@2", "3@0 3@1]", "beat 1 of bar 3 to beat 2"),
        ("17@2", "16@3/2 16@3)", "beat 2 of bar 17, the second bar of E"),
        ("D - D:2", "5@0 6@4)", "bar 5, the first bar of D, to bar 6"),
    ],
)
def test_places(text: str, wanted: str, words: str) -> None:
    assert said(text) == wanted
    assert find_span(PART, text).words == words


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("12", r"rehearsal mark \(in bar 13\) and a bar number; write \[12\].*bar12"),
        ("E", r"E fits 2 places; write E#1 \(bar 9.*E#2 \(bar 14"),
        ("E#3", "E stands 2 times"),
        ("99", "no bar or mark '99'; the nearest is 17"),
        ("F", "the marks are D, E, 12"),
        ("[F]", "no rehearsal mark 'F'"),
        ("bar99", "no bar '99'"),
        ("D:0", "count from 1"),
        ("D:99", "outside the part, whose bars are 0 to 17"),
        ("D:-9", "outside the part"),
        ("3@5", "bar 3 has no beat 5; it goes from beat 1 up to beat 4"),
        ("0@1", "bar 0 has no beat 1; it goes from beat 4 up to beat 4"),
        ("3@0", "no beat 0"),
        ("5-3", "ends before it begins"),
        ("", "is not a place"),
        ("3@x", "is not a place"),
        ("3-4-5", "is not a place"),
    ],
)
def test_what_is_wrong_is_said(text: str, message: str) -> None:
    with pytest.raises(PlaceError, match=message):
        find_span(PART, text)


def test_a_split_bar_is_one_bar() -> None:
    """Bar 2 is printed in two halves round a repeat sign; the second is not numbered."""
    first = replace(bar_of(notes("C4 D4", "quarter")), number="2", ends_repeat=2)
    second = bar_of(notes("E4 F4", "quarter"))
    second = replace(second, number="X1", offset=Length(Fraction(2)), starts_repeat=True)
    part = part_of([four_quarters("1", "A"), first, second, four_quarters("3")])
    assert said("2", part) == "1@0 2@2)"
    assert said("2@3", part) == "2@0 2@1)"
    assert said("2@4-3@1", part) == "2@1 3@0]"
    assert said("A:3", part) == "3@0 3@4)"


def test_a_number_on_the_second_half_of_a_bar_is_no_bar_of_its_own() -> None:
    first = replace(bar_of(notes("C4 D4", "quarter")), number="2")
    second = replace(bar_of(notes("E4 F4", "quarter")), number="3", offset=Length(Fraction(2)))
    part = part_of([four_quarters("1"), first, second, four_quarters("5")])
    with pytest.raises(PlaceError, match=r"^bar 3 only completes bar 2; write 2 .* or 2@3 for"):
        find_span(part, "3")
    with pytest.raises(PlaceError, match=r"^there is no bar or mark '4'; the nearest is 5; "):
        find_span(part, "4")
    assert said("2@3", part) == "2@0 2@1)"


def test_repeated_numbers_are_asked_about() -> None:
    part = part_of([four_quarters(n) for n in ("1", "2", "1", "2")])
    with pytest.raises(PlaceError, match=r"2 fits 2 places; write 2#1 .*2#2"):
        find_span(part, "2")
    assert said("2#2", part) == "3@0 3@4)"


def marked(*words: tuple[int, Fraction, str]) -> Part:
    bars = [four_quarters(str(n)) for n in range(1, 5)]
    for index, start, text in words:
        direction = Direction(position(start), "words", text)
        bars[index] = replace(bars[index], directions=(*bars[index].directions, direction))
    return part_of(bars)


def test_marks_in_the_score() -> None:
    part = marked(
        (0, Fraction(0), "Drill"), (2, Fraction(1), "drill"), (3, Fraction(0), "End  drill")
    )
    assert [span.asked for span in marked_spans(part)] == ["1", "3@2-4@1"]
    assert marked_spans(part)[1].includes_end is True


def test_a_mark_inside_a_bar_ends_with_the_bar_or_at_the_end_mark() -> None:
    part = marked(
        (0, Fraction(2), "drill"), (1, Fraction(0), "dolce"), (3, Fraction(1), "END DRILL")
    )
    (span,) = marked_spans(part)
    assert (span.asked, span.includes_end) == ("1@3-4@2", True)
    alone = marked((0, Fraction(2), "drill"))
    (span,) = marked_spans(alone)
    assert (span.first.start, span.end, span.includes_end) == (
        position(2),
        find_span(alone, "1").end,
        False,
    )


@given(beat=st.integers(1, 4), parts=st.sampled_from([1, 2, 3, 4, 5, 6, 7, 8]), n=st.integers(0, 7))
def test_a_spoken_beat_reads_back(beat: int, parts: int, n: int) -> None:
    at = Fraction(beat - 1) + Fraction(n % parts, parts)
    bar = PART.bars[3]
    text = f"3@{spoken_beat(bar, position(at))}"
    assert find_span(PART, text).first.start == position(at)
