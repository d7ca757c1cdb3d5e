"""Every click and note at its exact time: against a reckoning of the tests' own.

The reckoning here is the statement of the rule and nothing else: a quarter at T
quarters a minute lasts 60/T seconds; at rung r of performing tempo p it lasts p/r
times that; seconds are summed slice by slice.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.music.score import Part
from drills.sheets.choices import Choices
from drills.sheets.clicks.laying import Accent
from drills.sheets.clicks.reading import read_pattern
from drills.sound.groove import GROOVES, Variation
from drills.sound.practice.choices import WHOLE_SHEET, Material, PracticeChoices
from drills.sound.practice.climb import Climb, Steps
from drills.sound.practice.events import Strike, TempoStep, Tone
from drills.sound.practice.practice import Practice, make_practice
from drills.sound.timeline import timeline
from tests.output.fixtures_time import CLARINET
from tests.sound.practice.music import (
    SCALE,
    part_of,
    practice_of,
    source_of,
    strikes,
    tones,
)

F = Fraction

CHANGING = part_of(
    ("4/4", f"{SCALE} | {SCALE}"),
    ("3/4", "C5/4 D5/4 E5/4"),
    ("6/8", "C5/8 D5/8 E5/8 F5/8 G5/8 A5/8"),
    ("4/4", "C5/1"),
    tempos={(0, F(0)): 120, (1, F(2)): 96, (2, F(0)): 132, (3, F(3, 2)): 108},
)
"""Three changes of tempo and three of time in four bars; bar 5 is the landing note's."""
TEMPOS = ((F(0), 120), (F(6), 96), (F(8), 132), (F(25, 2), 108))
"""The same as quarters from the start of the spot, copied by hand from the marks."""
PASS = F(4 + 4 + 3 + 3 + 4)
"""Quarters of one time through, the landing note's bar full."""


def tempo_at(place: Fraction) -> int:
    return [number for start, number in TEMPOS if start <= place][-1]


def seconds_of(low: Fraction, high: Fraction, rung: Fraction) -> Fraction:
    """From one place to another in the spot, summed over slices of a twelfth of a quarter."""
    slices = int((high - low) * 12)
    assert low + F(slices, 12) == high, "the slices must fit"
    return sum((F(60, 12) / tempo_at(low + F(n, 12)) * 120 / rung for n in range(slices)), F(0))


RUNGS = (60, 66, 76, 84, 92, 100, 112, 120)
"""Eight rungs to 120 (tests/sheets/test_ladder.py)."""


def test_clicks_over_more_than_thirty_minutes_of_changing_tempo() -> None:
    """A click every three sixteenths, through bar lines, repetitions and rests."""
    repeated, rest = 16, 2
    choices = PracticeChoices(
        patterns=(read_pattern("every 3 sixteenths"),),
        climb=Climb(repetitions=repeated, rest=rest, rung_rest=1, count_in=2),
    )
    practice = practice_of(CHANGING, "1-4", choices)
    expected: list[Fraction] = []
    now = F(0)
    for rung in map(F, RUNGS):
        quarter = 60 / rung
        expected += [now + n * quarter for n in range(8)]
        now += 8 * quarter
        around = PASS + 4 * rest
        whole = repeated * around  # there is a rest after the last time through too
        once = seconds_of(F(0), PASS, rung)
        inside: dict[Fraction, Fraction] = {}
        click = F(0)
        while click < whole:
            times, place = divmod(click, around)
            if place not in inside:
                played = min(place, PASS)
                inside[place] = seconds_of(F(0), played, rung) + (place - played) * quarter
            expected.append(now + times * (once + 4 * rest * quarter) + inside[place])
            click += F(3, 4)
        now += repeated * once + repeated * 4 * rest * quarter
        now += 4 * quarter  # the silent bar after a rung
    now -= 4 * F(60, 120)  # not after the last
    assert now > 30 * 60
    assert practice.duration == now
    assert [click.at for click in strikes(practice)] == expected


def test_notes_of_the_spot_follow_its_tempos() -> None:
    choices = PracticeChoices(voices=("line",), climb=Climb(rungs=2, repetitions=2, count_in=0))
    practice = practice_of(CHANGING, "1-4", choices)
    places: list[Fraction] = [
        *(F(n, 4) for n in range(32)),
        F(8),
        F(9),
        F(10),
        *(11 + F(n, 2) for n in range(6)),
        F(14),
    ]
    expected, now = [], F(0)
    for rung in (F(60), F(120)):
        once = seconds_of(F(0), PASS, rung)
        for _ in range(2):
            expected += [now + seconds_of(F(0), place, rung) for place in places]
            now += once
        now += 4 * 60 / rung
    found = tones(practice)
    assert [tone.at for tone in found] == expected
    # the last note is held to the end of its bar, and so to the next time through
    assert found[len(places) - 1].end == expected[len(places)]
    # a B flat clarinet sounds a tone lower than written: C5 (72) is 70
    assert found[0].key == 70


