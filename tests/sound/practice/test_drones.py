"""What is held under the player, and how it is tuned.

Sources.  440 x 2^((n - 69) / 12) hertz for MIDI note n, with 261.6256 for middle C, and
A4 = 440 Hz: ISO 16:1975 and the definition of equal temperament.  A pure major third is
5:4 and 13.69 cents below the tempered one, a pure fifth 3:2 and 1.96 above, a pure minor
third 6:5 and 15.64 above (1200 times the binary logarithm of the ratio).
"""

from __future__ import annotations

from fractions import Fraction
from math import log2

import pytest

from drills.harmony.chord import NO_CHORD, Chord, Harmony
from drills.harmony.symbols import parse_chord
from drills.sound.practice.choices import Tuning
from drills.sound.practice.drones import bass_key, chord_keys, held, joined
from drills.sound.practice.events import Tone, frequency

F = Fraction


@pytest.mark.parametrize(
    ("key", "hertz"), [(69, 440.0), (60, 261.6256), (58, 233.0819), (81, 880.0), (57, 220.0)]
)
def test_frequency(key: int, hertz: float) -> None:
    assert frequency(F(key), F(440)) == pytest.approx(hertz, abs=1e-4)
    assert frequency(F(key), F(442)) == pytest.approx(hertz * 442 / 440, rel=1e-6)


def test_cents_of_another_a() -> None:
    """442 Hz is 7.85 cents above 440, 466.16 a semitone."""
    for hertz, cents in ((442.0, 7.85), (466.1638, 100.0)):
        assert 1200 * log2(frequency(F(69), F(hertz)) / 440) == pytest.approx(cents, abs=0.005)


@pytest.mark.parametrize(
    ("text", "bass", "tones"),
    [
        ("C", 48, [60, 64, 67]),
        ("Am", 57, [60, 64, 69]),
        ("G7", 55, [62, 65, 67, 71]),
        ("C/E", 52, [60, 64, 67]),
        ("C9", 48, [60, 64, 67, 70, 74]),
        ("Bbm", 58, [61, 65, 70]),
    ],
)
def test_where_the_tones_lie(text: str, bass: int, tones: list[int]) -> None:
    chord = parse_chord(text)
    assert bass_key(chord, Tuning.EQUAL) == bass
    assert list(chord_keys(chord, Tuning.EQUAL)) == tones


@pytest.mark.parametrize(
    ("text", "ratios"),
    [
        ("C", {60: (1, 1), 64: (5, 4), 67: (3, 2)}),
        ("Am", {69: (1, 1), 60: (6, 5), 64: (3, 2)}),
        ("C/E", {64: (1, 1), 67: (6, 5), 60: (8, 5)}),
    ],
)
def test_pure_tones_are_beatless_against_the_bass(
    text: str, ratios: dict[int, tuple[int, int]]
) -> None:
    """The frequency against the bass, brought into one octave, is the ratio of whole numbers."""
    chord = parse_chord(text)
    bass = bass_key(chord, Tuning.PURE)
    assert bass is not None
    low = frequency(bass, F(440))
    keys = chord_keys(chord, Tuning.PURE)
    assert sorted(round(key) for key in keys) == sorted(ratios)
    for key in keys:
        wanted = F(*ratios[round(key)])
        ratio = frequency(key, F(440)) / low
        octaves = round(log2(ratio / float(wanted)))
        assert ratio / 2**octaves == pytest.approx(float(wanted), rel=1e-5)


def test_the_root_stays_where_the_tuner_has_it() -> None:
    over_third = parse_chord("C/E")
    assert chord_keys(over_third, Tuning.PURE)[0] == 60
    low = bass_key(over_third, Tuning.PURE)
    assert low is not None
    assert round(100 * (low - 52)) == -14


def _tone(start: int, end: int, key: F) -> Tone:
    return Tone(F(start), F(end), F(start), F(end), "chord", key)


def test_common_tones_are_held_through_a_change_of_chord() -> None:
    """G in C and in G is one tone; tuned otherwise, the two overlap while they change."""
    one, other = _tone(0, 2, F(67)), _tone(2, 4, F(67))
    low = _tone(0, 2, F(64))
    assert list(joined([low, one, other])) == [low, _tone(0, 4, F(67))]
    moved = _tone(2, 4, F(6702, 100))
    first, second = joined([one, moved])
    assert second == moved
    assert first.end > moved.at
    assert first.end_quarters == moved.quarters
    assert list(joined([one, _tone(3, 4, F(67))])) == [one, _tone(3, 4, F(67))]


def test_no_chord_is_silence() -> None:
    assert bass_key(NO_CHORD, Tuning.PURE) is None
    assert chord_keys(NO_CHORD, Tuning.PURE) == ()
    assert bass_key(Chord(None), Tuning.PURE) is None


def test_a_chord_that_goes_on_is_one() -> None:
    c, g = parse_chord("C"), parse_chord("G7")
    row = [Harmony(F(n), F(n + 1), chord) for n, chord in enumerate((c, c, g, c))]
    assert list(held(row)) == [
        Harmony(F(0), F(2), c), Harmony(F(2), F(3), g), Harmony(F(3), F(4), c)
    ]  # fmt: skip
    apart = [Harmony(F(0), F(1), c), Harmony(F(2), F(3), c)]
    assert list(held(apart)) == apart
