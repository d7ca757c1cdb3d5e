"""What a practice file is made of: stages, cues, voices, lengths, and what is refused."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drills.errors import UsageError
from drills.sheets.choices import Choices
from drills.sheets.clicks.laying import Accent
from drills.sheets.clicks.reading import read_pattern
from drills.sound.groove import Swing
from drills.sound.practice.choices import WHOLE_SHEET, Material, PracticeChoices
from drills.sound.practice.climb import Climb, Steps
from drills.sound.practice.practice import Practice, make_practice
from tests.sound.practice.music import SCALE, part_of, practice_of, source_of, strikes, tones

F = Fraction
PART = part_of(("4/4", f"{SCALE} | C5/1"), tempos={(0, F(0)): 120})


def cues(practice: Practice) -> list[tuple[float, str]]:
    return [(float(cue.at), cue.text) for cue in practice.cues]


def test_cues_say_what_starts_when() -> None:
    """Two bars and a count-in at 60, a bar of rest, the same at 120: 12 + 4 + 6 seconds."""
    climb = Climb(rungs=2, repetitions=1)
    plain = practice_of(PART, "1", PracticeChoices(climb=climb))
    assert cues(plain) == [
        (0.0, "quarter = 60, clicks on every beat"),
        (16.0, "quarter = 120, clicks on every beat"),
    ]
    assert plain.duration == 16 + 6
    assert (plain.title, plain.part) == ("Harbour March", "Clarinet 2")
    assert plain.words == "Bar 1 to beat 1 of bar 2"
    less = PracticeChoices(
        patterns=(read_pattern("2,4"), read_pattern("4")), climb=climb, voices=("click",)
    )
    assert [text for _, text in cues(practice_of(PART, "1", less))] == [
        "quarter = 60, clicks on beats 2 and 4 only: 30",
        "quarter = 120, clicks on beat 4 only: 30",
    ]
    silent = PracticeChoices(patterns=(read_pattern("none"),), climb=climb)
    assert "no clicks" in cues(practice_of(PART, "1", silent))[0][1]
    alone = PracticeChoices(voices=("line",), climb=climb)
    assert cues(practice_of(PART, "1", alone))[0][1] == "quarter = 60"


def test_cues_have_the_numbers_of_the_printed_ladder() -> None:
    source = source_of(PART, "1")
    ladder = source.sheet.ladder
    choices = PracticeChoices(patterns=(read_pattern("every 3 sixteenths"),))
    found = [cue.text for cue in make_practice(source, choices).cues]
    printed = {click.words: click.numbers for click in ladder.clicks}["every three sixteenths"]
    assert found == [
        f"quarter = {rung}, clicks every three sixteenths: {round(number)}"
        for rung, number in zip(ladder.rungs, printed, strict=True)
    ]


@pytest.mark.parametrize(
    ("time", "tempo", "counted", "clicks", "per_bar"),
    [
        ("4/4", 60, "eighth = 60", "in eighths", 8),  # 30 quarters are below a metronome's 40
        ("4/4", 120, "quarter = 60", "on every beat", 4),
        ("4/4", 300, "half = 76", "in halves", 2),  # 300 quarters are above its 208
        ("6/8", 90, "eighth = 92", "in eighths", 6),  # 60 dotted quarters, half of that 30
    ],
)
def test_unless_said_otherwise_it_clicks_what_the_ladder_counts(
    time: str, tempo: int, counted: str, clicks: str, per_bar: int
) -> None:
    """As a plain metronome would that is set by the printed ladder; the count-in too."""
    part = part_of((time, "C5/8 D5/8 E5/8 F5/8 G5/8 A5/8"), tempos={(0, F(0)): tempo})
    climb = Climb(repetitions=1, rung_rest=0)
    practice = practice_of(part, "1", PracticeChoices(climb=climb))
    assert practice.cues[0].text == f"{counted}, clicks {clicks}"
    rung = practice.stages[1].start.quarters
    found = [click.quarters for click in strikes(practice) if click.quarters < rung]
    assert len(found) == 2 * per_bar
    bar = rung / 2
    assert found == [bar * n / per_bar for n in range(2 * per_bar)]


def test_help_gets_less_rung_by_rung() -> None:
    choices = PracticeChoices(patterns=(read_pattern("fading"),), climb=Climb(rungs=5))
    practice = practice_of(PART, "1", choices)
    assert [text.split(", clicks ")[1] for _, text in cues(practice)] == [
        *("in sixteenths: 240", "in eighths: 144", "on every beat"),
        *("on the first beat of every bar: \N{EN DASH}", "on the first beat of every bar: 30"),
    ]


def test_what_stands_under_one_heading_climbs_together() -> None:
    """All cells of a size on a rung, then on the next; each line, and the spot, by itself."""
    source = source_of(PART, "1", Choices(sizes=(2,), rhythms=("even", "dotted")))
    practice = make_practice(
        source, PracticeChoices(WHOLE_SHEET, climb=Climb(rungs=2, repetitions=1))
    )
    cells, *lines, _ = source.sheet.blocks
    assert len(cells.drills) > 10
    rungs = ("quarter = 60", "quarter = 120")
    assert [text.rpartition(", clicks")[0] for _, text in cues(practice)] == [
        *(f"{cells.title}, {one.label}: {rung}" for rung in rungs for one in cells.drills),
        *(f"{one.title}: {rung}" for one in lines for rung in rungs),
    ]
    both = make_practice(source, PracticeChoices((Material.SPOT, Material.LINES)))
    assert cues(both)[0][1].startswith("The spot as it stands: quarter = 60")
    assert cues(both)[8][1].startswith("The whole line, even: quarter = 60")


def test_a_count_in_sets_tempo_and_bar_and_a_bell_tells_the_rung() -> None:
    silent = read_pattern("none")
    climb = Climb(rungs=2, repetitions=1, count_in=2, rung_rest=0)
    practice = practice_of(
        PART, "1", PracticeChoices(patterns=(silent,), accent=Accent.NONE, climb=climb)
    )
    at = [click.at for click in strikes(practice)]
    assert at == [*map(F, range(8)), *(16 + F(n, 2) for n in range(8))]
    sounds = [click.sound for click in strikes(practice)]
    assert sounds == ["high-wood-block", *["low-wood-block"] * 3] * 4
    assert [bell.at for bell in strikes(practice, "signal")] == [0, 16]
    quiet = PracticeChoices(climb=Climb(signal=False, count_in=0))
    assert not strikes(practice_of(PART, "1", quiet), "signal")


def test_the_click_goes_on_through_the_rest_after_every_time_through() -> None:
    climb = Climb(rungs=1, repetitions=2, rest=1, count_in=0)
    practice = practice_of(PART, "1", PracticeChoices(voices=("click", "line"), climb=climb))
    assert [click.quarters for click in strikes(practice)] == list(range(8 + 4 + 8 + 4))
    starts = [tone.quarters for tone in tones(practice)]
    assert starts == [n + F(k, 4) for n in (0, 12) for k in range(17)]


def test_bars_on_and_off_run_through_the_repetitions() -> None:
    climb = Climb(rungs=1, repetitions=4, count_in=0, signal=False)
    one_bar = part_of(("4/4", "C5/4 D5/4 E5/4 F5/4"))
    choices = PracticeChoices(patterns=(read_pattern("2 with 2 without"),), climb=climb)
    assert [c.quarters for c in strikes(practice_of(one_bar, "1", choices))] == list(range(8))


@pytest.mark.parametrize("octave", [-2, -1, 1])
def test_the_line_an_octave_away(octave: int) -> None:
    choices = PracticeChoices(
        voices=("line", "octave"), octave=octave, climb=Climb(rungs=1, repetitions=1)
    )
    practice = practice_of(PART, "1", choices)
    line, away = tones(practice), tones(practice, "octave")
    assert [tone.key + 12 * octave for tone in line] == [tone.key for tone in away]
    assert [tone.at for tone in line] == [tone.at for tone in away]


def test_the_line_swings_if_asked() -> None:
    """At 2:1 an offbeat eighth is two thirds into its quarter; sixteenths stay."""
    part = part_of(("4/4", "C5/8 D5/8 'B4/16' E5/4 F5/16 G5/16 A5/16 B5/16 C6/8 D6/8"))
    climb = Climb(rungs=1, repetitions=1, count_in=0)
    choices = PracticeChoices(voices=("line",), swing_line=True, swing=Swing(F(2)), climb=climb)
    found = tones(practice_of(part, "1", choices))
    assert [tone.quarters for tone in found] == [
        0, F(2, 3), F(7, 8), 1, *(2 + F(n, 4) for n in range(4)), 3, F(11, 3)
    ]  # fmt: skip
    assert found[0].end_quarters == F(2, 3)


# --- lengths -----------------------------------------------------------------------


@pytest.mark.parametrize("minutes", [2, 5, 12, 60])
@pytest.mark.parametrize("rest", [0, 1])
def test_a_total_length_is_kept(minutes: int, rest: int) -> None:
    climb = Climb(total=F(60 * minutes), rest=rest)
    practice = practice_of(PART, "1", PracticeChoices(climb=climb))
    assert practice.duration <= 60 * minutes
    # once more at the fastest rung is 2 bars (and a bar of rest) at 120
    assert practice.duration > 60 * minutes - (2 + rest) * 4
    assert len(practice.cues) == 8
    assert max(map(float, (event.at for event in practice.events()))) < practice.duration


def test_rungs_are_left_out_before_a_length_is_refused() -> None:
    """Eight rungs once through take longer than a minute; fewer do not."""
    practice = practice_of(PART, "1", PracticeChoices(climb=Climb(total=F(60))))
    assert 2 <= len(practice.cues) < 8
    assert F(40) < practice.duration <= 60
    assert [cue.text.split(",")[0] for cue in practice.cues][-1] == "quarter = 120"
    with pytest.raises(UsageError, match="10 seconds is too short: once through on 2 rungs takes "):
        practice_of(PART, "1", PracticeChoices(climb=Climb(total=F(10))))
    with pytest.raises(UsageError, match="1 minute is too short: once through on 2 rungs takes "):
        practice_of(PART, "1", PracticeChoices((Material.CELLS,), climb=Climb(total=F(60))))
    with pytest.raises(UsageError, match="5 seconds is too short: once through on 1 rung takes "):
        practice_of(PART, "1", PracticeChoices(climb=Climb(rungs=1, total=F(5))))


@settings(max_examples=30, deadline=None)
@given(
    total=st.integers(30, 1500),
    up=st.sampled_from((0, 3)),
    steps=st.sampled_from(Steps),
    count_in=st.integers(0, 2),
)
def test_never_longer_than_asked(total: int, up: int, steps: Steps, count_in: int) -> None:
    climb = Climb(total=F(total), up=up, steps=steps, count_in=count_in)
    practice = practice_of(PART, "1", PracticeChoices(climb=climb))
    assert practice.duration <= total
    slowest = max(stage.again.seconds for stage in practice.stages)
    if len(practice.cues) > 4:
        assert practice.duration > total - 3 * slowest


def test_an_hour_is_made_a_time_through_at_a_time() -> None:
    """Of an hour only what is asked for is worked out; all of it is in order."""
    climb = Climb(total=F(3600), rungs=2)
    practice = practice_of(PART, "1", PracticeChoices(voices=("click", "line"), climb=climb))
    events = practice.events()
    first = [next(events) for _ in range(10)]
    assert first[0].at == 0
    assert practice.duration > 3580
    assert len(practice.tempos) == len(practice.cues) == 2
    count, before = len(first), first[-1].at
    for event in events:
        assert before <= event.at
        before, count = event.at, count + 1
    times = sum(stage.repetitions for stage in practice.stages)
    assert times > 590
    # 8 clicks and 17 notes each time, two bells, two count-ins of four
    assert count == 25 * times + 2 * (1 + 4)


# --- refused -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: PracticeChoices(voices=("click", "oboe")), "no voice 'oboe'; choose of click"),
        (lambda: PracticeChoices(click_sound="gong"), "no sound 'gong'; choose of"),
        (lambda: PracticeChoices(a4=F(414)), "414 Hz is out of bounds; choose 415 to 466"),
        (lambda: PracticeChoices(a4=F(467)), "467 Hz is out of bounds"),
        (lambda: PracticeChoices(octave=0), "choose -3 to 3 and not 0"),
        (lambda: PracticeChoices(octave=4), "4 octaves away"),
        (lambda: PracticeChoices(material=()), "nothing is to be played"),
        (lambda: PracticeChoices(groove="polka-of-mars"), "no groove 'polka-of-mars'"),
    ],
)
def test_choices_that_make_no_sense(make: Callable[[], object], message: str) -> None:
    with pytest.raises(UsageError, match=message):
        make()


@pytest.mark.parametrize(
    ("choices", "message"),
    [
        (PracticeChoices((Material.CHORDS,)), "the sheet has no chords to play"),
        (PracticeChoices(voices=("section",)), "needs a full score"),
        (PracticeChoices(voices=("bass",)), "no harmony is known for the voice 'bass'"),
        (PracticeChoices(voices=("chord",)), "no harmony is known for the voice 'chord'"),
        (PracticeChoices(patterns=(read_pattern("5"),)), "beat 5 does not exist"),
        (
            PracticeChoices(
                patterns=(read_pattern("every 3 sixteenths"),), climb=Climb(repetitions=1)
            ),
            "within 2 bars, only after 3",
        ),
        (PracticeChoices(climb=Climb(repetitions=1000)), "this would last .* minutes"),
        (PracticeChoices(climb=Climb(start=F(130))), "below the performing tempo"),
    ],
)
def test_what_cannot_be_practised_here(choices: PracticeChoices, message: str) -> None:
    with pytest.raises(UsageError, match=message) as caught:
        practice_of(PART, "1", choices)
    assert "\n" not in str(caught.value)


# --- drills whose bars are not those of the music ------------------------------------------


def test_a_click_that_a_drill_has_no_beat_for_gives_way() -> None:
    """The spot is in 4/4, its cells of two notes in 1/4."""
    once = Climb(rungs=1, repetitions=1, count_in=0)
    choices = PracticeChoices(WHOLE_SHEET, patterns=(read_pattern("4"),), climb=once)
    practice = practice_of(PART, "1", choices, Choices(sizes=(2,), rhythms=("even",)))
    said = {text.partition(": ")[0]: text for _, text in cues(practice)}
    assert said["Two notes at a time, 1-2"].endswith("quarter = 120, clicks on every beat")
    assert said["The whole line, even"].endswith("clicks on beat 4 only: 30")
    assert practice.remarks == (
        "beat 4 does not exist: a bar of 1/4 has 1 beat; such drills have the plain click",
    )
    first = practice.stages[0]
    assert [c.quarters for c in strikes(practice) if c.quarters < 1] == [0]
    assert first.bars[0].time.beats == 1


def test_a_groove_that_a_drill_has_no_bars_for_gives_way() -> None:
    """A waltz for a spot in 3/4; its cells of two notes in 2/4 are clicked."""
    part = part_of(("3/4", "C5/8 D5/8 E5/8 F5/8 G5/8 A5/8 | C5/4 'E5/2'"))
    once = Climb(rungs=1, repetitions=1, count_in=0)
    choices = PracticeChoices(
        WHOLE_SHEET, patterns=(read_pattern("none"),), groove="waltz", climb=once
    )
    practice = practice_of(part, "1", choices, Choices(sizes=(2,), rhythms=("even",)))
    assert "the groove waltz (waltz) has no bars in 2/4; such drills have the plain click" in (
        practice.remarks
    )
    for stage in practice.stages:
        waltz = stage.bars[0].time.beats == 3
        low, high = stage.start.seconds, (stage.start + stage.length).seconds
        assert waltz == any(low <= e.at < high for e in strikes(practice, "groove"))
        assert waltz != any(low <= e.at < high for e in strikes(practice))
    assert {stage.bars[0].time.beats for stage in practice.stages} == {2, 3}


@pytest.mark.parametrize(
    ("choices", "message"),
    [
        (PracticeChoices(WHOLE_SHEET, patterns=(read_pattern("5"),)), "beat 5 does not exist"),
        (PracticeChoices(WHOLE_SHEET, groove="waltz"), "waltz.* has no bars in"),
    ],
)
def test_what_does_not_fit_the_music_is_refused_for_its_drills_too(
    choices: PracticeChoices, message: str
) -> None:
    with pytest.raises(UsageError, match=message):
        practice_of(PART, "1", choices)


def test_a_long_sitting_is_told() -> None:
    """45 drills on eight rungs; a length that the player asked for is their own."""
    (remark,) = practice_of(PART, "1", PracticeChoices(WHOLE_SHEET)).remarks
    assert remark.startswith("this lasts ")
    assert "rest in between" in remark
    asked = PracticeChoices(WHOLE_SHEET, climb=Climb(total=F(40 * 60)))
    assert not practice_of(PART, "1", asked).remarks
    assert not practice_of(PART, "1", PracticeChoices()).remarks


def test_the_bell_tells_a_new_tempo_only() -> None:
    once = Climb(rungs=2, repetitions=1)
    practice = practice_of(
        PART, "1", PracticeChoices((Material.CELLS,), climb=once), Choices(sizes=(2,))
    )
    bells = [strike.at for strike in strikes(practice, "signal")]
    tempos = [step.at for step in practice.tempos]
    assert bells == tempos
    assert len(bells) == 2


def test_from_click_to_drums_and_back_in_one_file() -> None:
    """Three patterns at one tempo; the groove sounds under its own alone."""
    patterns = tuple(read_pattern(text) for text in ("beats", "drums", "2"))
    climb = Climb(rungs=1, repetitions=1, count_in=0, rung_rest=0, signal=False)
    one_bar = part_of(("4/4", "C5/4 D5/4 E5/4 F5/4"))
    choices = PracticeChoices(patterns=patterns, groove="straight", climb=climb)
    practice = practice_of(one_bar, "1", choices)
    assert [click.quarters for click in strikes(practice)] == [0, 1, 2, 3, 9]
    drums = [one.quarters for one in practice.events() if one.voice == "groove"]
    assert min(drums) == 4
    assert max(drums) < 8


def test_drums_need_a_groove() -> None:
    with pytest.raises(UsageError, match="needs a groove"):
        PracticeChoices(patterns=(read_pattern("drums"),))


def test_a_steady_swing_is_the_same_on_every_rung() -> None:
    """At 160 the measured ratio of the drums is 2.96, of which a line takes 2.5."""
    part = part_of(("4/4", "C5/8 D5/8 E5/8 F5/8 G5/4 A5/4"))
    choices = PracticeChoices(
        voices=("line",), swing_line=True, climb=Climb(rungs=3, repetitions=1, count_in=0)
    )
    practice = practice_of(part, "1", choices)
    assert practice.choices.swing.ratio is not None
    assert practice.choices.swing.ratio <= F(5, 2)
    assert any("the line swings" in remark for remark in practice.remarks)
