"""Beatless tuning: how far each tone of a chord lies from equal temperament.

Problem: players in a section tune their notes against the bass until nothing
beats; a tuner shows equal temperament.  Method: each chord tone has a ratio to
the root with no prime above five (five-limit just intonation); the offset is the
size of that ratio less the tempered interval, counted from the bass, which is 0
itself.  So the third of C is -14 over C, and over E as the bass C is +14.

Conventions.  Cents, 1200 to the octave; the tempered pitch is 0, higher is
positive.  Which ratio a tone has where several compete stands, with its reason,
in ``RATIOS``.  Outside the five limit the seventh of a dominant can be played as
7:4, 31 cents low; that is a taste that the numbers here do not take for granted.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from math import floor, log2
from types import MappingProxyType
from typing import Final

from drills.harmony.chord import Chord, ChordTone
from drills.harmony.tones import belongs, function_tone
from drills.music.pitch import Pitch

BY_SEMITONES: Final = (
    Fraction(1),
    Fraction(16, 15),
    Fraction(9, 8),
    Fraction(6, 5),
    Fraction(5, 4),
    Fraction(4, 3),
    Fraction(45, 32),
    Fraction(3, 2),
    Fraction(8, 5),
    Fraction(5, 3),
    Fraction(16, 9),
    Fraction(15, 8),
)
"""The tone that lies 0 to 11 semitones above the root, within the octave: the scale that
pure fourths, fifths and thirds around the root give.  The raised ninth is 6/5 by it:
what sounds is a minor third and an octave, and that is what can be tuned against
the root.  The minor seventh is 16/9, two pure fourths, which keeps it where the
key has its fourth degree and a pure fourth over the fourth of a suspended chord."""

RATIOS: Final[Mapping[ChordTone, Fraction]] = MappingProxyType(
    {
        # 36/25, two pure minor thirds, would be 31 cents high. This one is the diminished
        # triad that stands inside the dominant seventh: 5/4, 3/2 and 16/9.
        ChordTone(5, -1): Fraction(64, 45),
        # Two pure major thirds: it is heard against the third; 8/5 belongs to the minor sixth.
        ChordTone(5, 1): Fraction(25, 16),
        # A pure minor third over the diminished fifth, as the lowered sixth of the key
        # (8/5) stands over its leading note (15/8).
        ChordTone(7, -2): Fraction(128, 75),
        # A pure major third over the raised fourth: the raised fourth of the key (45/32)
        # over its lowered sixth (8/5), as in the chords of the augmented sixth.
        ChordTone(6, 1): Fraction(225, 128),
    }
)
"""Tones whose spelling asks for another ratio than BY_SEMITONES has."""

MINOR_SEVENTH_OVER_MINOR_THIRD: Final = Fraction(9, 5)
"""A pure fifth over the minor third, the only tone beside it in a minor chord that
the seventh can be tuned to without beats; with a major third 16/9 stays."""

_MINOR_THIRD: Final = ChordTone(3, -1)
_MINOR_SEVENTH: Final = ChordTone(7, -1)


def interval_cents(ratio: Fraction) -> float:
    """The size of an interval in cents: 1200 times its binary logarithm; 3:2 is 701.955.

    Raises ValueError unless the ratio is positive.
    """
    if ratio <= 0:
        raise ValueError(f"a ratio of {ratio} is not an interval")
    return 1200 * (log2(ratio.numerator) - log2(ratio.denominator))


def ratio_of(chord: Chord, tone: ChordTone) -> Fraction:
    """The frequency ratio of a tone to the chord's root, brought into one octave (1 to 2)."""
    if tone == _MINOR_SEVENTH and _MINOR_THIRD in chord.tones:
        return MINOR_SEVENTH_OVER_MINOR_THIRD
    return RATIOS.get(tone, BY_SEMITONES[tone.semitones % 12])


def cents(chord: Chord, pitch: Pitch) -> float | None:
    """The offset at which a sounding pitch is beatless against the bass of the chord.

    Cents against equal temperament in which the bass is 0; None without a chord
    and for a pitch that is not of it.  A bass that is no tone of the chord counts
    from the root as any other note does (G under F is its ninth, 9:8).
    """
    if chord.root is None or not belongs(chord, pitch):
        return None
    offset = _offset(chord, function_tone(chord, pitch))
    if chord.bass is None:
        return offset - _offset(chord, ChordTone(1))
    bass = Pitch(chord.bass.step, Fraction(chord.bass.alter), 3)
    return offset - _offset(chord, function_tone(chord, bass))


def _offset(chord: Chord, tone: ChordTone) -> float:
    """Cents of a tone's ratio to the root, less its tempered semitones."""
    return interval_cents(ratio_of(chord, tone)) - 100 * (tone.semitones % 12)


def offset_text(cents: float) -> str:
    """For print, as whole cents with their sign: "+2", "-14", and "0" without one."""
    whole = floor(cents + 0.5)
    return f"{whole:+d}" if whole else "0"
