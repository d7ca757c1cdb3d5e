"""Beatless tuning: how far each tone of a chord lies from equal temperament.

Problem: players in a section tune their notes until nothing beats; a tuner shows equal
temperament.  Method: each tone of a chord has a few ratios to the root that just
intonation knows (``RATIOS``); of all ways to give each tone of the chord one of them, the
one is taken whose intervals, every pair of tones, are simplest together: the sum of
log2(numerator x denominator) over all pairs is least (the measure is J. Tenney's harmonic
distance, A History of Consonance and Dissonance, 1988, from memory).  So the seventh of Cm7
is 9:5, a pure fifth over its third.  The offset is the size of the ratio less the tempered
interval.

From where it is counted (``Chord.zero``): from the root, as players learn it (the third
14 cents low whatever is in the bass), from the bass, or from the note that the melody holds;
that tone is 0 itself.

Conventions.  Cents, 1200 to the octave; the tempered pitch is 0, higher is positive.
Outside the five limit a dominant's seventh can be played as 7:4, 31 cents low
(``Chord.natural``); the diminished triad is then 5:6:7, the upper part of that chord, and an
augmented sixth sounds as the same seventh.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from itertools import combinations, product
from math import floor, log2
from types import MappingProxyType
from typing import Final

from drills.harmony.chord import Chord, ChordTone
from drills.harmony.kinds import tone_of
from drills.harmony.tones import belongs, function_tone
from drills.music.pitch import Pitch

_SCALE: Final = "1 16/15 9/8 6/5 5/4 4/3 45/32 3/2 8/5 5/3 16/9 15/8"
BY_SEMITONES: Final = tuple(map(Fraction, _SCALE.split(" ")))
"""The tone that lies 0 to 11 semitones above the root, within the octave: the scale that
pure fourths, fifths and thirds around the root give.  For what is no tone of its chord, and
the first choice of what is."""

_OTHERS: Final = {
    "b3": "32/27",  # a pure fourth below the fourth
    "b9": "27/25",
    "4": "27/20",  # a pure fourth over the small second
    "11": "27/20",
    "#9": "75/64",  # a major seventh over the third
    "6": "27/16",  # a pure fifth over the second
    "13": "27/16",
    "b7": "9/5",  # a pure fifth over the minor third
}
_INSTEAD: Final = {
    "b5": "64/45 36/25",  # the tritone of the dominant, or two pure minor thirds
    "#5": "25/16",  # two pure major thirds; 8/5 belongs to the minor sixth
    # A pure minor third below the root, or above the fifth.
    "bb7": "5/3 128/75 216/125",
    # A pure major third over the raised fourth: the raised fourth of the key (45/32) over its
    # lowered sixth (8/5), as in the chords of the augmented sixth.
    "#6": "225/128",
}


def _ratios() -> dict[ChordTone, tuple[Fraction, ...]]:
    found: dict[ChordTone, tuple[Fraction, ...]] = {}
    for label, text in _OTHERS.items():
        tone = tone_of(label)
        found[tone] = (BY_SEMITONES[tone.semitones % 12], Fraction(text))
    for label, text in _INSTEAD.items():
        found[tone_of(label)] = tuple(Fraction(one) for one in text.split())
    return found


RATIOS: Final[Mapping[ChordTone, tuple[Fraction, ...]]] = MappingProxyType(_ratios())
"""Tones that may have several ratios to the root, or another than BY_SEMITONES has."""

DOMINANT_SEVENTH: Final = Fraction(16, 9)
"""Two pure fourths: it keeps the seventh where the key has its fourth degree, held over from
the chord before.  The minor third over the fifth (9/5) would be simpler inside the chord, but
18 cents high, where every section wants a dominant's seventh low.  Over a suspended fourth it
is that fourth's own."""
NATURAL_SEVENTH: Final = Fraction(7, 4)
NATURAL_FIFTH: Final = Fraction(7, 5)
"""The diminished fifth of 5:6:7, and the raised fourth of a French sixth, as it sounds."""

_SEVENTH: Final = ChordTone(7, -1)
_THIRD: Final = ChordTone(3)
_MINOR_THIRD: Final = ChordTone(3, -1)
_FOURTH: Final = ChordTone(4)
_RAISED_FOURTH: Final = ChordTone(4, 1)
_LOWERED_FIFTH: Final = ChordTone(5, -1)
_AUGMENTED_SIXTH: Final = ChordTone(6, 1)


class TunedFrom(StrEnum):
    """Which tone of a chord is where the tuner has it."""

    ROOT = "root"
    BASS = "bass"
    MELODY = "melody"
    """The note that the highest player holds."""


