"""What must hold whatever the constants are: the way back, more keys, and cutting a run."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drills.effort.hands import hand_terms, motions
from drills.effort.moves import _BY_KIND, cost_of_tones, instrument_for
from drills.effort.terms import Term, together, total
from drills.effort.weights import TOGETHER
from drills.instruments.fingering import Table, load_table
from drills.music.pitch import Pitch
from tests.effort.notes import name_of

WOODWINDS = ("saxophone", "clarinet", "flute", "oboe", "bassoon")
ALL = (*WOODWINDS, "trumpet", "horn", "trombone", "tuba", "euphonium")


@pytest.mark.parametrize("name", ALL)
def test_every_move_costs_the_same_back(name: str) -> None:
    """Every pair of notes within two octaves, with every pair of their fingerings."""
    table = load_table(name)
    terms = _BY_KIND[table.kind]
    notes = [note for note in table.notes if table.low <= note <= table.low + 24]
    for low in notes:
        for high in (note for note in notes if note > low):
            for one in table.notes[low]:
                for other in table.notes[high]:
                    names = (name_of(low), name_of(high))
                    there = total(terms(table, (low, high), (one, other), names))
                    back = total(terms(table, (high, low), (other, one), names[::-1]))
                    assert there == pytest.approx(back), (names, one.label, other.label)


@st.composite
def gestures(draw: st.DrawFn) -> tuple[Table, set[str], set[str], str]:
    """A woodwind, the keys held, the keys that change, and one more key of an idle finger."""
    table = load_table(draw(st.sampled_from(WOODWINDS)))
    keys = sorted(table.keys)
    held = draw(st.sets(st.sampled_from(keys), max_size=9))
    changed = draw(st.sets(st.sampled_from(keys), min_size=1, max_size=7))
    more = draw(st.sampled_from(keys))
    fingers = {table.keys[key].finger for key in held | changed}
    assume(table.keys[more].finger not in fingers)
    return table, held, changed, more


@given(gestures())
def test_more_keys_never_cost_less(case: tuple[Table, set[str], set[str], str]) -> None:
    """One more finger that goes down, all else equal."""
    table, held, changed, more = case

    def cost(keys: set[str]) -> float:
        return total(hand_terms(table, motions(table, held, held ^ keys), "pair"))

    assert cost(changed | {more}) >= cost(changed)


@given(
    st.lists(st.floats(0, 9, allow_nan=False), max_size=4),
    st.lists(st.floats(0, 9, allow_nan=False), max_size=4),
    st.floats(0, 5, allow_nan=False),
)
def test_more_work_for_either_never_costs_less(
    hands: list[float], air: list[float], more: float
) -> None:
    """Of two works done together: never less than the slower alone, never more than both."""
    one, other = ([Term("", value, "") for value in values] for values in (hands, air))
    both = total(together(one, other))
    assert both == pytest.approx(
        max(sum(hands), sum(air)) + TOGETHER.value * min(sum(hands), sum(air)), abs=0.01
    )
    assert total(together([*one, Term("", more, "")], other)) >= both - 0.01
    assert total(together(one, [*other, Term("", more, "")])) >= both - 0.01


@st.composite
def cut_runs(draw: st.DrawFn) -> tuple[str, list[Pitch], int]:
    """An instrument, some notes, and a place to cut between them."""
    name = draw(st.sampled_from(("alto saxophone", "clarinet", "flute", "trumpet", "oboe")))
    table = load_table(instrument_for(name).table)
    notes = draw(st.lists(st.sampled_from(sorted(table.notes)), min_size=3, max_size=10))
    cut = draw(st.integers(1, len(notes) - 2))
    return name, [Pitch.parse(name_of(note)) for note in notes], cut


@given(cut_runs())
def test_the_cost_of_a_run_does_not_depend_on_where_it_is_cut(
    case: tuple[str, list[Pitch], int],
) -> None:
    """With one fingering for every note; with a free choice the whole can only cost more,
    and not where the note at the cut is fingered alike from both sides."""
    name, tones, cut = case
    player = instrument_for(name)
    parts = (tones[: cut + 1], tones[cut:])
    plain = [sum(m.cost for m in cost_of_tones(t, player, alternates=False)) for t in parts]
    whole = sum(m.cost for m in cost_of_tones(tones, player, alternates=False))
    assert whole == pytest.approx(sum(plain))
    first, second = (cost_of_tones(part, player) for part in parts)
    free = sum(move.cost for move in cost_of_tones(tones, player))
    apart = sum(move.cost for move in (*first, *second))
    assert free >= apart - 1e-6
    if first[-1].fingerings[1] == second[0].fingerings[0]:
        assert free == pytest.approx(apart)


@given(st.lists(st.integers(60, 84), min_size=2, max_size=9))
def test_the_terms_of_a_run_add_up_move_by_move(notes: list[int]) -> None:
    tones = [Pitch.parse(name_of(note)) for note in notes]
    moves = cost_of_tones(tones, instrument_for("flute"))
    assert [(move.first, move.second) for move in moves] == list(pairwise(tones))
    assert all(move.cost == total(move.terms) for move in moves)
