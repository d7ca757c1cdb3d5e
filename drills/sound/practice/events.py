"""What sounds in a practice file, and when: the one thing that audio and MIDI are made of.

Conventions.  Times are exact seconds from the start of the file, as Fractions; a
writer turns each into the nearest sample or tick by itself, so that nothing adds
up rounding.  Beside them stands the place in quarters that were played since the
start, for a MIDI file and for readers; the tempo steps join the two exactly.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import exp2

from drills.music.time import TimeSignature


@dataclass(frozen=True, slots=True)
class Strike:
    """A click, a drum stroke or a signal: it rings by itself."""

    at: Fraction
    """Seconds."""
    quarters: Fraction
    voice: str
    """A key of practice.voices.VOICES."""
    sound: str
    """A key of practice.voices.SOUNDS."""
    level: float = 1.0
    """Linear, over 0 to 1; the voice's gain comes on top."""


@dataclass(frozen=True, slots=True)
class Tone:
    """A note of the music or of a drone: it sounds until it ends."""

    at: Fraction
    """Seconds."""
    end: Fraction
    quarters: Fraction
    end_quarters: Fraction
    voice: str
    key: Fraction
    """Sounding MIDI note number; a fraction where it is tuned away from equal temperament."""
    level: float = 1.0


@dataclass(frozen=True, slots=True)
class Spoken:
    """Words that are said: the number of a new tempo."""

    at: Fraction
    """Seconds."""
    quarters: Fraction
    voice: str
    text: str
    level: float = 1.0


Event = Strike | Tone | Spoken


@dataclass(frozen=True, slots=True)
class Cue:
    """A place in the file that is worth finding: a new rung, a new drill."""

    at: Fraction
    """Seconds."""
    quarters: Fraction
    text: str
    """Such as "quarter = 72, clicks on beat 4"."""


@dataclass(frozen=True, slots=True)
class TempoStep:
    """From here on another tempo or time signature holds."""

    at: Fraction
    """Seconds."""
    quarters: Fraction
    seconds_per_quarter: Fraction
    time: TimeSignature


def frequency(key: Fraction, a4: Fraction) -> float:
    """Hertz of a sounding MIDI note number: ``a4`` x 2^((key - 69) / 12), A4 being key 69."""
    return float(a4) * exp2(float(key - 69) / 12)
