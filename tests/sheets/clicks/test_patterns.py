"""Where clicks fall: worked by hand for every pattern in many time signatures, and in facts.

Sources.  N equal clicks across four beats at quarter = 60 are 15 N a minute, with 45
for 3 and 75 for 5: H. Bledsoe (helenbledsoe.com/?p=11).  Everything else follows from
60/T seconds a beat.  What a beat, a group or an offbeat is, is common practice; see the
conventions of drills/music/time.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.music.tempo import Tempo
from drills.music.time import ZERO, Length, TimeSignature, length
from drills.sheets.clicks.laying import Accent, Click, clicks
from drills.sheets.clicks.pattern import Pattern, comes_round
from drills.sheets.clicks.patterns import (
    Bars,
    Beats,
    Counted,
    Divided,
    Every,
    Fading,
    Groups,
    NoClick,
    Offbeats,
    WithWithout,
)
from drills.sheets.clicks.reading import read_pattern
from drills.sheets.ladder import make_ladder, metronome_number

F = Fraction


def row(*times: str, pickup: Fraction | None = None) -> tuple[GridBar, ...]:
    """Full bars in a row, after a pickup of so many quarters of the first time."""
    found, at = [], F(0)
    if pickup:
        time = TimeSignature.parse(times[0])
        size = Length(pickup)
        found.append(GridBar(at, size, time, time.bar_length - size))
        at += pickup
    for text in times:
        time = TimeSignature.parse(text)
        found.append(GridBar(at, time.bar_length, time))
        at = found[-1].end
    return tuple(found)


def places(found: Sequence[Click]) -> list[Fraction]:
    return [click.at for click in found]


def accents(found: Sequence[Click]) -> list[Fraction]:
    return [click.at for click in found if click.accent]


def quarters(*halves: float) -> list[Fraction]:
    return [F(one).limit_denominator(96) for one in halves]


@pytest.mark.parametrize(
    ("pattern", "time", "expected"),
    [
        ("beats", "4/4", [0, 1, 2, 3]),
        ("beats", "3/4", [0, 1, 2]),
        ("beats", "6/8", [0, 1.5]),
        ("beats", "9/8", [0, 1.5, 3]),
        ("beats", "12/8", [0, 1.5, 3, 4.5]),
        ("beats", "5/4", [0, 1, 2, 3, 4]),
        ("beats", "2/2", [0, 2]),
        ("beats", "7/8", [0, 0.5, 1, 1.5, 2, 2.5, 3]),
        ("beats", "3+2/8", [0, 0.5, 1, 1.5, 2]),
        ("4", "4/4", [3]),
        ("2,4", "4/4", [1, 3]),
        ("2", "6/8", [1.5]),
        ("2", "2/2", [2]),
        ("5", "5/4", [4]),
        ("2.5", "4/4", [1.5]),
        ("1,4", "7/8", [0, 1.5]),
        ("offbeats", "4/4", [0.5, 1.5, 2.5, 3.5]),
        ("offbeats", "2/2", [1, 3]),
        ("offbeats", "6/8", [1, 2.5]),
        ("groups", "4/4", [0, 2]),
        ("groups", "5/4", [0, 3]),
        ("groups", "7/8", [0, 1, 2]),
        ("groups", "3+2/8", [0, 1.5]),
        ("groups", "2+3/8", [0, 1]),
        ("groups", "6/8", [0]),
        ("divided", "2/4", [0, 0.5, 1, 1.5]),
        ("divided", "6/8", [0, 0.5, 1, 1.5, 2, 2.5]),
        ("divided", "2/2", [0, 1, 2, 3]),
        ("eighths", "3/8", [0, 0.5, 1]),
        ("every dotted quarter", "6/8", [0, 1.5]),
        ("bars", "5/4", [0]),
        ("none", "4/4", []),
    ],
)
def test_one_bar(pattern: str, time: str, expected: list[float]) -> None:
    assert places(clicks(read_pattern(pattern), row(time))) == quarters(*expected)


@pytest.mark.parametrize(
    ("pattern", "expected"),
    [
        ("every 3 sixteenths", [F(3 * n, 4) for n in range(16)]),
        ("every 2 bars", [0, 8]),
        ("every 3 bars", [0]),
        ("1 with 2 without", [0, 1, 2, 3]),
        ("1 with 1 without: 4", [3, 11]),
        (
            "1 with 1 without: every 3 sixteenths",
            [F(3 * n, 4) for n in (*range(6), *range(11, 16))],
        ),
    ],
)  # fmt: skip
def test_three_bars_of_four_four(pattern: str, expected: list[Fraction]) -> None:
    """In silence "every three sixteenths" goes on unheard: its third bar is in phase."""
    assert places(clicks(read_pattern(pattern), row("4/4", "4/4", "4/4"))) == expected


def test_changes_of_time_inside() -> None:
    bars = row("4/4", "7/8", "6/8", "2/4", "3+2/8")
    assert places(clicks(Beats(), bars)) == quarters(
        *(0, 1, 2, 3), *(4 + n / 2 for n in range(7)), *(7.5, 9), *(10.5, 11.5),
        *(12.5 + n / 2 for n in range(5)),
    )  # fmt: skip
    # a beat that only some bars have is silent in the others
    assert places(clicks(read_pattern("2,4"), bars)) == quarters(1, 3, 4.5, 5.5, 9, 11.5, 13, 14)
    assert places(clicks(Bars(2), bars)) == quarters(0, 7.5, 12.5)
    # sixteenths in groups of three run through: 0.75 each from the first downbeat
    run = places(clicks(Every(3, length(1, 4)), bars))
    assert run == [F(3 * n, 4) for n in range(20)]
    assert accents(clicks(Beats(), bars)) == quarters(0, 4, 7.5, 10.5, 12.5)
    assert accents(clicks(Beats(), bars, Accent.GROUPS)) == quarters(
        0, 2, 4, 5, 6, 7.5, 10.5, 12.5, 14
    )
    assert accents(clicks(Beats(), bars, Accent.NONE)) == []


@pytest.mark.parametrize("pickup", [F(1, 2), F(1), F(3, 4), F(5, 2)])
def test_a_pickup_leads_to_the_true_downbeat(pickup: Fraction) -> None:
    bars = row("4/4", "4/4", "4/4", pickup=pickup)
    downbeats = [pickup, pickup + 4, pickup + 8]
    for pattern in (Beats(), Groups(), Divided(), Divided(finer=True), Bars()):
        assert accents(clicks(pattern, bars)) == downbeats
    # every three sixteenths is counted from the first downbeat, and backwards before it
    across = clicks(Every(3, length(1, 4)), bars)
    assert accents(across) == [pickup]
    assert places(across) == [
        at for n in range(-16, 17) if 0 <= (at := pickup + F(3 * n, 4)) < bars[-1].end
    ]
    assert places(clicks(read_pattern("4"), bars)) == [
        at for at in (pickup - 1, pickup + 3, pickup + 7, pickup + 11) if at >= 0
    ]
    assert places(clicks(WithWithout(1, 1), bars))[-4:] == [pickup + 8 + n for n in range(4)]


def test_a_split_bar_is_one_bar() -> None:
    """Three quarters, and after a repeat sign the fourth: the bar count goes on after both."""
    time = TimeSignature((4,), 4)
    bars = (
        GridBar(F(0), length(3), time),
        GridBar(F(3), length(1), time, length(3)),
        *(GridBar(F(4 * n), length(4), time, ZERO) for n in (1, 2, 3)),
    )
    assert places(clicks(Beats(), bars)) == [F(n) for n in range(16)]
    assert accents(clicks(Beats(), bars)) == [0, 4, 8, 12]
    assert places(clicks(WithWithout(1, 1), bars)) == [0, 1, 2, 3, 8, 9, 10, 11]


# --- facts -------------------------------------------------------------------------


def number(pattern: str, tempo: int, time: str = "4/4") -> Fraction | None:
    signature = TimeSignature.parse(time)
    return metronome_number(read_pattern(pattern), Tempo(F(tempo), signature.beat), signature)


@pytest.mark.parametrize(
    ("pattern", "tempo", "time", "clicks_a_minute"),
    [
        ("every 3 sixteenths", 120, "4/4", 160),  # 4T/3
        ("every 3 sixteenths", 90, "4/4", 120),
        ("4", 120, "4/4", 30),
        ("2,4", 120, "4/4", 60),
        ("1,3", 120, "4/4", 60),
        ("offbeats", 120, "4/4", 120),
        ("beats", 112, "6/8", 112),
        ("bars", 120, "3/4", 40),
        ("every 4 bars", 120, "4/4", F(15, 2)),
        ("groups", 120, "4/4", 60),
        ("sixteenths", 60, "4/4", 240),
        ("every 2 triplet eighths", 120, "4/4", 180),
        ("divided", 60, "6/8", 180),
        ("5", 100, "5/4", 20),
    ],
)
def test_what_a_plain_metronome_needs(
    pattern: str, tempo: int, time: str, clicks_a_minute: Fraction
) -> None:
    assert number(pattern, tempo, time) == clicks_a_minute


@pytest.mark.parametrize("pattern", ["1,2", "2 with 2 without", "none", "fading", "1,2,3"])
def test_no_plain_metronome_does_it(pattern: str) -> None:
    assert number(pattern, 120) is None


def test_groups_that_are_uneven_have_no_number() -> None:
    assert number("groups", 200, "7/8") is None
    assert number("groups", 200, "4/4") == 100


@pytest.mark.parametrize(("equal", "published"), [(3, 45), (5, 75), (6, 90)])
def test_equal_clicks_across_four_beats(equal: int, published: int) -> None:
    """15 N a minute at quarter = 60; 45 and 75 are published (see above)."""
    pattern = Every(1, Length(F(4, equal)))
    assert metronome_number(pattern, Tempo(F(60), length(1)), TimeSignature((4,), 4)) == published


@pytest.mark.parametrize(
    ("value", "times", "expected"),
    [
        (F(1, 2), ("4/4",), [F(n, 2) for n in range(8)]),
        (F(1), ("4/4", "6/8"), [0, 1, 2, 3, 4, F(11, 2)]),  # quarters do not fit 6/8
        (F(1, 2), ("6/8", "2/4"), [*(F(n, 2) for n in range(6)), 3, F(7, 2), 4, F(9, 2)]),
        (F(2), ("4/4", "3/4"), [0, 2, 4, 5, 6]),  # nor halves 3/4
        (F(3, 2), ("6/8", "3/4"), [0, F(3, 2), 3, 4, 5]),  # nor dotted quarters 3/4
        (F(1), ("3+3+2/8",), [F(n, 2) for n in range(8)]),  # its groups are not in quarters
        (F(3), ("3/4", "3/4"), [0, 3]),
    ],
)
def test_what_a_ladder_counts(
    value: Fraction, times: tuple[str, ...], expected: list[Fraction]
) -> None:
    assert places(clicks(Counted(Length(value)), row(*times))) == expected


@pytest.mark.parametrize(
    ("pattern", "time", "bars"),
    [
        ("every 3 sixteenths", "4/4", 3),  # 48 sixteenths, 16 clicks
        ("every 3 sixteenths", "3/4", 1),
        ("every 5 sixteenths", "4/4", 5),
        ("every 3 eighths", "4/4", 3),
        ("every 4 triplet eighths", "4/4", 1),
        ("every 5 triplet eighths", "4/4", 5),
        ("every dotted quarter", "4/4", 3),
        ("every 2 dotted eighths", "4/4", 3),
        ("every 4 sixteenths", "7/8", 2),
        ("every 4 eighths", "6/8", 2),
        ("sixteenths", "4/4", 1),
    ],
)
def test_after_how_many_bars_it_comes_round(pattern: str, time: str, bars: int) -> None:
    found = read_pattern(pattern)
    assert comes_round(found, TimeSignature.parse(time)) == bars
    laid = clicks(found, row(*[time] * (3 * bars)))
    bar = TimeSignature.parse(time).bar_length.quarters
    on_downbeats = [int(at / bar) for at in places(laid) if at % bar == 0]
    assert on_downbeats == [0, bars, 2 * bars]
    if bars > 1:
        with pytest.raises(UsageError, match=f"only after {bars}"):
            clicks(found, row(*[time] * (bars - 1)))


def test_three_sixteenths_meet_the_downbeat_every_third_bar() -> None:
    laid = clicks(Every(3, length(1, 4)), row(*["4/4"] * 9))
    assert accents(laid) == [0, 12, 24]
    assert len(laid) == 48


# --- levels, rungs, errors ---------------------------------------------------------


def test_parts_of_the_beat_are_softer() -> None:
    laid = clicks(read_pattern("sixteenths"), row("2/4"))
    levels = [click.level for click in laid]
    assert levels[0] > levels[4] > levels[1] == levels[2] == levels[3] == levels[5]
    assert (
        len({c.level for c in clicks(read_pattern("every 3 sixteenths"), row(*["4/4"] * 3))}) == 2
    )


@pytest.mark.parametrize(
    ("time", "steps"),
    [
        ("4/4", ["sixteenths", "eighths", "beats", "bars", "bars"]),
        ("6/8", ["sixteenths", "eighths", "beats", "bars", "bars"]),
        ("2/2", ["eighths", "quarters", "beats", "bars", "bars"]),
        ("7/8", ["sixteenths", "beats", "groups", "bars", "bars"]),
    ],
)
def test_subdivisions_fade_away(time: str, steps: list[str]) -> None:
    bars = row(time, time)
    for rung, step in enumerate(steps):
        assert places(clicks(Fading(), bars, rung=rung)) == places(clicks(read_pattern(step), bars))


def test_fading_inside_bars_in_turn() -> None:
    found = clicks(WithWithout(1, 1, Fading()), row("4/4", "4/4"), rung=2)
    assert places(found) == [0, 1, 2, 3]


@pytest.mark.parametrize(
    ("pattern", "times", "message"),
    [
        ("5", ["4/4"], "beat 5 does not exist: a bar of 4/4 has 4 beats"),
        ("3", ["6/8"], "beat 3 does not exist: a bar of 6/8 has 2 beats"),
        ("2", ["1/4"], "a bar of 1/4 has 1 beat"),
        ("2,5.5", ["3/4", "4/4"], "beat 5.5 does not exist"),
        ("every 3 sixteenths", ["4/4"], "within 1 bar, only after 3"),
        ("every 3 sixteenths", ["4/4", "4/4", "5/4"], "whose time changes"),
        ("every 4 bars", ["4/4"] * 3, "after 4 bars, and there are only 3"),
        ("2 with 2 without", ["4/4"], "after 4 bars, and there is only 1"),
        ("1 with 1 without: 4", ["3/4", "3/4"], "beat 4 does not exist"),
    ],
)
def test_what_makes_no_sense_here(pattern: str, times: list[str], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        clicks(read_pattern(pattern), row(*times))


@pytest.mark.parametrize("time", ["4/4", "3/4", "6/8", "12/8", "7/8", "5/4", "2/2", "6/4"])
@pytest.mark.parametrize("value", [length(1, 4), length(1, 3), length(1, 2), None])
def test_the_printed_ladder_says_what_sounds(time: str, value: Length | None) -> None:
    """For every click of the ladder its words are typed, laid, and counted a minute."""
    signature = TimeSignature.parse(time)
    made = make_ladder(Tempo(F(100), signature.beat), signature, value=value)
    for setting in made.clicks:
        pattern = read_pattern(setting.words)
        for rung, number in zip(made.rungs, setting.numbers, strict=True):
            tempo = Tempo(rung, made.beat.length)
            assert metronome_number(pattern, tempo, signature) == number
            laid = clicks(pattern, row(*[time] * 24))
            apart = {b.at - a.at for a, b in pairwise(laid)}
            assert apart == {tempo.quarters_per_minute / number}


TIMES = st.sampled_from(["4/4", "3/4", "6/8", "7/8", "5/4", "2/2", "3+2/8", "9/8", "5/8"])
PATTERNS: list[Pattern] = [
    *(Beats(), Offbeats(), Groups(), Divided(), Divided(finer=True), Bars(), Fading(), NoClick()),
    *(WithWithout(1, 1), Beats((F(1),)), Every(1, length(1, 4)), Every(1, length(1, 2))),
]


@given(
    times=st.lists(TIMES, min_size=2, max_size=6),
    pickup=st.sampled_from([F(0), F(1, 2), F(1)]),
    pattern=st.sampled_from(PATTERNS),
    rung=st.integers(0, 4),
)
def test_clicks_are_in_order_inside_and_accented_on_downbeats_only(
    times: list[str], pickup: Fraction, pattern: Pattern, rung: int
) -> None:
    bars = row(*times, pickup=pickup)
    found = clicks(pattern, bars, rung=rung)
    assert places(found) == sorted(set(places(found)))
    assert all(0 <= click.at < bars[-1].end for click in found)
    downbeats = {bar.start for bar in bars if not bar.offset}
    assert all((click.at in downbeats) == click.accent for click in found)


@pytest.mark.parametrize("pattern", PATTERNS)
@pytest.mark.parametrize("time", ["4/4", "6/8", "3/4", "2/2"])
def test_even_clicks_are_as_far_apart_as_the_pattern_says(pattern: Pattern, time: str) -> None:
    signature = TimeSignature.parse(time)
    apart = pattern.spacing(signature)
    found = places(clicks(pattern, row(*[time] * 4)))
    gaps = {b - a for a, b in pairwise(found)}
    assert apart is None or gaps == {apart.quarters}
