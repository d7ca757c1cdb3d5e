"""A practice of so many minutes on so many pages."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drills.jobs.paper import paper_for
from drills.music.score import Part
from drills.music.time import TimeSignature
from drills.output.lilypond.fitting import pages_of
from drills.output.lilypond.page import Page
from drills.places.finding import find_span
from drills.sheets.blocks import BREAK, MOMENT, SETTING, BlockKind, seconds_of
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from drills.sheets.telling import in_halves
from tests.music_made import SCALE, bar_of, notes, part_of

F = Fraction
A4 = Page()
KEYS = {"16th": F(1, 4), "eighth": F(1, 2), "quarter": F(1)}


def part(time: str, kind: str, bars: int, seed: int = 0) -> Part:
    """Bars full of one value, of notes that leap and step."""
    random = Random(seed)
    count = int(TimeSignature.parse(time).bar_length.quarters / KEYS[kind])
    names = [f"{random.choice('CDEFGAB')}{random.choice((4, 5))}" for _ in range(count * bars)]
    made = [
        bar_of(notes(" ".join(names[n * count : (n + 1) * count]), kind), time) for n in range(bars)
    ]
    return part_of([*made, bar_of(notes("A4", "quarter"), time)])


def planned(music: Part, place: str, minutes: int, page: Page = A4, pages: int = 0) -> Sheet:
    choices = Choices(minutes=F(minutes), tempo=F(112), instrument="clarinet")
    return make_sheet(music, find_span(music, place), choices, paper=paper_for(page, pages))


def spent(sheet: Sheet) -> Fraction:
    """Minutes, rests between the blocks among them."""
    return (seconds_of(sheet.blocks) + BREAK * (len(sheet.blocks) - 1)) / 60


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_one_bar_of_sixteen_sixteenths(paper: str) -> None:
    """One page at 20 points, 12 to 15 minutes; a teacher's order."""
    page = Page(paper)
    sheet = planned(part("4/4", "16th", 1), "1", 15, page)
    assert page.staff_size == 20
    assert pages_of(sheet, page) == 1
    assert 12 <= spent(sheet) <= 15
    kinds = [block.kind for block in sheet.blocks]
    order = list(BlockKind)
    assert kinds == sorted(kinds, key=order.index)
    assert {BlockKind.BEGIN, BlockKind.BEATS, BlockKind.RHYTHM, BlockKind.LINE} <= set(kinds)
    beats = next(block for block in sheet.blocks if block.kind is BlockKind.BEATS)
    assert [drill.ranges[0] for drill in beats.drills] == [(1, 5), (5, 9), (9, 13), (13, 17)]
    assert sheet.plan is not None
    assert sheet.plan.left_out, "and it says what had no room"


def test_four_bars_take_two_pages_at_most() -> None:
    sheet = planned(part("4/4", "16th", 4), "1-4", 15)
    assert pages_of(sheet, Page()) <= 2
    assert 12 <= spent(sheet) <= F(33, 2)


def test_a_student_s_five_notes_on_one_page() -> None:
    music = part_of([bar_of(notes("C5 D5 E5 F5", "16th"), "1/4"), bar_of(notes("G5", "quarter"))])
    page = Page(staff_size=22)
    choices = Choices(minutes=F(15), student=True, teacher=True)
    sheet = make_sheet(music, find_span(music, "1"), choices, paper=paper_for(page))
    assert len(sheet.spot.line) == 5
    assert pages_of(sheet, page) == 1


@settings(max_examples=25, deadline=None)
@given(
    time=st.sampled_from(["4/4", "3/4", "2/2", "6/8", "9/8", "12/8", "5/4", "5/8", "7/8", "3/8"]),
    kind=st.sampled_from(["16th", "eighth"]),
    bars=st.integers(1, 4),
    minutes=st.integers(3, 45),
    pages=st.sampled_from([0, 1, 2]),
    seed=st.integers(0, 99),
)
def test_minutes_and_pages_are_those_asked_for_or_the_sheet_says_why(
    time: str, kind: str, bars: int, minutes: int, pages: int, seed: int
) -> None:
    sheet = planned(part(time, kind, bars, seed), f"1-{bars}", minutes, pages=pages)
    assert sheet.plan is not None
    near = F(minutes) * F(9, 10) <= spent(sheet) <= F(minutes) * F(11, 10)
    assert near or sheet.plan.why
    assert not (near and sheet.plan.why)
    wanted = pages or (1 if len(sheet.spot.line) <= 24 else 2)
    assert pages_of(sheet, Page()) <= wanted
    assert sheet.plan.breaks == BREAK * (len(sheet.blocks) - 1)


def test_the_minutes_of_a_block_are_what_is_printed() -> None:
    """Worked by hand: a beat and the note it leads to are two quarters; four beats, four times
    each, at 60 and 120: 4 x 4 x 2 x (1 + 1/2) = 48 seconds, and for each number the time to
    set it and a moment for each of the four."""
    sheet = planned(part("4/4", "16th", 1), "1", 15)
    beats = next(block for block in sheet.blocks if block.kind is BlockKind.BEATS)
    ladder = beats.ladder.thinned(2)
    two = replace(beats, ladder=replace(ladder, rungs=(F(60), F(120)), repetitions=4))
    assert two.seconds == 48 + 2 * (SETTING + 4 * MOMENT)


def test_what_makes_hard_moves_quick_comes_first() -> None:
    """The break between notes 7 and 8: an odd note goes on, which is short in reversed dotted."""
    music = part_of([bar_of(notes(SCALE, "16th")), bar_of(notes("A4", "quarter"))])
    for place in (7, 8):
        names = ["G4", "A4"] * 8
        names[place - 1], names[place] = "A4", "C5"
        music = part_of([bar_of(notes(" ".join(names), "16th")), bar_of(notes("A4", "quarter"))])
        sheet = planned(music, "1", 40, pages=4)
        keys = [b.drills[0].rhythm for b in sheet.blocks if b.kind is BlockKind.RHYTHM]
        assert {"dotted", "reversed-dotted"} <= set(keys)
        numbers = sheet.hard
        assert numbers
        odd = sum(number % 2 == 0 for number in numbers)
        if 2 * odd != len(numbers):
            first = "reversed-dotted" if 2 * odd > len(numbers) else "dotted"
            assert next(key for key in keys if "dotted" in key) == first


@given(st.lists(st.integers(5, 900), min_size=1, max_size=9))
def test_printed_minutes_add_up(seconds: list[int]) -> None:
    total = max(F(round(sum(seconds) / 30), 2), F(len(seconds), 2))
    told = in_halves([F(n) for n in seconds], total)
    assert sum(told) == total
    assert all(one >= F(1, 2) and one.denominator <= 2 for one in told)


def test_blocks_have_keys_of_their_own() -> None:
    for minutes in (10, 45):
        keys = [b.key for b in planned(part("4/4", "16th", 2), "1-2", minutes).blocks]
        assert len(set(keys)) == len(keys)
        assert all(a != b for a, b in pairwise(keys))
