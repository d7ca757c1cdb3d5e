"""Beatless offsets against published tables of intervals."""

from __future__ import annotations

from fractions import Fraction

import pytest

from drills.harmony.chord import NO_CHORD
from drills.harmony.kinds import KINDS, tone_of
from drills.harmony.symbols import parse_chord
from drills.harmony.tones import belongs
from drills.harmony.tuning import BY_SEMITONES, RATIOS, cents, interval_cents, offset_text, ratio_of
from drills.music.pitch import STEPS, Pitch

TABLE = {
    # The intervals of just intonation to three decimals as handbooks give them
    # (such as Ellis's appendix to Helmholtz, On the Sensations of Tone); from memory.
    "3/2": 701.955,
    "4/3": 498.045,
    "5/4": 386.314,
    "6/5": 315.641,
    "5/3": 884.359,
    "8/5": 813.686,
    "7/4": 968.826,
    "9/8": 203.910,
    "10/9": 182.404,
    "16/15": 111.731,
    "15/8": 1088.269,
    "9/5": 1017.596,
    "16/9": 996.090,
    "25/24": 70.672,
    "45/32": 590.224,
    "64/45": 609.776,
    "25/16": 772.627,
    "81/80": 21.506,
    "2": 1200.000,
}


@pytest.mark.parametrize(("ratio", "size"), TABLE.items())
def test_sizes_of_intervals(ratio: str, size: float) -> None:
    assert interval_cents(Fraction(ratio)) == pytest.approx(size, abs=0.0005)


TWO_DECIMALS = {
    # Wikipedia, "List of intervals in 5-limit just intonation", as read there.
    "81/80": 21.51,
    "128/125": 41.06,
    "25/24": 70.67,
    "135/128": 92.18,
    "16/15": 111.73,
    "27/25": 133.24,
    "10/9": 182.40,
    "9/8": 203.91,
    "256/225": 223.46,
    "125/108": 253.08,
    "75/64": 274.58,
}


@pytest.mark.parametrize(("ratio", "size"), TWO_DECIMALS.items())
def test_sizes_as_published(ratio: str, size: float) -> None:
    assert interval_cents(Fraction(ratio)) == pytest.approx(size, abs=0.005)


def test_an_interval_down_is_negative() -> None:
    assert interval_cents(Fraction(2, 3)) == pytest.approx(-interval_cents(Fraction(3, 2)))


@pytest.mark.parametrize("ratio", [0, -1])
def test_what_is_no_ratio(ratio: int) -> None:
    with pytest.raises(ValueError, match="is not an interval"):
        interval_cents(Fraction(ratio))


MALCOLM = {
    # Alexander Malcolm's monochord (1721), ratios and whole cents as the package hmt 0.20
    # (hackage.haskell.org, Music.Theory.Tuning.Db.Microtonal_Synthesis) gives them.
    "1": 0,
    "16/15": 112,
    "9/8": 204,
    "6/5": 316,
    "5/4": 386,
    "4/3": 498,
    "45/32": 590,
    "3/2": 702,
    "8/5": 814,
    "5/3": 884,
    "16/9": 996,
    "15/8": 1088,
}


def test_the_scale_of_ratios_is_a_published_one() -> None:
    assert tuple(Fraction(ratio) for ratio in MALCOLM) == BY_SEMITONES
    assert [round(interval_cents(ratio)) for ratio in BY_SEMITONES] == list(MALCOLM.values())


def test_every_ratio_is_five_limit_and_within_an_octave_and_near_its_semitones() -> None:
    chords = [parse_chord(text) for text in ("Cm7", "C7")]
    for kind in KINDS.values():
        for tone in kind.tones:
            for chord in chords:
                ratio = ratio_of(chord, tone)
                assert 1 <= ratio < 2
                assert abs(interval_cents(ratio) - 100 * (tone.semitones % 12)) < 30
                rest = ratio.numerator * ratio.denominator
                for prime in (2, 3, 5):
                    while rest % prime == 0:
                        rest //= prime
                assert rest == 1