@dataclass(frozen=True, slots=True)
class Tuned:
    """How a player wants chords tuned."""

    zero: TunedFrom = TunedFrom.ROOT
    natural: bool = False
    """Sevenths of dominants as 7:4."""


FROM_ROOT: Final = Tuned()


def tuned(chord: Chord, how: Tuned, melody: Pitch | None = None) -> Chord:
    """The chord as it is to be tuned; ``melody`` is what the highest player holds, sounding.

    Where the bass is the root, or no melody is held, it counts from the root.
    """
    if chord.root is None:
        return chord
    zero = ChordTone(1)
    if how.zero is TunedFrom.BASS and chord.bass is not None:
        zero = function_tone(chord, Pitch(chord.bass.step, Fraction(chord.bass.alter), 3))
    elif how.zero is TunedFrom.MELODY and melody is not None:
        zero = function_tone(chord, melody)
    return replace(chord, zero=zero, natural=how.natural)


def interval_cents(ratio: Fraction) -> float:
    """The size of an interval in cents: 1200 times its binary logarithm; 3:2 is 701.955.

    Raises ValueError unless the ratio is positive.
    """
    if ratio <= 0:
        raise ValueError(f"a ratio of {ratio} is not an interval")
    return 1200 * (log2(ratio.numerator) - log2(ratio.denominator))


def within_octave(ratio: Fraction) -> Fraction:
    """A ratio moved by octaves until it is 1 or more, and less than 2."""
    while ratio >= 2:
        ratio /= 2
    while ratio < 1:
        ratio *= 2
    return ratio


def height(ratio: Fraction) -> float:
    """How far from simple an interval is: log2 of numerator times denominator, in the octave."""
    inside = within_octave(ratio)
    return log2(inside.numerator * inside.denominator)


def ratio_of(chord: Chord, tone: ChordTone) -> Fraction:
    """The frequency ratio of a tone to the chord's root, brought into one octave (1 to 2)."""
    own = _tuned(chord.tones, chord.natural)
    return own.get(tone, BY_SEMITONES[tone.semitones % 12])


@lru_cache(maxsize=512)
def _tuned(tones: tuple[ChordTone, ...], natural: bool) -> Mapping[ChordTone, Fraction]:
    """Every tone of a chord with its ratio to the root: the simplest of all ways."""
    possible = [_possible(tone, tones, natural) for tone in tones]
    best = min(product(*possible), key=lambda way: (_sum(way), way))
    return MappingProxyType(dict(zip(tones, best, strict=True)))


def _sum(ratios: tuple[Fraction, ...]) -> float:
    """How far from simple all pairs are together; rounded, so that equal ways are equal."""
    return round(sum(height(high / low) for low, high in combinations(ratios, 2)), 9)


def _possible(tone: ChordTone, tones: tuple[ChordTone, ...], natural: bool) -> tuple[Fraction, ...]:
    """The ratios that a tone may have in a chord."""
    if tone == _SEVENTH and _THIRD in tones:
        return (NATURAL_SEVENTH if natural else DOMINANT_SEVENTH,)
    if tone == _SEVENTH and _FOURTH in tones:
        return (DOMINANT_SEVENTH,)
    if natural and tone == _AUGMENTED_SIXTH:
        return (NATURAL_SEVENTH,)
    if natural and tone == _RAISED_FOURTH and _AUGMENTED_SIXTH in tones:
        return (NATURAL_FIFTH,)
    if natural and tone == _LOWERED_FIFTH and _MINOR_THIRD in tones:
        return (NATURAL_FIFTH,)
    return RATIOS.get(tone, (BY_SEMITONES[tone.semitones % 12],))


def cents(chord: Chord, pitch: Pitch) -> float | None:
    """The offset at which a sounding pitch is beatless in the chord, in cents.

    Against equal temperament in which the tone ``chord.zero`` is 0; None without a chord
    (or one too uncertain to tell of) and for a pitch that is not of it.  A bass that is no
    tone of the chord is tuned to the root as any other note is (G under F is its ninth, 9:8).
    """
    if not chord.is_told or not belongs(chord, pitch):
        return None
    return _offset(chord, function_tone(chord, pitch)) - _offset(chord, chord.zero)


def _offset(chord: Chord, tone: ChordTone) -> float:
    """Cents of a tone's ratio to the root, less its tempered semitones."""
    return interval_cents(ratio_of(chord, tone)) - 100 * (tone.semitones % 12)


def offset_text(cents: float) -> str:
    """For print, as whole cents with their sign: "+2", "-14", and "0" without one."""
    whole = floor(cents + 0.5)
    return f"{whole:+d}" if whole else "0"
