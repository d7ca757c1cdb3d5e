"""THE TABLES of voices (what can be switched and weighed) and of struck sounds.

Numbers of the sounds: General MIDI System Level 1, percussion key map (MIDI
Manufacturers Association, 1991).  A sound of our own has the number of the one
that stands in for it in a MIDI file.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from drills.instruments.general_midi import program_of


@dataclass(frozen=True, slots=True)
class Voice:
    """Something that can be switched on and weighed."""

    words: str
    gain: float
    """Decibels that it has unless said otherwise, against a click at 0."""


VOICES: Final = {
    "click": Voice("the click", 0.0),
    "signal": Voice("the bell that tells a new rung", -3.0),
    "groove": Voice("the drums", -3.0),
    "line": Voice("the line itself", -6.0),
    "octave": Voice("the line an octave away", -9.0),
    "section": Voice("the other parts of the score", -9.0),
    "bass": Voice("the bass note of each chord, held", -12.0),
    "chord": Voice("each chord, held", -12.0),
}

TONES: Final = ("line", "octave", "section", "bass", "chord")
"""The voices that hold notes; the others are struck."""

_CLARINET: Final = 71
_PROGRAMS: Final = {"section": 60, "bass": 20, "chord": 20}
"""French horn; reed organ for the drones (General MIDI System Level 1, counted from 0)."""


def program(voice: str, part: str) -> int:
    """The General MIDI program of a voice, from 0; ``part`` names the player's instrument.

    The line is played on that, or on a clarinet where it has no program.
    """
    if voice in _PROGRAMS:
        return _PROGRAMS[voice]
    named = program_of(part)
    return _CLARINET if named is None else named


SOUNDS: Final = {
    "bass-drum": 36,
    "side-stick": 37,
    "snare": 38,
    "brush-snare": 40,
    "closed-hi-hat": 42,
    "low-tom": 45,
    "pedal-hi-hat": 44,
    "open-hi-hat": 46,
    "mid-tom": 47,
    "crash": 49,
    "high-tom": 50,
    "ride": 51,
    "ride-bell": 53,
    "tambourine": 54,
    "cowbell": 56,
    "high-bongo": 60,
    "low-bongo": 61,
    "maracas": 70,
    "claves": 75,
    "high-claves": 75,
    "high-wood-block": 76,
    "low-wood-block": 77,
    "triangle": 81,
    "beep": 76,
    "low-beep": 77,
    "bell": 53,
}
"""Struck sounds by name, each with its General MIDI percussion key.  "beep" (a short sine),
"low-beep", "high-claves" and "bell" are our own."""

USUAL_CLICKS: Final = ("low-wood-block", "high-wood-block")
CLICKS_OVER_SECTION: Final = ("claves", "high-claves")
"""What clicks, plain and accented.  A section covers wood blocks, whose sound lies where its
own is strongest; between 2 and 4 kHz it leaves room (docs/sound shows both)."""

FULL_SECTION: Final = 5
"""Parts that sound at the full level of the voice "section"."""


def section_level(parts: int) -> float:
    """The linear level of each part of a section of so many, 0 to 1.

    More than FULL_SECTION share its level, as if all their tones came to a peak together, so
    that a click of CLICKS_OVER_SECTION is 13 dB and more above what the section masks in a
    third of an octave (ISO 7731; measured in docs/sound, held by tests/output).
    """
    return min(1.0, FULL_SECTION / max(parts, 1))
