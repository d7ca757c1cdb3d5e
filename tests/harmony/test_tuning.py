"""Beatless offsets against published tables of intervals."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import combinations

import pytest

from drills.harmony.chord import NO_CHORD
from drills.harmony.kinds import KINDS, tone_label, tone_of
from drills.harmony.symbols import parse_chord
from drills.harmony.tones import belongs
from drills.harmony.tuning import (
    BY_SEMITONES,
    RATIOS,
    Tuned,
    TunedFrom,
    cents,
    height,
    interval_cents,
    offset_text,
    ratio_of,
    tuned,
    within_octave,
)
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
    ("Cdim", "b3", "b5"): "6/5",
    ("Cm7(b5)", "b5", "b7"): "5/4",
    ("Cdim7", "b3", "b5"): "6/5",
    ("Cdim7", "bb7", "R"): "3/5",
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
        ("Cdim7", "Gb4", "+31"),
        ("Cdim7", "Bbb4", "-16"),
        # The same sound in another spelling.
        ("C", "Fb4", "-14"),
        ("Bdim7", "G#4", "-16"),
        # The root is 0 whatever is in the bass.
        ("C/E", "E3", "-14"),
        ("C/E", "C4", "0"),
        ("C/G", "G3", "+2"),
        ("C7/Bb", "Bb2", "-4"),
        # A bass that is no chord tone: G under F is its ninth.
        ("F/G", "G2", "+4"),
        ("F/G", "A4", "-14"),
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


FROM_BASS = {
    # The bass is 0 itself: a minor sixth, a minor third, a fourth above it.
    ("C/E", "E3"): "0",
    ("C/E", "C4"): "+14",
    ("C/E", "G4"): "+16",
    ("C/G", "C4"): "-2",
    ("C/G", "E4"): "-16",
    ("C7/Bb", "C4"): "+4",
    # F over G is 16:9, A 10:9, C 4:3.
    ("F/G", "G2"): "0",
    ("F/G", "F4"): "-4",
    ("F/G", "A4"): "-18",
    ("F/G", "C4"): "-2",
    ("C", "E4"): "-14",
}
NATURAL = {
    # 4:5:6:7 and its upper part 5:6:7; 7:4 is 968.8 cents, 7:5 is 582.5.
    ("C7", "Bb4"): "-31",
    ("C9", "Bb4"): "-31",
    ("Cdim", "Gb4"): "-17",
    ("Ab Ger.6", "F#4"): "-31",
    ("Cm7", "Bb4"): "+18",
    ("Cmaj7", "B4"): "-12",
}


def _offset(chord: str, note: str, how: Tuned, melody: str = "C5") -> str:
    found = cents(tuned(parse_chord(chord), how, Pitch.parse(melody)), Pitch.parse(note))
    assert found is not None
    return offset_text(found)


@pytest.mark.parametrize("place", FROM_BASS)
def test_from_the_bass(place: tuple[str, str]) -> None:
    assert _offset(*place, Tuned(TunedFrom.BASS)) == FROM_BASS[place]


@pytest.mark.parametrize("place", NATURAL)
def test_the_natural_seventh(place: tuple[str, str]) -> None:
    assert _offset(*place, Tuned(natural=True)) == NATURAL[place]


def test_from_the_note_of_the_melody() -> None:
    """Who holds the third of C is left alone, and all others come up to it."""
    how = Tuned(TunedFrom.MELODY)
    assert _offset("C", "E5", how, "E5") == "0"
    assert _offset("C", "C3", how, "E5") == "+14"
    assert _offset("C", "G3", how, "E5") == "+16"


def test_every_way_keeps_the_intervals_inside_the_chord() -> None:
    chord = parse_chord("G7/F")
    notes = [Pitch.parse(name) for name in ("F2", "G3", "B3", "D4")]
    for natural in (False, True):
        ways = [
            [cents(tuned(chord, Tuned(zero, natural), notes[2]), note) for note in notes]
            for zero in TunedFrom
        ]
        for way in ways:
            gaps = [low - high for low, high in zip(way, ways[0], strict=True) if low and high]
            assert gaps == pytest.approx([gaps[0]] * len(gaps))


CHORDS = (
    *(f"C{kind.suffix}" for kind in KINDS.values() if len(kind.tones) > 1),
    *("C6/9", "C7sus4", "C7(b9)", "C7(#9)", "C7alt"),
)
PUBLISHED = {
    # Five-limit intervals within the octave, by Malcolm's scale above, their inversions, and
    # what handbooks list beside them (Ellis's appendix to Helmholtz; from memory).
    *("1", "16/15", "9/8", "6/5", "5/4", "4/3", "45/32", "64/45", "3/2", "8/5", "5/3", "16/9"),
    *("15/8", "9/5", "10/9", "25/24", "27/25", "36/25", "25/18", "32/27", "27/16", "27/20"),
    *("40/27", "25/16", "32/25", "75/64", "128/75", "225/128", "256/225", "48/25", "50/27"),
    *("125/108", "216/125", "135/128", "256/135", "32/15", "225/64", "75/32", "144/125"),
    *("125/72", "675/512", "512/405", "125/96", "128/81", "81/64", "405/256", "1125/1024"),
}


def pairs(chord: str, *, natural: bool = False) -> dict[tuple[str, str], Fraction]:
    """The interval between any two tones of a chord, within the octave, the lower first."""
    known = tuned(parse_chord(chord), Tuned(natural=natural))
    own = [(tone_label(tone), ratio_of(known, tone)) for tone in known.tones]
    return {
        (low, high): within_octave(upper / lower)
        for (low, lower), (high, upper) in combinations(own, 2)
    }


@pytest.mark.parametrize("chord", CHORDS)
def test_every_interval_inside_a_chord_is_a_published_one(chord: str) -> None:
    for pair, ratio in pairs(chord).items():
        assert str(ratio) in PUBLISHED, pair


@pytest.mark.parametrize("chord", CHORDS)
def test_no_tone_could_be_tuned_more_simply(chord: str) -> None:
    """Another ratio of the table for any one tone makes the chord less simple as a whole.

    The dominant's seventh is set by what it was before, as its constant says.
    """
    known = parse_chord(chord)
    own = {tone: ratio_of(known, tone) for tone in known.tones}
    whole = _all_pairs(own.values())
    for tone in own:
        if tone_label(tone) == "b7" and {"3", "4"} & {tone_label(one) for one in own}:
            continue
        for other in RATIOS.get(tone, ()):
            assert _all_pairs({**own, tone: other}.values()) >= whole - 1e-6, (tone, other)


def _all_pairs(ratios: Iterable[Fraction]) -> float:
    return sum(height(high / low) for low, high in combinations([*ratios], 2))


def main() -> None:
    """Print the intervals of all pairs of tones of every kind of chord."""
    for chord in CHORDS:
        for natural in (False, True):
            found = pairs(chord, natural=natural)
            if natural and found == pairs(chord):
                continue
            words = ", ".join(f"{low}-{high} {ratio}" for (low, high), ratio in found.items())
            print(f"{chord}{' (natural)' if natural else ''}: {words}")


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


if __name__ == "__main__":
    main()
