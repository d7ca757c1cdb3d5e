"""The plan: properties of many invented projects, and small ones against brute force.

The rules and their sources stand in drills/project/rules.py.
"""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from itertools import chain, combinations, pairwise, product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import drills
from drills.project.contacts import Situation
from drills.project.days import Hours, days_between, minutes_of, slots_in
from drills.project.optimum import best_timetables
from drills.project.passages import Block, Passage, Role, State
from drills.project.plan import Plan, PlannedDay, make_plan
from drills.project.rules import BREAK, MOST_A_DAY, PLAY, RULES
from drills.project.scale import numbers_between
from drills.project.session import Item, alternating
from drills.project.telling import numbers
from drills.project.timetables import hold, lost, make_timetable
from tests.project.invented import PROJECTS, TODAY, many, passage

DOCS = Path(drills.__file__).parents[1] / "docs"
Case = tuple[tuple[Passage, ...], Hours, int]


@pytest.fixture(scope="module", params=PROJECTS, name="planned")
def _planned(request: pytest.FixtureRequest) -> tuple[Case, Plan]:
    case = PROJECTS[request.param]
    return case, make_plan(case[0], case[1], TODAY, TODAY + timedelta(case[2]))


def minutes(day: PlannedDay) -> int:
    return sum(item.minutes + item.rest for item in day.items)


def test_no_day_takes_more_than_its_minutes(planned: tuple[Case, Plan]) -> None:
    (_, hours, _), plan = planned
    for day in plan.days:
        assert minutes(day) <= min(hours.of(day.day.date), MOST_A_DAY)


def test_breaks_come_in_time(planned: tuple[Case, Plan]) -> None:
    """Klickstein, The Musician's Way: 5 minutes after 25."""
    _, plan = planned
    for day in plan.days:
        playing = 0
        for item in day.items:
            playing += item.minutes
            assert playing <= PLAY
            if item.rest:
                assert item.rest == BREAK
                playing = 0


def test_nothing_is_begun_at_the_end(planned: tuple[Case, Plan]) -> None:
    (passages, _, count), plan = planned
    begun = {one.id for one in passages if one.is_begun}
    closed = TODAY + timedelta(count - 2)
    has_other = any(day.day.date < closed for day in plan.days)
    for day in plan.days:
        new = {item.passage.id for item in day.items} - begun
        if has_other:
            assert not new or day.day.date < closed
        begun |= new


def test_passages_take_turns(planned: tuple[Case, Plan]) -> None:
    """Carter and Grahn 2016; no passage follows itself where another can come between."""
    _, plan = planned
    for day in plan.days:
        row = [item.passage.id for item in day.items]
        counts = {name: row.count(name) for name in row}
        if len(plan.days) > 1 and counts and max(counts.values()) <= (len(row) + 1) // 2:
            assert all(one != two for one, two in pairwise(row))


