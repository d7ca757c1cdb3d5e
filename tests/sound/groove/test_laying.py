"""Grooves laid over bars: order, phrases, pickups, changes of time, two portions as one."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.music.time import Length, TimeSignature, length
from drills.sound.groove import (
    FOLLOWS_TEMPO,
    GROOVES,
    STRAIGHT,
    Groove,
    Stroke,
    Swing,
    Variation,
    find_groove,
    fits,
    fitting,
    strokes,
    swing_of,
)
from tests.sound.groove.rows import row, steady


def inside(bar: GridBar, played: Sequence[Stroke]) -> list[tuple[Fraction, str, float]]:
    """The strokes of one bar, counted from its start."""
    return [
        (one.at - bar.start, one.sound, one.level)
        for one in played
        if bar.start <= one.at < bar.end
    ]


def turn_of(groove: Groove, time: str) -> list[tuple[Fraction, str, float]]:
    pattern = groove.pattern(TimeSignature.parse(time))
    assert pattern is not None
    return sorted(pattern.turn.strokes(0), key=lambda stroke: stroke[:2])


def test_a_turn_ends_every_phrase_and_the_last_bar_if_asked() -> None:
    groove = GROOVES["straight"]
    bars = row(*["4/4"] * 19)
    turn = turn_of(groove, "4/4")
    for last, expected in ((False, [7, 15]), (True, [7, 15, 18])):
        played = strokes(groove, bars, beats_per_minute=steady(100), last=last)
        found = [number for number, bar in enumerate(bars) if inside(bar, played) == turn]
        assert found == expected


def test_a_pickup_plays_the_end_of_the_pattern_and_no_turn() -> None:
    bars = row("4/4", pickup=Fraction(3, 2))
    played = strokes(GROOVES["bossa"], bars, beats_per_minute=steady(120))
    stick = [one.at for one in played if one.sound == "side-stick" and one.at < bars[1].start]
    assert stick == [0], "the eighth after two of the second bar"
    bass = [one.at for one in played if one.sound == "bass-drum" and one.at < bars[1].start]
    assert bass == [1], "the eighth before one"


def test_the_halves_of_a_split_bar_are_one_bar() -> None:
    """A repeat sign inside a bar: 3 + 1 quarters play what the full bar plays."""
    time = TimeSignature((4,), 4)
    split = (
        GridBar(Fraction(0), length(3), time),
        GridBar(Fraction(3), length(1), time, length(3)),
        *(GridBar(4 + bar.start, bar.length, time) for bar in row("4/4", "4/4")),
    )
    for groove in fitting(time):
        whole = strokes(groove, row("4/4", "4/4", "4/4"), beats_per_minute=steady(90), first_bar=6)
        parts = strokes(groove, split, beats_per_minute=steady(90), first_bar=6)
        assert parts == whole


def test_a_bar_that_is_too_long_goes_on() -> None:
    bar = GridBar(Fraction(0), length(6), TimeSignature((4,), 4))
    played = strokes(GROOVES["swing"], (bar,), beats_per_minute=steady(150))
    foot = [one.at for one in played if one.sound == "pedal-hi-hat"]
    assert foot == [1, 3, 5]


def test_the_offbeat_follows_a_change_of_tempo() -> None:
    bars = row("4/4", "4/4")
    played = strokes(
        GROOVES["swing"], bars, beats_per_minute=lambda at: Fraction(150 if at < 4 else 400)
    )
    ups = [one.at % 1 for one in played if one.at.denominator > 1]
    assert [float(up) for up in ups] == pytest.approx([0.7549, 0.7549, 0.5, 0.5], abs=1e-4)


def test_a_change_of_time_inside() -> None:
    bars = row("4/4", "3/4", "7/8", "2/4")
    played = strokes(GROOVES["straight"], bars, beats_per_minute=steady(100))
    ones = [one.at for one in played if one.sound == "bass-drum"]
    assert {bar.start for bar in bars} <= set(ones)
    snare = {
        n: [place for place, sound, _ in inside(bar, played) if sound == "snare"]
        for n, bar in enumerate(bars)
    }
    assert snare == {0: [1, 3], 1: [2], 2: [1, 3], 3: [1]}


@pytest.mark.parametrize(
    ("key", "times", "message"),
    [
        ("swing", ("4/4", "6/8"), "has no bars in 6/8; these have: slow-12-8, march-6-8$"),
        ("bossa", ("3/4",), "has no bars in 3/4; these have: straight, ballad, waltz, jazz-waltz$"),
        ("march-2-4", ("11/8",), "has no bars in 11/8; no groove has: choose a click instead$"),
    ],
)
def test_a_time_that_does_not_fit(key: str, times: tuple[str, ...], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        strokes(GROOVES[key], row(*times), beats_per_minute=steady(100))


@pytest.mark.parametrize(
    ("time", "keys"),
    [
        ("5/4", "straight swing-5-4"),
        ("2+3/4", "straight swing-5-4"),
        ("12/8", "slow-12-8"),
        ("9/8", "slow-12-8"),
        ("3/8", "waltz"),
        ("7/8", "straight"),
        ("5/8", ""),
    ],
)
def test_what_fits_a_time(time: str, keys: str) -> None:
    wanted = TimeSignature.parse(time)
    assert [groove.key for groove in fitting(wanted)] == keys.split()
    assert [key for key, groove in GROOVES.items() if fits(groove, wanted)] == keys.split()


def test_common_time_and_cut_time_signs_fit() -> None:
    assert fits(GROOVES["swing"], TimeSignature((4,), 4, "common"))
    assert fits(GROOVES["march-cut"], TimeSignature((2,), 2, "cut"))


def test_a_chosen_ratio_stands_above_the_groove() -> None:
    two = Swing(Fraction(2))
    assert swing_of(GROOVES["bossa"], FOLLOWS_TEMPO) == STRAIGHT
    assert swing_of(GROOVES["shuffle"], FOLLOWS_TEMPO) == two
    assert swing_of(GROOVES["swing"], FOLLOWS_TEMPO) == FOLLOWS_TEMPO
    assert swing_of(GROOVES["swing"], STRAIGHT) == STRAIGHT
    played = strokes(GROOVES["straight"], row("4/4"), beats_per_minute=steady(60), swing=two)
    hats = [one.at for one in played if one.sound == "closed-hi-hat"]
    assert hats == [beat + part for beat in range(4) for part in (0, Fraction(2, 3))]


@pytest.mark.parametrize("text", ["slow 12/8", "Slow-12-8", " slow 12 8 "])
def test_a_groove_is_found_as_a_player_writes_it(text: str) -> None:
    assert find_groove(text) is GROOVES["slow-12-8"]


def test_a_groove_that_is_none() -> None:
    with pytest.raises(UsageError, match="no groove 'bosa'; did you mean bossa"):
        find_groove("bosa")
    with pytest.raises(UsageError, match="choose from straight, swing, shuffle"):
        find_groove("zzz")


@st.composite
def rows(draw: st.DrawFn) -> tuple[Groove, tuple[GridBar, ...]]:
    """A groove and bars that it fits, some with a pickup, some with changes of time."""
    groove = GROOVES[draw(st.sampled_from(sorted(GROOVES)))]
    times = draw(st.lists(st.sampled_from(groove.times), min_size=1, max_size=20))
    full = times[0].bar_length.quarters
    pickup = draw(st.sampled_from([Fraction(0), full / 4, full / 2, Fraction(1, 2)]))
    return groove, row(*map(str, times), pickup=pickup)


SWINGS = st.sampled_from([FOLLOWS_TEMPO, STRAIGHT, Swing(Fraction(3, 2)), Swing(Fraction(4))])


@given(laid=rows(), tempo=st.integers(30, 400), swing=SWINGS)
def test_strokes_are_exact_in_order_and_inside_their_bars(
    laid: tuple[Groove, tuple[GridBar, ...]], tempo: int, swing: Swing
) -> None:
    groove, bars = laid
    played = strokes(groove, bars, beats_per_minute=steady(tempo), swing=swing, last=True)
    assert all(isinstance(one.at, Fraction) and 0 < one.level <= 1 for one in played)
    keys = [(one.at, one.sound) for one in played]
    assert keys == sorted(set(keys)), "no drum is struck twice at once"
    assert all(bars[0].start <= one.at < bars[-1].end for one in played)
    straight = strokes(groove, bars, beats_per_minute=steady(tempo), swing=STRAIGHT, last=True)
    for bar in bars:
        assert len(inside(bar, played)) == len(inside(bar, straight))


@given(laid=rows(), at=st.integers(0, 20), first=st.integers(0, 9), seed=st.integers(0, 99))
def test_two_portions_are_the_same_as_one(
    laid: tuple[Groove, tuple[GridBar, ...]], at: int, first: int, seed: int
) -> None:
    groove, bars = laid
    one, two = bars[:at], bars[at:]
    begun = first + sum(1 for bar in one if not bar.offset)
    variation = Variation(seed)

    def lay(some: tuple[GridBar, ...], number: int, *, last: bool) -> tuple[Stroke, ...]:
        return strokes(
            groove,
            some,
            beats_per_minute=lambda place: 100 + place,
            variation=variation,
            first_bar=number,
            last=last,
        )

    portions = lay(one, first, last=not two) + lay(two, begun, last=True)
    assert portions == lay(bars, first, last=True)


def test_no_bars_no_strokes() -> None:
    assert strokes(GROOVES["waltz"], (), beats_per_minute=steady(100), last=True) == ()


def test_a_length_of_no_full_step_is_cut() -> None:
    """A bar that stops inside a triplet still keeps its strokes inside."""
    bar = GridBar(Fraction(0), Length(Fraction(10, 3)), TimeSignature((4,), 4))
    played = strokes(GROOVES["swing"], (bar,), beats_per_minute=steady(100), last=True)
    assert all(one.at < bar.end for one in played)
    assert len(played) > 5