def test_a_spot_that_begins_inside_a_bar_is_counted_from_its_bar_line() -> None:
    practice = practice_of(
        CHANGING, "2@3-3@1", PracticeChoices(voices=("click", "line"), climb=Climb(rungs=1))
    )
    quarter = F(60, 96)  # the tempo where the spot begins is the performing tempo
    first = tones(practice)[0]
    assert first.quarters == 4 + 2
    # bar 2 begins at 120, which is 120/96 of the tempo in which the spot begins
    assert first.at == 4 * quarter * F(96, 120) + 2 * quarter * F(96, 120)
    assert [tone.quarters - 6 for tone in tones(practice)][:9] == [
        *(F(n, 4) for n in range(8)), F(2)
    ]  # fmt: skip


@pytest.mark.parametrize("repetitions", [1, 3])
def test_drills_sound_as_the_timeline_of_the_sheet_has_them(repetitions: int) -> None:
    """The MIDI file of a sheet is made of ``timeline``; grace notes and ties included."""
    part = part_of(("4/4", "'B4/16' C5/8 D5/8 'E5/16' 'F5/16' E5/8. F5/16~ F5/4 G5/4 | A5/1"))
    source = source_of(part, "1", Choices(rhythms=()))
    choices = PracticeChoices(
        (Material.CELLS,),
        voices=("line",),
        climb=Climb(rungs=1, repetitions=repetitions, rung_rest=0, count_in=1),
    )
    practice = make_practice(source, choices)
    printed = replace(source.sheet, blocks=source.sheet.blocks[:-1])  # without the spot itself
    line = timeline(printed, source.sheet.tempo, repetitions, gap_bars=1)
    found = tones(practice)
    assert [tone.quarters for tone in found] == [sound.at.quarters for sound in line.sounds]
    assert [tone.end_quarters for tone in found] == [
        (sound.at + sound.length).quarters for sound in line.sounds
    ]
    assert [tone.key for tone in found] == [key for sound in line.sounds for key in sound.keys]
    assert [float(tone.at) for tone in found] == [sound.seconds for sound in line.sounds]


# --- properties ----------------------------------------------------------------------


def reckoned(tempos: tuple[TempoStep, ...]) -> Callable[[Fraction], Fraction]:
    """Seconds of a place, from the tempo steps alone, summed step by step."""
    starts, sums = [step.quarters for step in tempos], [F(0)]
    for one, following in pairwise(tempos):
        sums.append(sums[-1] + (following.quarters - one.quarters) * one.seconds_per_quarter)

    def seconds(place: Fraction) -> Fraction:
        index = bisect_right(starts, place) - 1
        return sums[index] + (place - starts[index]) * tempos[index].seconds_per_quarter

    return seconds


@st.composite
def choices(draw: st.DrawFn) -> PracticeChoices:
    climb = Climb(
        steps=draw(st.sampled_from(Steps)),
        rungs=draw(st.integers(1, 5)),
        percent=F(draw(st.integers(7, 30))),
        beyond=F(draw(st.sampled_from((0, 5, 10)))),
        up=draw(st.sampled_from((0, 3))),
        repetitions=draw(st.integers(1, 3)),
        rest=draw(st.integers(0, 2)),
        rung_rest=draw(st.integers(0, 2)),
        count_in=draw(st.integers(0, 2)),
        signal=draw(st.booleans()),
    )
    patterns = st.sampled_from(("beats", "1", "offbeats", "sixteenths", "bars", "fading", "none"))
    return PracticeChoices(
        material=draw(st.sampled_from(((Material.SPOT,), WHOLE_SHEET, tuple(Material)[:2]))),
        patterns=tuple(map(read_pattern, draw(st.lists(patterns, min_size=1, max_size=3)))),
        accent=draw(st.sampled_from(Accent)),
        voices=tuple(draw(st.sets(st.sampled_from(("click", "line", "octave"))))),
        climb=climb,
    )


