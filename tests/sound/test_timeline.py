"""When notes sound: worked by hand, and against the metronome's arithmetic."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from drills.errors import UsageError
from drills.music.notes import Grace, Note, Voice
from drills.music.pitch import Pitch, Unpitched
from drills.music.score import TempoMark
from drills.music.tempo import Tempo
from drills.music.time import NoteValue, length, position
from drills.places.finding import find_span
from drills.places.tempos import tempo_map
from drills.sheets.choices import Choices
from drills.sheets.making import make_sheet
from drills.sheets.sheet import Sheet
from drills.sound.timeline import Clock, Timeline, drill_passage, spot_passage, spot_start, timeline
from tests.output.fixtures import run_part, run_sheet
from tests.output.fixtures_time import ALTO, CLARINET, bars, drill, group, sheet

QUARTER_120 = Tempo(Fraction(120), length(1))


def one(text: str, time: str = "4/4", repeated: bool = False) -> Sheet:
    return sheet(group(drill(bars(text, time), repeated=repeated)))


def starts(found: Timeline) -> list[Fraction]:
    return [sound.at.quarters for sound in found.sounds]


def lengths(found: Timeline) -> list[Fraction]:
    return [sound.length.quarters for sound in found.sounds]


def test_notes_follow_a_counted_bar_at_the_tempo() -> None:
    found = timeline(one("C4/4 D4/8 E4/8 r/2"), QUARTER_120)
    assert starts(found) == [4, 5, Fraction(11, 2)]
    # 120 beats a minute: half a second a quarter (the definition of the figure)
    assert [s.seconds for s in found.sounds] == [2.0, 2.5, 2.75]
    assert [s.duration for s in found.sounds] == [0.5, 0.25, 0.25]
    assert (found.length, found.duration) == (length(8), 4.0)


def test_the_tempo_counts_its_own_beat() -> None:
    dotted = Tempo(Fraction(60), length(3, 2))
    found = timeline(one("C4/8 D4/8 E4/8 F4/4.", "6/8"), dotted)
    assert [s.seconds for s in found.sounds] == pytest.approx([2, 2 + 1 / 3, 2 + 2 / 3, 3])
    half = Tempo(Fraction(60), length(2))
    assert timeline(one("C4/1"), half).sounds[0].seconds == 2.0


def test_ties_are_one_sound_over_the_bar_line() -> None:
    found = timeline(one("C4/2 D4/2~ | D4/4 E4/2."), QUARTER_120)
    assert starts(found) == [4, 6, 9]
    assert lengths(found) == [2, 3, 3]


def test_a_tie_from_nothing_is_an_attack() -> None:
    music = bars("C4/2~ r/2 | C4/1")
    found = timeline(sheet(group(drill(music, repeated=False))), QUARTER_120)
    assert starts(found) == [4, 8]


def test_a_tie_to_nothing_ends_with_its_note() -> None:
    (bar,) = bars("C4/2~ C4/2")
    first, second = bar.voices[0].events
    assert isinstance(second, Note)
    music = replace(bar, voices=(Voice("1", (first, replace(second, tie_stop=False))),))
    found = timeline(sheet(group(drill((music,), repeated=False))), QUARTER_120)
    assert starts(found) == [4, 6]
    assert lengths(found) == [2, 2]


def test_triplets_are_exact() -> None:
    found = timeline(one("{3:2 C4/8 D4/8 E4/8} {3:2 {5:4 C4/16 D4/16 E4/16 F4/16 G4/16} A4/4} r/2"),
                     QUARTER_120)  # fmt: skip
    third = Fraction(1, 3)
    assert starts(found)[:3] == [4, 4 + third, 4 + 2 * third]
    # five sixteenths in the time of four, two thirds of it: 1/4 * 4/5 * 2/3 = 2/15
    assert lengths(found)[3:8] == [Fraction(2, 15)] * 5
    assert lengths(found)[8] == Fraction(2, 3)


def test_sounding_keys_follow_the_instrument() -> None:
    # written C5 on a B flat clarinet sounds B flat 4 (MIDI 70), on an alto saxophone E flat 4 (63)
    for instrument, key in ((CLARINET, 70), (ALTO, 63)):
        music = bars("C5/1", instrument=instrument)
        found = timeline(sheet(group(drill(music))), QUARTER_120)
        assert [s.keys for s in found.sounds] == [(Fraction(key),)]


def test_an_unpitched_note_stays_what_it_is() -> None:
    found = timeline(one("snare:C5/1"), QUARTER_120)
    assert found.sounds[0].keys == (Unpitched("C", 5, "snare"),)


def test_a_repeated_drill_is_played_out_and_the_next_is_counted_in() -> None:
    music = sheet(
        group(drill(bars("C4/2 D4/4", "3/4")), drill(bars("E4/1"), repeated=False, label="line"))
    )
    found = timeline(music, QUARTER_120, repetitions=3)
    # 3 counted, three times 3, 4 counted (the next drill is in 4/4), 4
    assert starts(found) == [3, 5, 6, 8, 9, 11, 16]
    assert [d.at for d in found.drills] == [position(3), position(16)]
    assert [d.length for d in found.drills] == [length(9), length(4)]
    assert [b.repetition for b in found.drills[0].bars] == [0, 1, 2, 3]
    assert found.length == length(20)


def test_gaps_may_be_longer_or_none() -> None:
    music = one("C4/1")
    assert starts(timeline(music, QUARTER_120, gap_bars=2)) == [8]
    assert starts(timeline(music, QUARTER_120, gap_bars=0)) == [0]


@pytest.mark.parametrize(
    ("time", "text", "beats"),
    [
        ("3/4", "C4/2.", [0, 1, 2]),
        ("6/8", "C4/2.", [0, Fraction(3, 2)]),
        ("2/2", "C4/1", [0, 2]),
        ("7/8", "C4/2..", [Fraction(n, 2) for n in range(7)]),
        ("3+2/8", "C4/2 D4/8", [Fraction(n, 2) for n in range(5)]),
    ],
)
def test_beats_are_those_that_a_player_counts(time: str, text: str, beats: list[Fraction]) -> None:
    """Common practice; see the conventions of drills/music/time.py."""
    timed = timeline(one(text, time), QUARTER_120).drills[0]
    played = [b for b in timed.beats if not b.counted]
    assert [b.at.quarters - timed.at.quarters for b in played] == beats
    assert [b.number for b in played] == list(range(1, len(beats) + 1))
    assert sum(b.counted for b in timed.beats) == len(beats)


def test_grace_notes_come_before_the_beat() -> None:
    found = timeline(one("C4/4 'D4/16' 'E4/16' F4/4 r/2"), QUARTER_120)
    assert starts(found) == [4, Fraction(19, 4), Fraction(39, 8), 5]
    assert lengths(found) == [Fraction(3, 4), Fraction(1, 8), Fraction(1, 8), 1]
    assert [s.grace for s in found.sounds] == [False, True, True, False]


def test_grace_notes_take_half_of_a_short_note_at_most() -> None:
    found = timeline(one("C4/32 'D4/16' 'E4/16' F4/4 r/2"), QUARTER_120)
    assert lengths(found)[:3] == [Fraction(1, 16), Fraction(1, 32), Fraction(1, 32)]


def test_grace_notes_before_the_first_note_fall_into_the_counted_rest() -> None:
    music = one("'D4/16' C4/1", repeated=True)
    found = timeline(music, QUARTER_120, repetitions=2)
    assert starts(found) == [Fraction(31, 8), 4, Fraction(63, 8), 8]
    assert lengths(found)[1] == Fraction(31, 8)


def test_without_counted_rest_they_begin_on_the_beat() -> None:
    found = timeline(one("'D4/16' C4/1"), QUARTER_120, gap_bars=0)
    assert starts(found) == [0, Fraction(1, 8)]
    assert lengths(found) == [Fraction(1, 8), Fraction(31, 8)]


def test_notes_that_overlap_are_cut_where_the_next_begins() -> None:
    """A score may be wrong; a timeline still is one."""
    (bar,) = bars("C4/2 D4/2")
    first, second = bar.voices[0].events
    assert isinstance(first, Note)
    after = (Grace((Pitch.parse("E4"),), NoteValue("16th")),)
    events = (replace(first, graces_after=after), replace(second, start=position(1)))
    music = replace(bar, voices=(Voice("1", events),))
    found = timeline(sheet(group(drill((music,), repeated=False))), QUARTER_120)
    assert all(sound.length >= length(0) for sound in found.sounds)
    assert [s.at.quarters for s in found.sounds if not s.grace] == [4, 5]


def test_accents_are_told() -> None:
    found = timeline(one("C4/2> D4/2"), QUARTER_120)
    assert [s.accent for s in found.sounds] == [True, False]


def test_seconds_do_not_add_up_rounding() -> None:
    """The ten-thousandth triplet eighth at 120 is at 10000 * 60 / 120 / 3 seconds."""
    music = one(" ".join(["{3:2 C4/8 D4/8 E4/8}"] * 4), repeated=True)
    found = timeline(music, QUARTER_120, repetitions=1000, gap_bars=0)
    assert found.sounds[10_000].seconds == float(Fraction(10_000, 6))


@pytest.mark.parametrize(
    ("number", "repetitions", "gap", "words"),
    [(0, 1, 1, "tempo"), (120, 0, 1, "repetitions"), (120, 1, -1, "counted")],
)
def test_what_cannot_be_played_is_refused(
    number: int, repetitions: int, gap: int, words: str
) -> None:
    with pytest.raises(UsageError, match=words):
        timeline(one("C4/1"), Tempo(Fraction(number), length(1)), repetitions, gap)


# --- changes of tempo, and music that is played over and over ---------------------


def test_a_clock_follows_changes_of_tempo() -> None:
    """Two quarters at 120, three at 60, then at 90: 1 s, 3 s, and 2/3 s a quarter."""
    clock = Clock.following(
        [Fraction(0), Fraction(2), Fraction(5)], [Fraction(1, 2), Fraction(1), Fraction(2, 3)]
    )
    places = [Fraction(n) for n in (-1, 0, 1, 2, 3, 5, 8)]
    assert [clock.at(place) for place in places] == [-Fraction(1, 2), 0, Fraction(1, 2), 1, 2, 4, 6]
    assert [clock.pace(Fraction(n)) for n in (0, 2, 4, 5)] == [
        Fraction(1, 2), 1, 1, Fraction(2, 3)
    ]  # fmt: skip
    assert clock.seconds(position(8)) == 6.0
    assert clock.lasting(position(1), length(5)) == 0.5 + 3 + 2 / 3


def test_a_drill_is_a_passage_that_can_follow_itself() -> None:
    """Grace notes before the first note come out of the last, as where repeats are played out."""
    passage = drill_passage(drill(bars("'D4/16' C4/2 E4/2")))
    once = passage.sounds(Fraction(4))
    assert [sound.at.quarters for sound in once] == [Fraction(-1, 8), 0, 2]
    assert once[-1].end == position(4)
    again = passage.sounds(before=True, after=True)
    assert [sound.at.quarters for sound in again] == [Fraction(-1, 8), 0, 2]
    assert again[-1].end == position(31, 8)
    # where nothing is before it they begin on the beat
    assert [sound.at.quarters for sound in passage.sounds()] == [0, Fraction(1, 8), 2]


@pytest.mark.parametrize("gap", [0, 1])
@pytest.mark.parametrize("text", ["'D4/16' C4/2 E4/8 F4/4.", "C4/4 'D4/16' 'E4/16' F4/2."])
def test_a_passage_three_times_is_the_timeline_with_three_repetitions(text: str, gap: int) -> None:
    music = drill(bars(text))
    passage = drill_passage(music)
    line = timeline(sheet(group(music)), QUARTER_120, repetitions=3, gap_bars=gap)
    found = []
    for number in range(3):
        begin = 4 * (gap + number)
        first, last = number == 0, number == 2
        found += [
            (begin + sound.at.quarters, (sound.end.quarters - sound.at.quarters))
            for sound in passage.sounds(Fraction(4 * gap), before=not first, after=not last)
        ]
    assert found == list(zip(starts(line), lengths(line), strict=True))


def test_a_spot_begins_and_ends_at_bar_lines() -> None:
    made = run_part()
    found = spot_passage(make_sheet(made, find_span(made, "33@2"), Choices()), made)
    # from beat 2 up to the landing note on beat 3, in its full bar
    assert [bar.length for bar in found.bars] == [length(4)]
    assert [sound.at.quarters for sound in found.sounds()] == [1 + Fraction(n, 4) for n in range(5)]
    whole = spot_passage(run_sheet(), made)
    assert whole.length == 8
    assert [sound.at.quarters for sound in whole.sounds()][-2:] == [Fraction(15, 4), 4]


def test_the_tempos_of_a_spot_are_told_against_its_first() -> None:
    made = run_part()
    marked = replace(
        made,
        bars=(
            replace(
                made.bars[0],
                tempos=(
                    TempoMark(position(0), NoteValue("quarter"), Fraction(120)),
                    TempoMark(position(3), NoteValue("quarter"), Fraction(90)),
                ),
            ),
            made.bars[1],
        ),
    )
    sheet_of_it = make_sheet(marked, find_span(marked, "33"), Choices())
    passage = spot_passage(sheet_of_it, marked, tempo_map(marked))
    assert passage.speeds == ((Fraction(0), Fraction(1)), (Fraction(3), Fraction(3, 4)))
    clock = passage.clock(Tempo(Fraction(60), length(1)))
    assert clock.at(Fraction(3)) == 3
    assert clock.at(Fraction(4)) == 3 + Fraction(4, 3)
    assert spot_start(sheet_of_it, marked) == 0


def test_a_drill_without_bars_cannot_be_played() -> None:
    with pytest.raises(UsageError, match="has no bars"):
        drill_passage(drill(()))
