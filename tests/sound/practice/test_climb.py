"""The ladder in sound: against the printed one, the published series, and sums of its own.

Sources as in tests/sheets/test_ladder.py.  "Three up, one back" is common practice.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.music.tempo import Tempo
from drills.music.time import TimeSignature, length
from drills.sheets.ladder import FASTEST, SLOWEST, make_ladder, shown, tempo_words
from drills.sheets.metronome import SERIES
from drills.sound.practice.climb import (
    Climb,
    Steps,
    Turn,
    climbing_order,
    fitted,
    rung_tempos,
    thinned,
)

F = Fraction
FOUR = TimeSignature((4,), 4)


def numbers(tempo: int, climb: Climb, time: str = "4/4") -> list[str]:
    signature = TimeSignature.parse(time)
    return [shown(t.number) for t in rung_tempos(Tempo(F(tempo), signature.beat), signature, climb)]


@pytest.mark.parametrize("time", ["4/4", "6/8", "2/2", "7/8", "3/4"])
@pytest.mark.parametrize("tempo", [52, 60, 112, 120, 176, 240])
@pytest.mark.parametrize(("rungs", "start"), [(8, None), (5, None), (14, 40), (2, None)])
def test_the_rungs_are_those_of_the_printed_ladder(
    time: str, tempo: int, rungs: int, start: int | None
) -> None:
    signature = TimeSignature.parse(time)
    performing = Tempo(F(tempo), signature.beat)
    low = None if start is None else F(start)
    printed = make_ladder(performing, signature, rungs=rungs, start=low)
    sounding = rung_tempos(performing, signature, Climb(rungs=rungs, start=low))
    assert tuple(tempo.number for tempo in sounding) == printed.rungs
    assert {tempo.beat for tempo in sounding} == {printed.beat.length}
    assert sounding[-1].quarters_per_minute == performing.quarters_per_minute


def test_hanon_from_60_to_108() -> None:
    """C.-L. Hanon, The Virtuoso Pianist (Schirmer, 1900): from 60 "gradually" up to 108."""
    hanon = ["60", "63", "66", "69", "72", "76", "80", "84", "88", "92", "96", "100", "104", "108"]
    assert numbers(108, Climb(start=F(60), rungs=14)) == hanon


@pytest.mark.parametrize(
    ("time", "number", "beat"), [("4/4", 63, 1), ("6/8", 50, F(3, 2)), ("4/4", 240, 2)]
)
def test_one_rung_counts_no_part_of_the_beat(time: str, number: int, beat: F) -> None:
    """A ladder up to 63 counts eighths for its slow rungs; 63 alone is 63 quarters."""
    signature = TimeSignature.parse(time)
    (found,) = rung_tempos(Tempo(F(number), signature.beat), signature, Climb(rungs=1))
    assert found.beat.quarters == beat
    assert found.quarters_per_minute == number * signature.beat.quarters


@pytest.mark.parametrize(
    ("climb", "expected"),
    [
        (Climb(rungs=1), "100"),
        (Climb(steps=Steps.EQUAL, rungs=6), "50 60 70 80 90 100"),
        (Climb(steps=Steps.EQUAL, rungs=3, start=F(61)), "61 81 100"),
        (Climb(steps=Steps.EQUAL, rungs=1), "100"),
        # 50, 60, 72, 86.4 and 103.68, which is past the top
        (Climb(steps=Steps.PERCENT, percent=F(20)), "50 60 72 86 100"),
        (Climb(steps=Steps.PERCENT, percent=F(10), start=F(80)), "80 88 97 100"),
        (Climb(rungs=2, beyond=F(10)), "50 100 104 108 110"),
        (Climb(steps=Steps.EQUAL, rungs=6, beyond=F(25)), "50 60 70 80 90 100 110 120 125"),
        (Climb(steps=Steps.PERCENT, percent=F(20), beyond=F(30)), "50 60 72 86 100 120 130"),
        (Climb(rungs=1, beyond=F(5)), "100 104 105"),
        (Climb(steps=Steps.EQUAL, rungs=1, beyond=F(5)), "100 105"),
    ],
)
def test_steps_worked_by_hand(climb: Climb, expected: str) -> None:
    assert numbers(100, climb) == expected.split()


@given(
    tempo=st.integers(45, 200),
    steps=st.sampled_from(Steps),
    rungs=st.integers(2, 20),
    percent=st.integers(1, 50),
    beyond=st.integers(0, 50),
)
def test_rungs_ascend_to_the_tempo_and_past_it(
    tempo: int, steps: Steps, rungs: int, percent: int, beyond: int
) -> None:
    climb = Climb(steps=steps, rungs=rungs, percent=F(percent), beyond=F(beyond))
    found = rung_tempos(Tempo(F(tempo), length(1)), FOUR, climb)
    values = [one.quarters_per_minute for one in found]
    assert values == sorted(set(values))
    assert tempo in values
    assert abs(values[-1] - tempo * (1 + F(beyond, 100))) <= F(1, 2)
    counted = [one.number for one in found if one.quarters_per_minute < tempo]
    assert all(number.denominator == 1 for number in counted), "can be set on a metronome"
    if steps is Steps.METRONOME:
        assert all(number in SERIES for number in counted)
    if steps is Steps.PERCENT:
        exact = [b / a for a, b in pairwise(counted)]
        assert all(ratio <= 1 + F(percent, 100) + 1 / counted[0] for ratio in exact)


@pytest.mark.parametrize(
    ("rungs", "up", "back", "order"),
    [
        (6, 0, 1, [0, 1, 2, 3, 4, 5]),
        (6, 3, 1, [0, 1, 2, 3, 2, 3, 4, 5]),
        (8, 3, 1, [0, 1, 2, 3, 2, 3, 4, 5, 4, 5, 6, 7]),
        (5, 2, 1, [0, 1, 2, 1, 2, 3, 2, 3, 4]),
        (4, 3, 2, [0, 1, 2, 3]),
        (5, 3, 2, [0, 1, 2, 3, 1, 2, 3, 4]),
        (1, 3, 1, [0]),
    ],
)
def test_three_up_one_back(rungs: int, up: int, back: int, order: list[int]) -> None:
    assert list(climbing_order(rungs, up, back)) == order


@given(rungs=st.integers(1, 39), up=st.integers(2, 39), data=st.data())
def test_any_way_up_ends_at_the_top_and_misses_no_rung(
    rungs: int, up: int, data: st.DataObject
) -> None:
    back = data.draw(st.integers(1, up - 1))
    order = climbing_order(rungs, up, back)
    assert order[-1] == rungs - 1
    assert order.count(rungs - 1) == 1
    assert set(order) == set(range(rungs))
    assert all(b - a in (1, -back) for a, b in pairwise(order))


# --- a total length --------------------------------------------------------------------


def test_what_is_left_over_goes_to_the_slowest_first() -> None:
    turns = [Turn(F(10), F(5)), Turn(F(8), F(4)), Turn(F(6), F(3))]
    assert fitted(turns, F(24)) == (1, 1, 1)
    assert fitted(turns, F(36)) == (2, 2, 2)
    assert fitted(turns, F(45)) == (3, 3, 2)
    assert fitted(turns, F(44)) == (3, 2, 3)
    assert fitted(turns, F(23)) is None


turns = st.lists(
    st.builds(Turn, st.fractions(5, 50, max_denominator=9), st.fractions(1, 20, max_denominator=9)),
    min_size=1,
    max_size=8,
)


@given(turns, st.fractions(0, 4000, max_denominator=9))
def test_as_near_as_possible_and_not_over(turns: list[Turn], total: Fraction) -> None:
    times = fitted(turns, total)
    once = sum((turn.fixed for turn in turns), F(0))
    if times is None:
        assert once > total
        return
    lasts = once + sum(
        (turn.again * (often - 1) for turn, often in zip(turns, times, strict=True)), F(0)
    )
    assert lasts <= total
    assert max(times) - min(times) <= 1
    fewest = [turn.again for turn, often in zip(turns, times, strict=True) if often == min(times)]
    assert all(lasts + again > total for again in fewest), "one more would be too long"


def test_rungs_are_thinned_evenly() -> None:
    rungs = rung_tempos(Tempo(F(120), length(1)), FOUR, Climb())
    assert thinned(rungs, 8) == rungs
    assert [shown(tempo.number) for tempo in thinned(rungs, 3)] == ["60", "92", "120"]
    assert [shown(tempo.number) for tempo in thinned(rungs, 2)] == ["60", "120"]
    assert thinned(rungs, 1) == rungs[-1:]


# --- words and errors ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("tempo", "words"),
    [
        (Tempo(F(72), length(1)), "quarter = 72"),
        (Tempo(F(84), length(3, 2)), "dotted quarter = 84"),
        (Tempo(F(193, 2), length(1, 2)), "eighth = 96.5"),
    ],
)
def test_a_rung_in_words(tempo: Tempo, words: str) -> None:
    assert tempo_words(tempo) == words


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("beyond", F(51), "0 to 50, not 51"),
        ("beyond", F(-1), "0 to 50, not -1"),
        ("rungs", 0, "1 to 39, not 0"),
        ("rungs", 40, "1 to 39, not 40"),
        ("percent", F(1, 2), "1 to 50, not 0.5"),
        ("repetitions", 0, "1 to 1000, not 0"),
        ("repetitions", 1001, "1 to 1000, not 1001"),
        ("rest", -1, "0 to 64, not -1"),
        ("rung_rest", 65, "0 to 64, not 65"),
        ("count_in", 65, "0 to 64, not 65"),
        ("up", 1, "1 up and 1 back never gets to the top"),
        ("total", F(0), "0 minutes is out of bounds"),
        ("total", F(4 * 3600 + 60), "241 minutes is out of bounds"),
    ],
)
def test_out_of_bounds(field: str, value: Fraction, message: str) -> None:
    with pytest.raises(UsageError, match=message):
        Climb(**{field: value})  # type: ignore[arg-type]


@pytest.mark.parametrize("tempo", [0, 5, 2000])
def test_tempos_that_nobody_plays(tempo: int) -> None:
    for rungs in (1, 8):
        with pytest.raises(UsageError, match=f"{SLOWEST} to {FASTEST}"):
            rung_tempos(Tempo(F(tempo), length(1)), FOUR, Climb(rungs=rungs))


def test_neither_the_start_nor_the_end_leaves_the_bounds() -> None:
    with pytest.raises(UsageError, match="out of bounds; stay within"):
        rung_tempos(Tempo(F(500), length(1)), FOUR, Climb(beyond=F(50)))
    equal = Climb(steps=Steps.EQUAL, start=F(5))
    with pytest.raises(UsageError, match="out of bounds; stay within"):
        rung_tempos(Tempo(F(60), length(1)), FOUR, equal)
    with pytest.raises(UsageError, match="below the performing tempo"):
        rung_tempos(Tempo(F(60), length(1)), FOUR, Climb(start=F(60)))
