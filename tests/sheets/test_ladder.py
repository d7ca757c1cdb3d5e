"""The metronome's numbers and the ladder.

Sources.  The 39 numbers: a full list in a post to the Memphis horn list
(www.mail-archive.com/horn@music.memphis.edu/msg29183.html); steps of 3.5 to
5.5 per cent: msg29184.html of the same list; range 40 to 208: Oxford
Dictionary of Music.  From 60 up to 108 "gradually": C.-L. Hanon, The Virtuoso
Pianist (Schirmer edition, 1900).  N equal clicks over four beats at 60 are 15 N
a minute, with 45 and 75 for 3 and 5: H. Bledsoe (helenbledsoe.com/?p=11).
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.music.tempo import Tempo, tempo_in_words
from drills.music.time import Length, NoteValue, TimeSignature, length
from drills.sheets.ladder import make_ladder, shown
from drills.sheets.metronome import SERIES, settable, spread

PUBLISHED = """40 42 44 46 48 50 52 54 56 58 60 63 66 69 72 76 80 84 88 92 96 100 104 108 112 116
120 126 132 138 144 152 160 168 176 184 192 200 208"""

HANON = "60 63 66 69 72 76 80 84 88 92 96 100 104 108"


def ladder_at(number: int, time: str, beat: Fraction = Fraction(1), rungs: int = 8) -> list[str]:
    made = make_ladder(
        Tempo(Fraction(number), length(beat)), TimeSignature.parse(time), rungs=rungs
    )
    return [shown(rung) for rung in made.rungs]


def test_the_published_series() -> None:
    assert [str(n) for n in SERIES] == PUBLISHED.split()
    steps = [Fraction(high, low) for low, high in pairwise(SERIES)]
    assert Fraction(1034, 1000) < min(steps)
    assert max(steps) < Fraction(1056, 1000)


def test_hanon_from_60_to_108() -> None:
    assert [shown(n) for n in spread(Fraction(60), Fraction(108), 14)] == HANON.split()


def test_eight_rungs_from_half_the_tempo() -> None:
    assert ladder_at(120, "4/4") == ["60", "66", "76", "84", "92", "100", "112", "120"]


@given(low=st.integers(30, 200), more=st.integers(1, 150), count=st.integers(2, 39))
def test_rungs_ascend_over_the_series_and_end_with_the_tempo(
    low: int, more: int, count: int
) -> None:
    rungs = spread(Fraction(low), Fraction(low + more), count)
    assert rungs[-1] == low + more
    assert list(rungs) == sorted(set(rungs))
    assert len(rungs) <= count
    printed = (*range(30, 40, 2), *SERIES, *range(216, 241, 8))
    assert all(rung in printed and rung >= low for rung in rungs[:-1])
    available = [n for n in printed if low <= n < low + more]
    assert len(rungs) == min(count, len(available) + 1)
    if len(rungs) == count > 2:
        places = [([*available, low + more]).index(int(rung)) for rung in rungs]
        gaps = [b - a for a, b in pairwise(places)]
        assert max(gaps) - min(gaps) <= 1, "spread evenly"


@pytest.mark.parametrize(
    ("number", "time", "beat", "counted", "first", "last"),
    [
        (120, "4/4", Fraction(1), NoteValue("quarter"), "60", "120"),
        (112, "6/8", Fraction(3, 2), NoteValue("quarter", 1), "56", "112"),
        (60, "4/4", Fraction(1), NoteValue("eighth"), "60", "120"),
        (56, "6/8", Fraction(3, 2), NoteValue("eighth"), "84", "168"),
        (84, "2/2", Fraction(2), NoteValue("half"), "42", "84"),
        (240, "4/4", Fraction(1), NoteValue("half"), "60", "120"),
        (240, "3/4", Fraction(1), NoteValue("half", 1), "40", "80"),
    ],
)
def test_what_the_numbers_count(
    number: int, time: str, beat: Fraction, counted: NoteValue, first: str, last: str
) -> None:
    made = make_ladder(Tempo(Fraction(number), length(beat)), TimeSignature.parse(time))
    assert made.beat == counted
    assert (shown(made.rungs[0]), shown(made.rungs[-1])) == (first, last)


def test_clicks_at_120_in_four_four() -> None:
    """A click on beat 4 only is 30, every three sixteenths 160: 60/T seconds a beat."""
    made = make_ladder(Tempo(Fraction(120), length(1)), TimeSignature((4,), 4), value=length(1, 4))
    last = {click.words: click.numbers[-1] for click in made.clicks}
    assert last == {
        "on beats 2 and 4 only": 60,
        "on beat 4 only": 30,
        "every three sixteenths": 160,
    }


def test_three_sixteenths_at_60_agree_with_the_published_example() -> None:
    """Three clicks over four beats at 60 are 45: the same as a click every 16/3 sixteenths.

    Every three sixteenths at 60 is 80, that is 16/3 clicks over four beats:
    15 x 16/3 by the published rule.
    """
    made = make_ladder(Tempo(Fraction(60), length(1)), TimeSignature((4,), 4), value=length(1, 4))
    (setting,) = [click for click in made.clicks if click.words == "every three sixteenths"]
    assert setting.numbers[-1] == 15 * Fraction(16, 3)


@pytest.mark.parametrize(
    ("time", "value", "words", "clicks"),
    [
        ("4/4", length(1, 2), "every three eighths", 80),
        ("4/4", length(1, 3), "every two triplet eighths", 180),
        ("4/4", length(1, 6), "every four triplet sixteenths", 180),
        ("6/8", length(1, 4), "every four sixteenths", 180),
        ("6/8", length(1, 2), "every two eighths", 180),
        ("7/8", length(1, 4), "every three sixteenths", 80),
        ("4/4", length(1), "", 0),
        ("4/4", length(1, 5), "", 0),
    ],
)
def test_clicks_across_the_beat_name_a_value_of_the_passage(
    time: str, value: Length, words: str, clicks: int
) -> None:
    """At 120 to the beat (in 7/8 counted in eighths, 120 of them)."""
    signature = TimeSignature.parse(time)
    made = make_ladder(Tempo(Fraction(120), signature.beat), signature, value=value)
    across = [(c.words, c.numbers[-1]) for c in made.clicks if c.words.startswith("every")]
    assert across == ([(words, Fraction(clicks))] if words else [])


def test_clicks_that_no_metronome_offers_are_left_out() -> None:
    """Beat 5 of 5/4 at 60 is 12 a minute; none below 30 is printed."""
    made = make_ladder(Tempo(Fraction(60), length(1)), TimeSignature((5,), 4))
    assert made.clicks == ()
    assert [settable(Fraction(n, 4)) for n in (119, 120, 58 * 4, 29 * 2 * 4 + 2, 961)] == [
        *("–", "30", "58", "59", "–"),  # noqa: RUF001 - printed
    ]


def test_above_the_metronome_twice_the_beat_is_counted() -> None:
    assert ladder_at(300, "5/8", Fraction(1, 2)) == ladder_at(150, "5/4")


@pytest.mark.parametrize(("text", "number"), [("Allegro", 132), ("Allegretto", 112), ("???", 96)])
def test_words(text: str, number: int) -> None:
    assert tempo_in_words(text) == number


@pytest.mark.parametrize(
    ("number", "rungs", "start", "message"),
    [
        (120, 1, None, "2 to 39 rungs"),
        (0, 8, None, "out of bounds"),
        (2000, 8, None, "out of bounds"),
        (120, 8, 130, "below the performing tempo"),
    ],
)
def test_refused(number: int, rungs: int, start: int | None, message: str) -> None:
    low = None if start is None else Fraction(start)
    with pytest.raises(UsageError, match=message):
        make_ladder(
            Tempo(Fraction(number), length(1)), TimeSignature((4,), 4), rungs=rungs, start=low
        )
