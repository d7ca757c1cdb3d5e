"""What every note of a part asks for: single terms by hand, and what must always hold."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drills.effort.demand import Demand, VoiceDemand, demand_of
from drills.effort.settings import TERMS, USUAL, Judgement, Limits
from drills.music.notes import Articulation, Event, Note
from drills.music.pitch import KeySignature, Pitch, Transposition
from drills.music.score import Bar, Instrument, Part, TempoMark
from drills.music.time import NoteValue, position
from drills.places.tempos import AskedTempo
from tests.music_made import bar_of, notes, part_of

QUARTER = NoteValue("quarter")
SAX = "alto saxophone"
AT_60 = AskedTempo(Fraction(60))


def judged(*bars: Bar, instrument: str = SAX, tempo: AskedTempo = AT_60) -> VoiceDemand:
    return demand_of(part_of(bars), instrument=instrument, tempo=tempo)


def amounts(demand: Demand) -> dict[str, float]:
    return dict(zip(TERMS, demand.amounts, strict=True))


def slurred(events: list[Event]) -> list[Event]:
    """One slur over all notes."""
    first, last = events[0], events[-1]
    assert isinstance(first, Note)
    assert isinstance(last, Note)
    return [replace(first, slur_starts=(1,)), *events[1:-1], replace(last, slur_stops=(1,))]


def test_a_move_has_the_time_from_attack_to_attack() -> None:
    """At quarter = 60 an eighth has half a second, so a cost of 1 is 2 a second."""
    found = judged(bar_of(notes("G4 A4", "eighth") + notes("r", "quarter", Fraction(1)))).demands
    assert found[0].move is None
    assert found[0].effort == 0
    assert found[1].seconds == 0.5
    assert found[1].move is not None
    assert amounts(found[1])["move"] == pytest.approx(found[1].move.cost / 0.5)


def test_leaps_beyond_a_fourth() -> None:
    """C4-F4 is a fourth; C4-C5 is 7 semitones beyond it, in one second 7/12 octave."""
    fourth, octave = (judged(bar_of(notes(text, "quarter"))) for text in ("C4 F4", "C4 C5"))
    assert amounts(fourth.demands[1])["leap"] == 0
    assert amounts(octave.demands[1])["leap"] == pytest.approx(7 / 12)


@pytest.mark.parametrize(
    ("quarters", "wanted"),
    [(60, 0.0), (120, 1.0), (180, 2.0)],
    ids=["half the limit", "the limit", "beyond"],
)
def test_tongued_sixteenths_against_a_limit_of_8(quarters: int, wanted: float) -> None:
    bar = bar_of(notes("G4 " * 16, "16th"))
    found = judged(bar, tempo=AskedTempo(Fraction(quarters)))
    assert amounts(found.demands[5])["tonguing"] == pytest.approx(wanted)


def test_what_is_tongued() -> None:
    under = judged(bar_of(slurred(notes("G4 A4 B4 B4", "quarter"))))
    assert [demand.tongued for demand in under.demands] == [True, False, False, True]
    dots = [
        replace(event, articulations=(Articulation.STACCATO,))
        for event in slurred(notes("G4 A4 B4 C5", "quarter"))
        if isinstance(event, Note)
    ]
    assert all(demand.tongued for demand in judged(bar_of(dots)).demands)
    strings = judged(bar_of(notes("G4 A4 B4 B4", "quarter")), instrument="violin")
    assert not any(demand.tongued for demand in strings.demands)


def test_syncopation_counts_levels_at_the_speed_of_the_beat() -> None:
    """A quarter on the second eighth of 4/4 passes beat 2: one level, at 120 two beats a second."""
    bar = bar_of(
        [
            *notes("G4", "eighth"),
            *notes("A4", "quarter", Fraction(1, 2)),
            *notes("r", "eighth", Fraction(3, 2)),
            *notes("r", "half", Fraction(2)),
        ]
    )
    found = judged(bar, tempo=AskedTempo(Fraction(120)))
    assert [amounts(demand)["syncopation"] for demand in found.demands] == [0, 2.0]


def test_signs_outside_the_key() -> None:
    """In D major F natural is one semitone outside, F sharp none, B double flat two."""
    bar = bar_of(notes("A4 F#4 F4 Bbb4", "quarter"), key=KeySignature(2))
    found = judged(bar).demands
    assert [amounts(demand)["accidental"] for demand in found] == [0, 0, 1, 2]


def test_the_ends_of_the_range() -> None:
    """The saxophone's table goes from Bb3; Bb3 is at the end, Eb4 a fourth from it."""
    found = judged(bar_of(notes("Bb3 Eb4 G4 A3", "quarter")))
    edges = [amounts(demand)["range"] for demand in found.demands]
    assert edges[:3] == [1, 0, 0]
    assert edges[3] > 1
    assert any("A3 lies outside the usual range" in remark for remark in found.remarks)