def test_the_last_day_is_light_and_in_order(planned: tuple[Case, Plan]) -> None:
    (passages, hours, _), plan = planned
    if len(plan.days) < 2:
        return
    last = plan.days[-1]
    order = [one.id for one in passages]
    assert minutes(last) <= max(1, hours.of(last.day.date) // 2)
    places = [order.index(item.passage.id) for item in last.items]
    assert places == sorted(places)


def test_no_passage_is_raised_faster_than_it_can(planned: tuple[Case, Plan]) -> None:
    _, plan = planned
    for outlook in plan.outlooks:
        days = len(outlook.passage.played_on)
        for contact in outlook.timetable.contacts:
            most = outlook.passage.gain_on(days, 3)
            assert contact.before - contact.after <= most + 0.26  # a rest below NEARLY is none
            days += 1


def test_items_go_up_and_not_beyond(planned: tuple[Case, Plan]) -> None:
    _, plan = planned
    for item in chain.from_iterable(day.items for day in plan.days):
        assert item.low <= item.high <= item.passage.top
        assert item.block in item.passage.blocks


def test_what_is_left_is_not_played(planned: tuple[Case, Plan]) -> None:
    _, plan = planned
    for item in chain.from_iterable(day.items for day in plan.days):
        assert item.passage.state is not State.LEFT


def test_the_same_again(planned: tuple[Case, Plan]) -> None:
    (passages, hours, count), plan = planned
    if count < 100 and len(passages) < 20:  # the larger ones take seconds and say no more
        assert make_plan(passages, hours, TODAY, TODAY + timedelta(count)) == plan


def test_with_time_enough_all_reach_their_tempo() -> None:
    for count in (6, 25, 60):
        plan = make_plan(
            [passage(n, 100, 88, (1,)) for n in range(4)],
            Hours(60),
            TODAY,
            TODAY + timedelta(count),
        )
        assert not plan.short


def test_a_year_brings_all_back_after_growing_gaps() -> None:
    plan = make_plan(many(5), Hours(30), TODAY, TODAY + timedelta(365))
    assert not plan.short
    for outlook in plan.outlooks:
        there = [one for one in outlook.timetable.contacts if one.before == 0]
        dates = [plan.days[one.day].day.date for one in there]
        gaps = [(two - one).days for one, two in pairwise(dates)]
        assert all(gap <= 14 for gap in gaps)
        assert all(two >= one - 2 for one, two in pairwise(gaps[:-1]))


def test_too_little_time_is_said_with_numbers() -> None:
    plan = make_plan(many(14), Hours(60), TODAY, TODAY + timedelta(8))
    assert plan.short
    assert all(0.4 < one.share < 1 for one in plan.short)
    assert plan.leave_first[0].timetable.left == max(one.timetable.left for one in plan.short)


def test_weight_decides_who_gets_the_time() -> None:
    heavy = [passage(n, weight=5 if n == 3 else 1) for n in range(8)]
    plan = make_plan(heavy, Hours(30), TODAY, TODAY + timedelta(7))
    slots = [one.timetable.slots for one in plan.outlooks]
    assert slots[3] == max(slots)


def test_29_february_and_the_end_of_a_year_are_days() -> None:
    days = days_between(Hours(20), date(2028, 2, 27), date(2028, 3, 2))
    assert [str(day.date) for day in days] == [
        "2028-02-27",
        "2028-02-28",
        "2028-02-29",
        "2028-03-01",
    ]
    assert days[-1].light


@pytest.mark.parametrize(
    ("given", "slots"), [(0, 0), (2, 1), (10, 3), (24, 8), (28, 8), (32, 9), (60, 16), (120, 33)]
)
def test_blocks_that_fit(given: int, slots: int) -> None:
    assert slots_in(given) == slots
    assert slots < 2 or minutes_of(slots) <= given


# --- the optimum ---------------------------------------------------------------------------


def brute_force(passages: list[Passage], room: list[int], situation: Situation) -> float:
    """The best worth of all choices of days for all passages."""
    days = range(len(room))
    every = [
        [
            make_timetable(one, chosen, situation)
            for size in range(len(room) + 1)
            for chosen in combinations(days, size)
            if not chosen or one.is_begun or chosen[0] < situation.open_until
        ]
        for one in passages
    ]
    best = float("-inf")
    for tables in product(*every):
        loads = [sum(table.load_on(day) for table in tables) for day in days]
        if all(load <= most for load, most in zip(loads, room, strict=True)):
            best = max(best, sum(table.worth for table in tables))
    return best


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.sampled_from([(96, None), (112, 92), (120, 108), (80, 78), (104, 66)]),
        min_size=1,
        max_size=3,
    ),
    st.lists(st.integers(1, 7), min_size=1, max_size=4),
)
def test_small_cases_are_the_optimum(goals: list[tuple[int, int | None]], room: list[int]) -> None:
    passages = [
        passage(n, goal, reached, (2,) if reached else ())
        for n, (goal, reached) in enumerate(goals)
    ]
    situation = Situation(TODAY, tuple(range(len(room))), len(room), max(1, len(room) - 1))
    found = best_timetables(passages, room, situation)
    for day, most in enumerate(room):
        assert sum(table.load_on(day) for table in found) <= most
    best = brute_force(passages, room, situation)
    assert sum(table.worth for table in found) == pytest.approx(best, abs=1e-6)


@given(st.lists(st.integers(1, 6), min_size=1, max_size=7))
def test_a_row_keeps_equals_apart_where_that_can_be(counts: list[int]) -> None:
    row = alternating(counts, [0.0] * len(counts))
    assert [row.count(n) for n in range(len(counts))] == counts
    if len(counts) > 1 and max(counts) <= (sum(counts) + 1) // 2:
        assert all(one != two for one, two in pairwise(row))
    assert counts[row[0]] == max(counts)


def test_a_day_ends_with_the_passage_that_it_began_with() -> None:
    """Allen 2013: playing the first melody once more kept what the night adds to it."""
    for counts in ([3, 3, 3], [2, 1], [3, 1, 1], [4, 2, 2, 1]):
        row = alternating(counts, [0.2, 0.1, 0.3, 0.4][: len(counts)])
        assert row[0] == row[-1]
    assert alternating([3, 3, 3], [0.2, 0.1, 0.3])[0] == 1


def test_what_was_reached_holds_longer_each_time() -> None:
    assert [hold(n) for n in (1, 2, 3, 4, 9)] == [3, 6, 12, 14, 14]
    assert [lost(gap, 1, 10) for gap in (1, 3, 4, 9, 100)] == [0, 0, 1, 2, 5]


def test_every_rule_says_where_it_comes_from() -> None:
    assert len({rule.key for rule in RULES}) == len(RULES)
    for rule in RULES:
        assert rule.says.endswith(".")
        assert bool(rule.source) != rule.common


def test_the_numbers_of_a_passage() -> None:
    one = passage(1, 112, 96)
    assert (one.top, one.to_go) == (Fraction(116), 5)
    assert numbers_between(Fraction(56), Fraction(112)) == 16


def test_the_documentation_tells_every_rule() -> None:
    text = " ".join((DOCS / "planning.md").read_text(encoding="utf-8").split())
    for rule in RULES:
        assert rule.says in text
        assert (rule.source or "Common practice.") in text


def test_numbers_are_told_as_they_stand_on_the_page_of_their_block() -> None:
    """A line in triplets leads to 96 where the spot as it stands leads to 64."""
    low, high, one = Fraction(50), Fraction(64), passage(1, 64, 40)
    triplets = Block(5, "grouped in threes", Role.LINE, Fraction(3, 2))
    assert numbers(Item(1, one, triplets, low, high, 3)) == "75-96"
    assert triplets.of_spot(Fraction(75)) == low
    assert numbers(Item(1, one, Block(1, "as it stands", Role.SPOT), low, high, 3)) == "50-64"
