"""Hard spots: where they are cut, in which order, and what must not move them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from drills.effort.demand import demand_of
from drills.effort.naming import notes_in
from drills.effort.settings import Judgement, Limits
from drills.effort.suggest import FEWEST_MOVES, MOST_BARS, MOST_NOTES, HardSpot, hard_spots
from drills.music.lines import voice_lines
from drills.music.score import Bar, Part
from drills.places.finding import find_span
from drills.places.tempos import AskedTempo
from tests.effort.test_demand import SAX, music
from tests.music_made import bar_of, notes, part_of

EASY = bar_of(notes("G4 A4 B4 A4", "quarter"))
HARD = bar_of(notes("C#5 D5 C#5 D5 C5 Eb5 C5 Eb5", "16th") + notes("G4 A4", "quarter", Fraction(2)))
REST = bar_of(notes("r", "whole"))
TEMPO = AskedTempo(Fraction(100))


def spots(part: Part, top: int | None = None) -> tuple[HardSpot, ...]:
    return hard_spots(demand_of(part, instrument=SAX, tempo=TEMPO), top)


def test_the_hard_half_bar_is_found_and_cut_at_beats() -> None:
    (first, *_) = spots(part_of([EASY, HARD, EASY]))
    assert first.span.asked == "2@1-2@2#4"
    assert len(first.notes) == 8
    assert len(first.demands) == 8, "seven moves inside and one to the landing note"


def test_nothing_hard_in_a_scale_of_quarters() -> None:
    """A C major scale in quarters at 80 has no hard spot on any of these (common practice)."""
    scale = [bar_of(notes(text, "quarter")) for text in ("C4 D4 E4 F4", "G4 A4 B4 C5")]
    for name in ("oboe", "trumpet", "flute"):
        judged = demand_of(part_of(scale), instrument=name, tempo=AskedTempo(Fraction(80)))
        assert hard_spots(judged) == ()


def test_music_that_comes_again_stands_once() -> None:
    found = spots(part_of([EASY, HARD, EASY, HARD, EASY]))
    first = found[0]
    assert first.span.asked == "2@1-2@2#4"
    assert [span.asked for span in first.again] == ["4@1-4@2#4"]
    assert all(set(other.notes).isdisjoint(first.notes) for other in found[1:])


def test_what_the_player_marks_is_not_proposed_again() -> None:
    part = part_of([EASY, HARD, EASY, HARD, EASY])
    judged = demand_of(part, instrument=SAX, tempo=TEMPO)
    for marked in ("2@2", "4"):
        left = hard_spots(judged, marked=[find_span(part, marked)])
        assert "2@1-2@2#4" not in [spot.span.asked for spot in left]
    assert hard_spots(judged, marked=[find_span(part, "1")])[0].span.asked == "2@1-2@2#4"


def test_a_rest_of_a_beat_cuts() -> None:
    cut = bar_of(
        notes("C#5 D5 C#5 D5", "16th")
        + notes("r", "quarter", Fraction(1))
        + notes("C5 Eb5 C5 Eb5", "16th", Fraction(2))
        + notes("r", "quarter", Fraction(3))
    )
    found = {spot.span.asked for spot in spots(part_of([EASY, cut, EASY]))}
    assert found == {"2@1", "2@3"}


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


def test_a_line_that_is_never_on_the_beat_is_cut_at_bars() -> None:
    """Nothing begins on a beat in five bars: a spot keeps within two bars."""
    off = bar_of(
        [
            *notes("r", "eighth"),
            *notes("C#5 D5 C5", "quarter", Fraction(1, 2)),
            *notes("Eb5", "eighth", Fraction(7, 2)),
        ]
    )
    for spot in spots(part_of([off] * 5)):
        bars = [demand.sound.origin.bar for demand in spot.demands]
        assert bars[-1] - bars[0] <= MOST_BARS


# --- what must always hold --------------------------------------------------------


@given(music())
@settings(max_examples=40, deadline=None)
def test_every_proposal_reads_back_and_is_of_good_size(part: Part) -> None:
    judged = demand_of(part, instrument=SAX, tempo=TEMPO)
    found = hard_spots(judged)
    assert found == hard_spots(judged)
    assert [s.hardness for s in found] == sorted((s.hardness for s in found), reverse=True)
    seen: set[int] = set()
    for spot in found:
        span = find_span(part, spot.span.asked)
        assert notes_in(part, voice_lines(part)["1"], span) == spot.notes
        assert len(spot.notes) <= MOST_NOTES
        assert len(spot.demands) >= FEWEST_MOVES
        assert seen.isdisjoint(spot.notes)
        seen |= set(spot.notes)


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


def told(spot: HardSpot) -> tuple[range, float, int]:
    return spot.notes, spot.hardness, len(spot.again)


def test_a_bar_of_rests_at_either_end_changes_no_spot() -> None:
    plain = spots(part_of([EASY, HARD, EASY]))
    for bars in ([REST, EASY, HARD, EASY], [EASY, HARD, EASY, REST]):
        assert [told(spot) for spot in spots(part_of(bars))] == [told(spot) for spot in plain]


def test_the_easy_limit_is_the_players() -> None:
    part = part_of([EASY, HARD])
    patient = Judgement(limits=Limits(easy=500))
    assert hard_spots(demand_of(part, instrument=SAX, tempo=TEMPO, judgement=patient)) == ()