PARTS = (
    CHANGING,
    part_of(("7/8", "C5/8 'D5/16' E5/8 F5/4 G5/8. A5/16 B5/8 | C6/2.."), tempos={(0, F(0)): 90}),
    part_of(("6/8", "'G5/16' C5/8 D5/8 E5/4 F5/8 | G5/4. A5/4. | B5/2."), tempos={(0, F(0)): 100}),
    part_of(("2/2", "{3:2 C5/4 D5/4 E5/4} F5/2 | G5/1"), tempos={(0, F(0)): 150}),
)


@settings(max_examples=25, deadline=None)
@given(part=st.sampled_from(PARTS), chosen=choices())
def test_events_are_ordered_exact_and_inside(part: Part, chosen: PracticeChoices) -> None:
    practice = practice_of(part, "1-2", chosen)
    seconds = reckoned(practice.tempos)
    events = list(practice.events())
    assert events == list(practice.events()), "the same each time"
    assert [event.at for event in events] == sorted(event.at for event in events)
    for event in events:
        assert 0 <= event.at <= practice.duration
        assert event.at == seconds(event.quarters)
        if isinstance(event, Tone):
            assert event.at < event.end <= practice.duration
            assert event.end == seconds(event.end_quarters)
    assert practice.duration == seconds(practice.quarters)
    assert practice.tempos[0].at == 0
    steps = [(step.seconds_per_quarter, step.time) for step in practice.tempos]
    assert all(one != two for one, two in pairwise(steps))
    assert [cue.at for cue in practice.cues] == sorted({cue.at for cue in practice.cues})


def downbeats_are_accented(practice: Practice) -> bool:
    """Told from the time signatures of the tempo steps alone, which begin at bar lines here."""
    for click in strikes(practice):
        step = [one for one in practice.tempos if one.quarters <= click.quarters][-1]
        on = (click.quarters - step.quarters) % step.time.bar_length.quarters == 0
        if on != (click.sound == "high-wood-block"):
            return False
    return True


@pytest.mark.parametrize("pattern", ["beats", "eighths", "every 3 sixteenths", "bars"])
def test_the_accent_is_on_the_true_downbeat(pattern: str) -> None:
    part = part_of(("4/4", SCALE), ("3/4", "C5/4 D5/4 E5/4"), ("4/4", "F5/1"))
    chosen = PracticeChoices(patterns=(read_pattern(pattern),), climb=Climb(rungs=3))
    practice = practice_of(part, "1-2", chosen)
    assert downbeats_are_accented(practice)
    assert any(click.sound == "high-wood-block" for click in strikes(practice))


def test_drums_stand_where_their_pattern_says_and_vary_only_if_asked() -> None:
    """The march of the table: its strokes on whole sixteenths, at the exact tempo."""
    part = part_of(("2/4", "C5/8 D5/8 E5/8 F5/8 | G5/8 A5/8 B5/8 C6/8 | D6/2"))
    key = next(key for key, groove in GROOVES.items() if groove.pattern(part.bars[0].time))
    plain = PracticeChoices(groove=key, climb=Climb(repetitions=3))
    practice = practice_of(part, "1-2", plain)
    drums, seconds = strikes(practice, "groove"), reckoned(practice.tempos)
    assert {drum.quarters * 4 % 1 for drum in drums} == {F(0)}
    assert all(drum.at == seconds(drum.quarters) for drum in drums)
    varied = practice_of(part, "1-2", PracticeChoices(groove=key, variation=Variation(seed=3)))
    seconds = reckoned(varied.tempos)
    late = [d.at - seconds(d.quarters) for d in strikes(varied, "groove")]
    assert any(late)
    assert max(map(abs, late)) < F(1, 10)
    ordered = [event.at for event in varied.events()]
    assert ordered == sorted(ordered)
    clicks = strikes(varied)
    assert all(click.at == seconds(click.quarters) for click in clicks)


def test_a_groove_that_does_not_fit_is_told_before_anything_sounds() -> None:
    part = part_of(("11/8", "C5/8 D5/8 E5/8 F5/8 G5/8 A5/8 G5/8 F5/8 E5/8 D5/8 C5/8"))
    with pytest.raises(UsageError, match="11/8"):
        practice_of(part, "1", PracticeChoices(groove=next(iter(GROOVES))))


def test_an_unpitched_part_sounds_as_strokes() -> None:
    part = part_of(
        ("4/4", "snare:C5/4 snare:C5/4 bass_drum:F4/4 snare:C5/4 | snare:C5/1"),
        instrument=CLARINET,
    )
    practice = practice_of(part, "1", PracticeChoices(voices=("line",), climb=Climb(rungs=1)))
    sounds = [event.sound for event in practice.events() if isinstance(event, Strike)]
    assert sounds.count("bass-drum") == 4
    assert not tones(practice)
