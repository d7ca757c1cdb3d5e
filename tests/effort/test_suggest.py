"""Hard spots: where they are cut, in which order, and what must not move them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from drills.effort.demand import demand_of
from drills.effort.naming import notes_in, plain_words
from drills.effort.passages import FEWEST_MOVES, HEART_BARS, HEART_NOTES
from drills.effort.settings import Judgement, Limits
from drills.effort.suggest import HardSpot, hard_spots
from drills.music.lines import voice_lines
from drills.music.pitch import Transposition
from drills.music.score import Bar, Instrument, Part
from drills.places.finding import find_span
from drills.places.tempos import AskedTempo
from tests.effort.test_demand import SAX, music
from tests.music_made import bar_of, notes, part_of

EASY = bar_of(notes("G4 A4 B4 A4", "quarter"))
HARD = bar_of(notes("C#5 D5 C#5 D5 C5 Eb5 C5 Eb5", "16th") + notes("G4 A4", "quarter", Fraction(2)))
RUN = bar_of(notes("C#5 D5 C#5 D5 C5 Eb5 C5 Eb5 C#5 D5 C#5 D5 C5 Eb5 C5 Eb5", "16th"))
REST = bar_of(notes("r", "whole"))
TEMPO = AskedTempo(Fraction(100))


def spots(part: Part, top: int | None = None) -> tuple[HardSpot, ...]:
    return hard_spots(demand_of(part, instrument=SAX, tempo=TEMPO), top)


def test_a_hard_half_bar_is_drawn_to_the_bar_line() -> None:
    (first, *others) = spots(part_of([EASY, HARD, EASY]))
    assert first.span.asked == "2"
    assert others == []
    assert first.heart.asked == "2"
    assert first.demands[-1] is first.demands[len(first.notes) - 1], "the landing note is the last"


def test_a_run_is_one_passage_however_long() -> None:
    """Twenty bars of sixteenths between easy ones: one entry, whose heart can be drilled."""
    onward = bar_of(notes("Eb5 D5 C5 B4", "quarter"))
    (first,) = spots(part_of([EASY, *[RUN] * 20, onward]))
    assert first.span.asked == "2-21"
    assert len(first.notes) == 320
    assert len(first.heart_notes) <= HEART_NOTES
    assert len(first.cores[0].notes) >= 20


def test_an_easy_bar_between_hard_ones_cuts_and_an_easy_beat_does_not() -> None:
    assert [s.span.asked for s in spots(part_of([RUN, EASY, RUN]))] == ["1"]
    half = bar_of(
        notes("C#5 D5 C#5 D5 C5 Eb5 C5 Eb5", "16th")
        + notes("G4 A4", "eighth", Fraction(2))
        + notes("C5 Eb5 C5 Eb5", "16th", Fraction(3))
    )
    assert [s.span.asked for s in spots(part_of([half, half, RUN]))] == ["1-3"]


def test_nothing_hard_in_a_scale_of_quarters() -> None:
    """A C major scale in quarters at 80 has no hard spot on any of these (common practice)."""
    scale = [bar_of(notes(text, "quarter")) for text in ("C4 D4 E4 F4", "G4 A4 B4 C5")]
    for name in ("oboe", "trumpet", "flute"):
        judged = demand_of(part_of(scale), instrument=name, tempo=AskedTempo(Fraction(80)))
        assert hard_spots(judged) == ()


def test_music_that_comes_again_stands_once() -> None:
    found = spots(part_of([EASY, HARD, EASY, HARD, EASY]))
    assert [spot.span.asked for spot in found] == ["2"]
    assert [span.asked for span in found[0].again] == ["4"]
    assert found[0].alike == ()


def test_much_the_same_stands_with_it() -> None:
    """A tone higher in bar 4, and with another end in bar 6: one entry for all three."""
    higher = bar_of(
        notes("D#5 E5 D#5 E5 D5 F5 D5 F5", "16th") + notes("A4 B4", "quarter", Fraction(2))
    )
    other_end = bar_of(
        notes("C#5 D5 C#5 D5 C5 Eb5 C5 Eb5", "16th") + notes("G4 E4", "quarter", Fraction(2))
    )
    found = spots(part_of([EASY, HARD, EASY, higher, EASY, other_end, EASY]))
    assert len(found) == 1
    places = {found[0].span.asked, *(span.asked for span in (*found[0].again, *found[0].alike))}
    assert places == {"2", "4", "6"}


def test_what_the_player_marks_is_not_proposed_again() -> None:
    part = part_of([EASY, HARD, EASY, HARD, EASY])
    judged = demand_of(part, instrument=SAX, tempo=TEMPO)
    for marked in ("2@2", "4"):
        assert hard_spots(judged, marked=[find_span(part, marked)]) == ()
    assert hard_spots(judged, marked=[find_span(part, "1")])[0].span.asked == "2"


def test_a_rest_of_a_beat_cuts() -> None:
    cut = bar_of(
        notes("C#5 D5 C#5 D5", "16th")
        + notes("r", "quarter", Fraction(1))
        + notes("C5 G#4 Bb3 C#4", "16th", Fraction(2))
        + notes("r", "quarter", Fraction(3))
    )
    found = {spot.span.asked for spot in spots(part_of([EASY, cut, EASY]))}
    assert found == {"2@1", "2@3"}


def test_a_long_note_and_a_repeat_cut() -> None:
    long = bar_of(
        [*notes("C#5 D5 C#5 D5 C5 Eb5 C5 Eb5", "16th"), *notes("D5", "half", Fraction(2))]
    )
    found = spots(part_of([long, RUN, EASY]))
    assert {spot.span.asked for spot in found} == {"1", "2"}
    ending = replace(RUN, ends_repeat=2)
    other = bar_of(notes("D6 G5 E6 A5 D6 Bb5 F6 C6 " * 2, "16th"))
    found = spots(part_of([ending, other, EASY]))
    assert {spot.span.asked for spot in found} == {"1", "2"}


def test_an_empty_part_has_none() -> None:
    assert spots(part_of([REST])) == ()
    assert spots(part_of([])) == ()


def test_the_list_may_be_cut_short() -> None:
    part = part_of([EASY, HARD, EASY, bar_of(notes("Bb3 C#4 B3 C#4 Bb3 B3 C#4 C4", "eighth"))])
    assert spots(part, 1) == spots(part)[:1]


def test_bars_without_numbers_are_left_out() -> None:
    part = part_of([EASY, HARD])
    nameless = replace(part, bars=tuple(replace(bar, number="") for bar in part.bars))
    assert spots(nameless) == ()


# --- length and rate --------------------------------------------------------------


def test_a_fast_scale_of_a_beat_does_not_outrank_a_page_of_arpeggios() -> None:
    """Eight thirty-seconds up to a half note, and sixteen bars of broken chords in sixteenths
    on the same saxophone at quarter = 112 (common practice: the page is the harder)."""
    scale = bar_of(
        [
            *notes("r", "quarter"),
            *notes("G4 A4 B4 C5 D5 E5 F#5 G5", "32nd", Fraction(1)),
            *notes("A5", "half", Fraction(2)),
        ]
    )
    chords = bar_of(notes("C4 E4 G4 C5 E5 C5 G4 E4 D4 F4 A4 D5 F5 D5 A4 F4", "16th"))
    part = part_of([EASY, scale, EASY, *[chords] * 16, EASY])
    judged = demand_of(part, instrument=SAX, tempo=AskedTempo(Fraction(112)))
    assert [spot.span.asked for spot in hard_spots(judged)][:2] == ["4-19", "2"]


def test_hardness_grows_with_length_less_than_in_proportion() -> None:
    """By the law of passages.py eight times the length is twice as hard."""
    one, eight = (spots(part_of([EASY, *[RUN] * n, EASY]))[0].hardness for n in (2, 16))
    assert 1.9 < eight / one < 2.1


# --- what must always hold --------------------------------------------------------


@given(music())
@settings(max_examples=40, deadline=None)
def test_every_proposal_reads_back_and_no_two_share_a_note(part: Part) -> None:
    judged = demand_of(part, instrument=SAX, tempo=TEMPO)
    found = hard_spots(judged)
    assert found == hard_spots(judged)
    assert [s.hardness for s in found] == sorted((s.hardness for s in found), reverse=True)
    seen: set[int] = set()
    for spot in found:
        span = find_span(part, spot.span.asked)
        assert notes_in(part, voice_lines(part)["1"], span) == spot.notes
        assert len(spot.demands) >= FEWEST_MOVES
        assert set(spot.heart_notes) <= set(spot.notes)
        bars = [judged.demands[index].sound.origin.bar for index in spot.heart_notes]
        assert bars[-1] - bars[0] < HEART_BARS
        for notes_of_one in (spot.notes, *spot.elsewhere):
            assert seen.isdisjoint(notes_of_one)
            seen |= set(notes_of_one)


@given(music())
@settings(max_examples=40, deadline=None)
def test_no_name_has_a_fraction(part: Part) -> None:
    for spot in spots(part):
        for span in (spot.span, spot.heart, *spot.again, *spot.alike):
            for name in (span.asked, span.words, plain_words(part, span)):
                assert "." not in name
                assert "/" not in name


@given(music(), st.integers(0, 4))
@settings(max_examples=40, deadline=None)
def test_a_bar_of_rests_changes_no_spot(part: Part, at: int) -> None:
    """Where a run ends at the bar line anyway, a bar of rests more moves nothing."""
    bars = list(part.bars)
    at = min(at, len(bars))
    joined = part_of([*map(unnumbered, bars[:at]), FENCE, *map(unnumbered, bars[at:])])
    rested = part_of([*map(unnumbered, bars[:at]), FENCE, REST, *map(unnumbered, bars[at:])])
    assert [told(spot) for spot in spots(joined)] == [told(spot) for spot in spots(rested)]


FENCE = bar_of([*notes("G4 G4", "quarter"), *notes("r", "half", Fraction(2))])


def unnumbered(bar: Bar) -> Bar:
    return replace(bar, number="")


def told(spot: HardSpot) -> tuple[range, float, range, int, object]:
    return spot.notes, spot.hardness, spot.heart_notes, len(spot.elsewhere), spot.easy


def test_a_bar_of_rests_at_either_end_changes_no_spot() -> None:
    plain = spots(part_of([EASY, HARD, EASY]))
    rested = spots(part_of([EASY, HARD, EASY, REST]))
    assert [told(spot) for spot in rested] == [told(spot) for spot in plain]
    before = spots(part_of([REST, EASY, HARD, EASY]))
    assert [told(spot) for spot in before] == [told(spot) for spot in plain]


@given(music())
@settings(max_examples=20, deadline=None)
def test_part_and_instrument_moved_together_change_nothing(part: Part) -> None:
    """The same written part for a soprano, an alto and a tenor saxophone sounds a ninth apart;
    what the score says of the instrument's transposition moves with it."""
    found = []
    for name, moved in (("Soprano", (-1, -2)), ("Alto", (-5, -9)), ("Tenor", (-8, -14))):
        player = Instrument(f"{name} saxophone", "woodwind", Transposition(*moved), known=True)
        bars = tuple(replace(bar, instrument=player) for bar in part.bars)
        judged = demand_of(replace(part, bars=bars, instrument=player), tempo=TEMPO)
        found.append([told(spot) for spot in hard_spots(judged)])
    assert found[0] == found[1] == found[2]


def test_the_easy_limit_is_the_players() -> None:
    part = part_of([EASY, HARD])
    patient = Judgement(limits=Limits(easy=500))
    assert hard_spots(demand_of(part, instrument=SAX, tempo=TEMPO, judgement=patient)) == ()
