"""Cells: counts, merging and orders.

The counts n-1, n-2, n-3 for cells of two, three and four notes follow from
"every stretch of k successive notes"; overlapping groups are common practice.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.places.spots import Attack, Run
from drills.sheets.cells import Order, cell_groups, cut, grow
from tests.music_made import SCALE, attacks, attacks_up

EQUAL = (1.0,) * 64
"""Costs of moves that are all alike."""
C_TO_G = Run(attacks("C4 D4 E4 F4 G4"))


def names(attack_row: tuple[Attack, ...]) -> str:
    return "-".join(str(attack.tones[0])[0].lower() for attack in attack_row)


def test_worked_example() -> None:
    """c d e f and the landing note g: 4 + 3 + 2 = 9 cells."""
    groups = cell_groups([C_TO_G], (2, 3, 4), Order.MUSIC, EQUAL)
    found = [[names(cell.attacks) for cell in group.cells] for group in groups]
    assert found == [
        ["c-d", "d-e", "e-f", "f-g"],
        ["c-d-e", "d-e-f", "e-f-g"],
        ["c-d-e-f", "d-e-f-g"],
    ]


def test_a_bar_of_sixteenths_and_its_landing_note() -> None:
    run = Run(attacks(f"{SCALE} A4"))
    groups = cell_groups([run], (2, 3, 4), Order.MUSIC, EQUAL)
    assert [len(group.before_merging) for group in groups] == [16, 15, 14]


@given(count=st.integers(1, 60), size=st.integers(2, 8))
def test_n_minus_k_plus_one(count: int, size: int) -> None:
    run = Run(attacks_up(count, attacks("C4")[0].length))
    cells = cut(run, size)
    assert len(cells) == (count - size + 1 if count >= size else 1)
    for cell in cells:
        (first, last) = cell.ranges[0]
        assert cell.attacks == run.attacks[first - 1 : last]


def test_a_short_run_gives_one_cell_of_its_own_length_once() -> None:
    run = Run(attacks("C4 D4 E4"))
    assert [g.size for g in cell_groups([run], (2, 3, 4), Order.MUSIC, EQUAL)] == [2, 3]
    (only,) = cell_groups([run], (4,), Order.MUSIC, EQUAL)
    assert [cell.ranges for cell in only.cells] == [((1, 3),)]
    (two,) = cell_groups([Run(attacks("C4 D4"))], (3, 4), Order.MUSIC, EQUAL)
    assert [cell.size for cell in two.cells] == [2]


def test_equal_cells_merge_and_remember_where() -> None:
    (twos,) = cell_groups([Run(attacks("C4 D4 C4 D4 C4"))], (2,), Order.MUSIC, EQUAL)
    assert [cell.ranges for cell in twos.cells] == [((1, 2), (3, 4)), ((2, 3), (4, 5))]
    assert len(twos.before_merging) == 4


def test_cells_that_grow_into_one_are_named_once() -> None:
    run = Run(attacks("C4 C5 D5 E5 F5 F4"))
    (grown,) = cell_groups([run], (), Order.GROW, (5.0, 1.0, 1.0, 1.0, 4.0))
    assert all(len(set(cell.ranges)) == len(cell.ranges) for cell in grown.cells)
    assert [cell.ranges for cell in grown.cells if cell.size == 6] == [((1, 6),)]


def test_spelling_counts() -> None:
    (twos,) = cell_groups([Run(attacks("C#4 D4 Db4 D4"))], (2,), Order.MUSIC, EQUAL)
    assert [cell.ranges for cell in twos.cells] == [((1, 2),), ((2, 3),), ((3, 4),)]


def test_nothing_moves() -> None:
    run = Run(attacks("C4 C4 C4 D4"))
    (twos,) = cell_groups([run], (2,), Order.MUSIC, EQUAL)
    assert [cell.ranges for cell in twos.cells] == [((3, 4),)]
    (all_twos,) = cell_groups([run], (2,), Order.MUSIC, EQUAL, keep_still=True)
    assert [cell.ranges for cell in all_twos.cells] == [((1, 2), (2, 3)), ((3, 4),)]
    assert cell_groups([Run(attacks("C4 C4"))], (2,), Order.MUSIC, EQUAL) == ()


def test_back_leads_into_something_known() -> None:
    (twos,) = cell_groups([C_TO_G], (2,), Order.BACK, EQUAL)
    assert [names(cell.attacks) for cell in twos.cells] == ["f-g", "e-f", "d-e", "c-d"]


def test_hardest_first_and_stable() -> None:
    run = Run(attacks("C4 D4 A5 B5 C6 D6"))
    (twos,) = cell_groups([run], (2,), Order.HARDEST, (1.0, 3.0, 1.0, 0.5, 1.0))
    assert [cell.ranges[0] for cell in twos.cells] == [(2, 3), (1, 2), (3, 4), (5, 6), (4, 5)]


def test_of_two_cells_with_the_same_hard_move_the_costlier_is_harder() -> None:
    run = Run(attacks("C4 D4 A5 B5 C6 D6"))
    (threes,) = cell_groups([run], (3,), Order.HARDEST, (1.0, 3.0, 2.0, 0.5, 1.0))
    assert [cell.ranges[0] for cell in threes.cells] == [(2, 4), (1, 3), (3, 5), (4, 6)]


def test_grow_begins_with_the_hard_move_and_ends_with_the_run() -> None:
    run = Run(attacks("C4 D4 E4 C6 D6 E6 F6"))
    ranges = [cell.ranges[0] for cell in grow(run, (1.0, 1.0, 5.0, 1.0, 1.0, 1.0), moves=1)]
    assert ranges == [(3, 4), (2, 5), (1, 6), (1, 7)]


@given(count=st.integers(2, 40))
def test_growth_is_complete(count: int) -> None:
    run = Run(attacks_up(count, attacks("C4")[0].length))
    ranges = [cell.ranges[0] for cell in grow(run, EQUAL)]
    assert (1, count) in ranges
    assert ranges[0][1] - ranges[0][0] == 1


@pytest.mark.parametrize("order", [Order.MUSIC, Order.BACK, Order.HARDEST])
def test_orders_keep_the_same_cells(order: Order) -> None:
    wanted = {
        cell.ranges for g in cell_groups([C_TO_G], (2, 3), Order.MUSIC, EQUAL) for cell in g.cells
    }
    found = {cell.ranges for g in cell_groups([C_TO_G], (2, 3), order, EQUAL) for cell in g.cells}
    assert found == wanted