def test_no_place_to_breathe() -> None:
    """One breath carries 16 beats; after 32 nothing is added; a rest begins anew."""
    scale = notes("G4 A4 B4 C5", "quarter")
    long = judged(*[bar_of(scale)] * 9, tempo=AskedTempo(Fraction(120)))
    breaths = [amounts(demand)["breath"] for demand in long.demands]
    assert breaths[16] == 0
    assert breaths[24] == 0.5
    assert breaths[32:] == [1.0] * 4
    rest = bar_of([*notes("G4 A4 B4", "quarter"), *notes("r", "quarter", Fraction(3))])
    broken = judged(
        *[bar_of(scale)] * 3, rest, *[bar_of(scale)] * 4, tempo=AskedTempo(Fraction(120))
    )
    assert all(amounts(demand)["breath"] == 0 for demand in broken.demands)


def test_the_tempo_in_force_at_each_note() -> None:
    slow = TempoMark(position(0), QUARTER, Fraction(60))
    fast = TempoMark(position(2), QUARTER, Fraction(120))
    bar = bar_of(notes("G4 A4 B4 C5", "quarter"), tempos=(slow, fast))
    found = demand_of(part_of([bar]), instrument=SAX).demands
    assert [demand.seconds for demand in found] == [0, 1, 1, 0.5]


def test_a_weight_changes_its_term_alone() -> None:
    part = part_of([bar_of(notes("C4 C5 C4 C5", "16th"))])
    usual = demand_of(part, instrument=SAX)
    without = demand_of(part, instrument=SAX, judgement=Judgement({**USUAL.weights, "leap": 0}))
    for one, other in zip(usual.demands, without.demands, strict=True):
        assert one.amounts == other.amounts
        assert one.effort - other.effort == pytest.approx(usual.shares(one).get("leap", 0.0))


# --- what must always hold --------------------------------------------------------

PITCHES = st.sampled_from(
    [
        *("Bb3", "C#4", "D4", "E4", "F#4", "G4", "Ab4", "Bb4", "B4"),
        *("C5", "C#5", "D5", "Eb5", "G5", "A5", "C6", "D6", "F6"),
    ]
)
KINDS = st.sampled_from(["quarter", "eighth", "16th"])


@st.composite
def music(draw: st.DrawFn) -> Part:
    """Two to four bars of random notes and rests of an alto saxophone, some slurred."""
    bars = []
    for _ in range(draw(st.integers(2, 4))):
        kind = draw(KINDS)
        count = {"quarter": 4, "eighth": 8, "16th": 16}[kind]
        words = draw(st.lists(PITCHES | st.just("r"), min_size=count, max_size=count))
        bars.append(bar_of(notes(" ".join(words), kind)))
    return part_of(bars)


@given(music(), st.integers(40, 200), st.sampled_from([SAX, "clarinet", "trombone", "violin", ""]))
@settings(max_examples=60, deadline=None)
def test_doubling_the_tempo_never_lowers_an_effort(part: Part, tempo: int, name: str) -> None:
    slow, fast = (
        demand_of(part, instrument=name, tempo=AskedTempo(Fraction(number))).demands
        for number in (tempo, 2 * tempo)
    )
    for one, other in zip(slow, fast, strict=True):
        assert all(a <= b for a, b in zip(one.amounts, other.amounts, strict=True))
        assert one.effort <= other.effort


@given(music())
@settings(max_examples=30, deadline=None)
def test_the_same_fingering_on_another_instrument_of_the_family(part: Part) -> None:
    """Written alike, a part asks the same of alto, tenor and soprano saxophone."""
    alto, tenor, soprano = (
        demand_of(part, instrument=name, tempo=AT_60).demands
        for name in ("alto saxophone", "tenor saxophone", "soprano saxophone")
    )
    assert [d.effort for d in alto] == [d.effort for d in tenor] == [d.effort for d in soprano]


def test_a_euphonium_part_in_either_notation() -> None:
    """Sounding B flat major in bass clef, and the same in treble clef a ninth higher."""
    bass = bar_of(notes("Bb2 C3 D3 F3", "eighth"), key=KeySignature(-2))
    treble = bar_of(notes("C4 D4 E4 G4", "eighth"), key=KeySignature(0))
    moved = Transposition(-8, -14)
    low, high = (
        part_of([replace(bar, instrument=Instrument(name, "brass", how, known=True))])
        for bar, name, how in (
            (bass, "Euphonium", Transposition()),
            (treble, "Euphonium in treble clef", moved),
        )
    )
    one, other = (demand_of(part, tempo=AT_60).demands for part in (low, high))
    assert [d.effort for d in one] == [d.effort for d in other]
    assert one[1].move is not None
    assert one[1].move.fingerings[0] is not None


def test_an_empty_part_asks_nothing() -> None:
    assert demand_of(part_of([bar_of([])])).demands == ()


def test_limits_are_the_players() -> None:
    part = part_of([bar_of(notes("G4 " * 16, "16th"))])
    quick = Judgement(limits=Limits(tonguing=20))
    found = demand_of(part, instrument=SAX, tempo=AskedTempo(Fraction(120)), judgement=quick)
    assert found.demands[3].effort == 0


def test_all_tones_are_pitches_or_drums() -> None:
    """A part of an instrument that is not known is judged, and says so."""
    found = demand_of(part_of([bar_of(notes("G4 A4", "half"))]), instrument="harbour horn 3000x")
    assert found.demands[1].effort > 0
    assert found.remarks
    assert Pitch.parse("G4") in found.demands[0].sound.notes[0].tones