PURE = {
    # Intervals that must be pure between two tones of a chord; ratio of the upper to the lower.
    ("C", "R", "3"): "5/4",
    ("C", "3", "5"): "6/5",
    ("Cm", "R", "b3"): "6/5",
    ("Cm", "b3", "5"): "5/4",
    ("Cm7", "b3", "b7"): "3/2",
    ("Cm7", "5", "b7"): "6/5",
    ("Cmaj7", "3", "7"): "3/2",
    ("Cmaj7", "5", "7"): "5/4",
    ("C6", "R", "6"): "5/3",
    ("C+", "3", "#5"): "5/4",
    ("Cdim", "R", "b3"): "6/5",
    ("Cdim7", "b5", "bb7"): "6/5",
    ("C7", "R", "b7"): "16/9",
    ("C7sus4", "4", "b7"): "4/3",
    ("C9", "5", "9"): "3/4",
    ("Ab Ger.6", "#6", "3"): "32/45",
}


@pytest.mark.parametrize(("place", "ratio"), PURE.items())
def test_pure_inside_the_chord(place: tuple[str, str, str], ratio: str) -> None:
    text, lower, upper = place
    chord = parse_chord(text)
    assert ratio_of(chord, tone_of(upper)) / ratio_of(chord, tone_of(lower)) == Fraction(ratio)


@pytest.mark.parametrize(
    ("chord", "note", "offset"),
    [
        # The offsets that section players learn (common practice): third 14 low, minor
        # third 16 high, fifth 2 high, sixth 16 low, major seventh 12 low, fourth 2 low.
        ("C", "C4", "0"),
        ("C", "E4", "-14"),
        ("C", "G5", "+2"),
        ("Cm", "Eb4", "+16"),
        ("C6", "A4", "-16"),
        ("Cmaj7", "B4", "-12"),
        ("Csus4", "F4", "-2"),
        ("C9", "D5", "+4"),
        ("C7", "Bb4", "-4"),
        ("Cm7", "Bb4", "+18"),
        ("C7(b9)", "Db5", "+12"),
        ("C7(#11)", "F#5", "-10"),
        ("C7(b13)", "Ab4", "+14"),
        ("C+", "G#4", "-27"),
        ("Cdim7", "Gb4", "+10"),
        ("Cdim7", "Bbb4", "+25"),
        # The same sound in another spelling.
        ("C", "Fb4", "-14"),
        ("Bdim7", "G#4", "+25"),
        # Over another bass, which is 0 itself: a minor sixth, a minor third, a fourth.
        ("C/E", "E3", "0"),
        ("C/E", "C4", "+14"),
        ("C/E", "G4", "+16"),
        ("C/G", "C4", "-2"),
        ("C/G", "E4", "-16"),
        ("C7/Bb", "Bb2", "0"),
        ("C7/Bb", "C4", "+4"),
        # A bass that is no chord tone: F over G is 16:9, A 10:9, C 4:3.
        ("F/G", "G2", "0"),
        ("F/G", "F4", "-4"),
        ("F/G", "A4", "-18"),
        ("F/G", "C4", "-2"),
    ],
)
def test_offsets(chord: str, note: str, offset: str) -> None:
    found = cents(parse_chord(chord), Pitch.parse(note))
    assert found is not None
    assert offset_text(found) == offset


def test_no_offset_outside_the_chord() -> None:
    assert cents(parse_chord("C7"), Pitch.parse("F#4")) is None
    assert cents(parse_chord("N.C."), Pitch.parse("C4")) is None
    assert cents(NO_CHORD, Pitch.parse("C4")) is None
    assert cents(parse_chord("C7"), Pitch.parse("E+4")) is None  # a quarter tone sharp


def test_every_tone_of_every_kind_has_an_offset_and_octaves_do_not_matter() -> None:
    for kind in KINDS.values():
        chord = parse_chord(f"D{kind.suffix}") if kind.name != "none" else NO_CHORD
        for step in STEPS:
            for alter in (-1, 0, 1):
                low, high = (Pitch(step, Fraction(alter), octave) for octave in (2, 6))
                assert cents(chord, low) == cents(chord, high)
                assert (cents(chord, low) is None) == (not belongs(chord, low))


def test_spellings_with_a_ratio_of_their_own() -> None:
    """Each differs from the tone of the same sound, or it would not be in the table."""
    for tone, ratio in RATIOS.items():
        assert ratio != BY_SEMITONES[tone.semitones % 12]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1.955, "+2"),
        (-13.686, "-14"),
        (0.0, "0"),
        (0.49, "0"),
        (-0.49, "0"),
        (-0.0, "0"),
        (0.5, "+1"),
        (-1.5, "-1"),
        (31.28, "+31"),
    ],
)
def test_offset_text(value: float, text: str) -> None:
    assert offset_text(value) == text
