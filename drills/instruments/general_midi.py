"""Which General MIDI program and drum stand for an instrument of a score.

Problem: a score names its instruments in words, in any language of its
exporter; a MIDI file wants a number.  Method: the table of instruments knows the names and
the programs of what has a pitch; of drums the longest known name inside the words wins.
Source of the numbers: General MIDI System Level 1, sound set and percussion key map (MIDI
Manufacturers Association, 1991), here counted from 0 as they stand in the file.
"""

from __future__ import annotations

from typing import Final

from drills.instruments.table import named_fact
from drills.music.pitch import Unpitched

DRUM_CHANNEL: Final = 9
"""Channel 10 of General MIDI, counted from 0."""

DRUMS: Final = {
    "bass drum": 36,
    "kick": 36,
    "side stick": 37,
    "rim": 37,
    "cross stick": 37,
    "snare": 38,
    "side drum": 38,
    "hand clap": 39,
    "floor tom": 41,
    "low tom": 45,
    "closed hi-hat": 42,
    "hi-hat": 42,
    "hi hat": 42,
    "hihat": 42,
    "pedal hi-hat": 44,
    "foot hi-hat": 44,
    "hi-hat pedal": 44,
    "open hi-hat": 46,
    "mid tom": 47,
    "tom": 47,
    "high tom": 50,
    "crash": 49,
    "cymbal": 49,
    "crash cymbal": 49,
    "ride": 51,
    "ride cymbal": 51,
    "chinese cymbal": 52,
    "ride bell": 53,
    "tambourine": 54,
    "splash": 55,
    "splash cymbal": 55,
    "cowbell": 56,
    "bongo": 60,
    "conga": 63,
    "timbale": 65,
    "agogo": 67,
    "cabasa": 69,
    "maracas": 70,
    "shaker": 70,
    "vibraslap": 58,
    "whistle": 71,
    "guiro": 73,
    "claves": 75,
    "wood block": 76,
    "woodblock": 76,
    "temple block": 77,
    "triangle": 81,
}
"""Name (lower case) -> percussion key."""

DRUMS_BY_PLACE: Final = {
    ("D", 4): 44,
    ("F", 4): 36,
    ("A", 4): 41,
    ("C", 5): 38,
    ("D", 5): 45,
    ("E", 5): 50,
    ("F", 5): 51,
    ("G", 5): 42,
    ("A", 5): 49,
}
"""Place of the head on a five-line staff -> percussion key, where the score
names no drum (the usual drum-set key: common practice)."""

HIGH_CLICK: Final = 76
"""High wood block: the first beat of a counted bar."""
LOW_CLICK: Final = 77
"""Low wood block: the other beats."""

_SNARE: Final = 38


def program_of(instrument: str) -> int | None:
    """Program number (0 to 127) of an instrument's name; None for one we do not know."""
    fact = named_fact(instrument)
    program = 0 if fact is None else fact.program or fact.stand_in
    return program - 1 if program else None


def drum_of(tone: Unpitched) -> int:
    """Percussion key (35 to 81) by the drum's name, else by its place on the staff.

    A drum that neither tells is a snare drum.
    """
    named = _longest_inside(tone.instrument)
    if named is not None:
        return named
    return DRUMS_BY_PLACE.get((tone.step, tone.octave), _SNARE)


def _longest_inside(words: str) -> int | None:
    told = words.casefold().replace("-", " ").replace("_", " ")
    inside = [name for name in DRUMS if name.replace("-", " ") in told]
    return DRUMS[max(inside, key=len)] if inside else None
