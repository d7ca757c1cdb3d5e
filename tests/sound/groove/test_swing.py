"""Swing against published figures.

Sources.  Ratios: A. Friberg and A. Sundström, Music Perception 19(3), 2002,
333-349, as lines in the rule program Director Musices (dm-source/rules/swing.lsp:
drums 4.9396 - 0.0124 bpm); the abstract: about 3.5:1 at slow tempi falling to
1:1 at fast ones, the short note about 100 ms at medium and fast tempi.  The ratio
of beat to upbeat with its worked examples: tests of the package amads.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from statistics import fmean, pstdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.music.grid import GridBar
from drills.music.time import TimeSignature, length
from drills.sound.groove import (
    FOLLOWS_TEMPO,
    GROOVES,
    STRAIGHT,
    Swing,
    parse_swing,
    strokes,
    swing_ratio,
    swung,
    swung_places,
)
from tests.sound.groove.rows import row, steady

PUBLISHED = [
    (120, 3.4516, 0.7754, 112.3),
    (150, 3.0796, 0.7549, 98.0),
    (200, 2.4596, 0.7109, 86.7),
    (250, 1.8396, 0.6478, 84.5),
    (300, 1.2196, 0.5495, 90.1),
]
"""Quarters a minute; drums' ratio, their offbeat in the beat, their short note in ms: worked out
by hand from the published line."""


def beat_upbeat_ratios(beats: Sequence[float], upbeats: Sequence[float]) -> list[float]:
    """Long against short in every beat, as the literature defines it."""
    return [
        (up - beat) / (after - up)
        for (beat, after), up in zip(pairwise(beats), upbeats, strict=True)
    ]


def test_the_worked_examples_of_the_ratio() -> None:
    assert beat_upbeat_ratios([0, 1, 2], [0.6, 1.4]) == pytest.approx([1.5, 2 / 3])
    ratios = beat_upbeat_ratios([0, 1, 2, 3], [0.5, 1.75, 2.8])
    assert ratios == pytest.approx([1, 3, 4])
    assert fmean(ratios) == pytest.approx(2.667, abs=5e-4)
    assert pstdev(ratios) == pytest.approx(1.247, abs=5e-4)


@pytest.mark.parametrize(("tempo", "drums", "offbeat", "short"), PUBLISHED)
def test_the_published_ratios(tempo: int, drums: float, offbeat: float, short: float) -> None:
    ratio = swing_ratio(Fraction(tempo), FOLLOWS_TEMPO)
    assert float(ratio) == pytest.approx(drums, abs=1e-4)
    assert float(ratio / (ratio + 1)) == pytest.approx(offbeat, abs=1e-4)
    assert float(60_000 / (tempo * (ratio + 1))) == pytest.approx(short, abs=0.1)


@pytest.mark.parametrize(("tempo", "drums"), [(row_[0], row_[1]) for row_ in PUBLISHED])
@pytest.mark.parametrize(("key", "time"), [("swing", "4/4"), ("swing", "2/2"), ("two-beat", "4/4")])
def test_what_is_struck_has_the_published_ratio(
    tempo: int, drums: float, key: str, time: str
) -> None:
    """In 2/2 the tempo counts halves, and the quarters swing as in 4/4."""
    sound = "ride" if key == "swing" else "snare"
    halves = 1 if time == "4/4" else 2
    bars = row(time, time)
    played = strokes(GROOVES[key], bars, beats_per_minute=steady(f"{tempo}/{halves}"))
    struck = [float(one.at) for one in played if one.sound == sound]
    beats, ups = [1.0, 2.0], [at for at in struck if 1 < at < 2]
    assert beat_upbeat_ratios(beats, ups) == pytest.approx([drums], abs=1e-4)


def test_the_words_of_the_abstract() -> None:
    assert float(swing_ratio(Fraction(120), FOLLOWS_TEMPO)) == pytest.approx(3.5, abs=0.1)
    assert swing_ratio(Fraction(320), FOLLOWS_TEMPO) == 1
    shorts = [
        float(60_000 / (tempo * (swing_ratio(Fraction(tempo), FOLLOWS_TEMPO) + 1)))
        for tempo in range(140, 320, 10)
    ]
    assert shorts == pytest.approx([100] * len(shorts), abs=20)


@given(tempo=st.integers(10, 500), more=st.integers(0, 200))
def test_faster_is_straighter(tempo: int, more: int) -> None:
    slow, fast = (swing_ratio(Fraction(one), FOLLOWS_TEMPO) for one in (tempo, tempo + more))
    assert 1 <= fast <= slow <= 4


def test_nothing_is_drawn_out_below_what_was_measured() -> None:
    at_slowest = swing_ratio(Fraction(120), FOLLOWS_TEMPO)
    assert {swing_ratio(Fraction(tempo), FOLLOWS_TEMPO) for tempo in (20, 60, 119)} == {at_slowest}


def test_straight_triplet_and_dotted_offbeats() -> None:
    bar = row("4/4")[0]
    offbeats = [swung(Fraction(5, 2), bar, Fraction(ratio)) for ratio in (1, 2, 3)]
    assert offbeats == [2 + Fraction(1, 2), 2 + Fraction(2, 3), 2 + Fraction(3, 4)]


@pytest.mark.parametrize("time", ["6/8", "12/8", "7/8", "3/8", "6/4"])
def test_time_that_does_not_swing(time: str) -> None:
    bar = row(time)[0]
    for step in range(8):
        at = bar.length.quarters * step / 8
        assert swung(at, bar, Fraction(3)) == at


RATIOS = st.fractions(1, 4, max_denominator=50)
TIMES = st.sampled_from(["2/4", "3/4", "4/4", "2/2", "5/4", "3+2/4"])


@given(time=TIMES, ratio=RATIOS, step=st.sampled_from([2, 4, 8]))
def test_a_bar_swings_in_order_with_its_beats_unmoved(
    time: str, ratio: Fraction, step: int
) -> None:
    bar = row("4/4", time)[1]
    places = [bar.start + Fraction(n, step) for n in range(int(bar.length.quarters * step) + 1)]
    played = [swung(at, bar, ratio) for at in places]
    assert all(early < late for early, late in pairwise(played))
    assert played[::step] == places[::step]
    assert all(one >= at for at, one in zip(places, played, strict=True))


@given(ratio=RATIOS, quarters=st.fractions(0, 4, max_denominator=6).filter(bool))
def test_a_pickup_swings_as_the_end_of_a_full_bar(ratio: Fraction, quarters: Fraction) -> None:
    pickup, full = row("4/4", pickup=quarters)[0], row("4/4")[0]
    for step in range(16):
        place = Fraction(step, 4)
        if place >= 4 - quarters:
            in_pickup = swung(place - 4 + quarters, pickup, ratio)
            assert in_pickup + 4 - quarters == swung(place, full, ratio)


def test_triplets_stay() -> None:
    bar = row("3/4")[0]
    for part in (Fraction(1, 3), Fraction(2, 3), Fraction(1, 6), Fraction(3, 5)):
        assert swung(1 + part, bar, Fraction(3)) == 1 + part


def test_a_broken_quarter_at_the_end_of_a_bar_stays() -> None:
    time = TimeSignature((4,), 4)
    bar = GridBar(Fraction(0), length(7, 2), time)
    places = [Fraction(5, 2), Fraction(3), Fraction(13, 4), Fraction(7, 2)]
    played = [swung(at, bar, Fraction(3)) for at in places]
    assert played == [Fraction(11, 4), *places[1:]]


def test_a_quarter_with_sixteenths_or_a_tuplet_is_played_as_written() -> None:
    parts = [["0", "1/2"], ["0", "1/2", "3/4"], ["0", "1/3", "2/3"], ["1/2"]]
    places = [beat + Fraction(part) for beat, inside in enumerate(parts) for part in inside]
    played = swung_places(places, row("4/4"), lambda _: Fraction(2))
    moved = {at: played[at] for at in places if played[at] != at}
    assert moved == {Fraction(1, 2): Fraction(2, 3), Fraction(7, 2): 3 + Fraction(2, 3)}


@given(
    places=st.sets(
        st.sampled_from([2, 3, 4, 5, 6]).flatmap(
            lambda parts: st.integers(0, 9 * parts).map(lambda n: Fraction(n, parts))
        )
    ),
    ratios=st.lists(RATIOS, min_size=10, max_size=10),
    pickup=st.sampled_from([Fraction(0), Fraction(1, 2), Fraction(1), Fraction(4, 3)]),
)
def test_a_voice_keeps_its_order_whatever_it_mixes(
    places: set[Fraction], ratios: list[Fraction], pickup: Fraction
) -> None:
    bars = row("4/4", "3/4", pickup=pickup)
    played = swung_places(places, bars, lambda at: ratios[int(at)])
    assert set(played) == places
    ordered = [played[at] for at in sorted(places)]
    assert all(early < late for early, late in pairwise(ordered))
    beats = {place for bar in bars for _, place in bar.beats()}
    assert all(played[at] == at for at in places & beats)


READ = [
    ("tempo", FOLLOWS_TEMPO),
    (" Straight ", STRAIGHT),
    ("1", STRAIGHT),
    ("2:1", Swing(Fraction(2))),
    ("3 : 2", Swing(Fraction(3, 2))),
    ("1.5", Swing(Fraction(3, 2))),
    ("4:1", Swing(Fraction(4))),
]


@pytest.mark.parametrize(("text", "swing"), READ)
def test_a_swing_is_read(text: str, swing: Swing) -> None:
    assert parse_swing(text) == swing


@pytest.mark.parametrize("text", ["", "much", "2:0", "-2", "2:1:1", "1e3", "\u0661", "2:", "1/2"])
def test_what_is_no_swing(text: str) -> None:
    with pytest.raises(UsageError, match="is no swing; write"):
        parse_swing(text)


@pytest.mark.parametrize("text", ["0.9", "1:2", "4.01", "9:2", "0"])
def test_a_swing_out_of_range(text: str) -> None:
    with pytest.raises(UsageError, match="out of range; choose from 1"):
        parse_swing(text)


def test_a_swing_out_of_range_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="outside 1 to 4"):
        Swing(Fraction(9, 2))
