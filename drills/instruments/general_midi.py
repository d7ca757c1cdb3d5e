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

DRUM_KEYS: Final = {
    35: "acoustic bass drum",
    36: "bass drum 1",
    37: "side stick",
    38: "acoustic snare",
    39: "hand clap",
    40: "electric snare",
    41: "low floor tom",
    42: "closed hi-hat",
    43: "high floor tom",
    44: "pedal hi-hat",
    45: "low tom",
    46: "open hi-hat",
    47: "low-mid tom",
    48: "hi-mid tom",
    49: "crash cymbal 1",
    50: "high tom",
    51: "ride cymbal 1",
    52: "chinese cymbal",
    53: "ride bell",
    54: "tambourine",
    55: "splash cymbal",
    56: "cowbell",
    57: "crash cymbal 2",
    58: "vibraslap",
    59: "ride cymbal 2",
    60: "hi bongo",
    61: "low bongo",
    62: "mute hi conga",
    63: "open hi conga",
    64: "low conga",
    65: "high timbale",
    66: "low timbale",
    67: "high agogo",
    68: "low agogo",
    69: "cabasa",
    70: "maracas",
    71: "short whistle",
    72: "long whistle",
    73: "short guiro",
    74: "long guiro",
    75: "claves",
    76: "hi wood block",
    77: "low wood block",
    78: "mute cuica",
    79: "open cuica",
    80: "mute triangle",
    81: "open triangle",
}
"""Percussion key -> its own name in General MIDI."""
KIN: Final = {
    **{35: 36, 39: 38, 40: 38, 41: 45, 43: 45, 48: 47, 52: 49, 55: 49, 57: 49, 59: 51},
    **{62: 60, 63: 61, 64: 61, 65: 60, 66: 61, 67: 56, 68: 56, 69: 70, 71: 70, 72: 70},
    **{73: 70, 74: 70, 78: 60, 79: 61, 80: 81},
}
"""Percussion key -> the usual drum that comes nearest to it (our own choice)."""
_STANDS_LIKE: Final = {**KIN, 43: 41, 46: 42, 47: 45, 48: 50, 53: 51}
"""Percussion key -> the drum in whose place it is written (common practice)."""
_KEYS_BY_NAME: Final = {name: key for key, name in DRUM_KEYS.items()}
_PLACE_OF: Final = {key: place for place, key in DRUMS_BY_PLACE.items()}

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
    if (key := _KEYS_BY_NAME.get(tone.instrument.casefold())) is not None:
        return key
    named = _longest_inside(tone.instrument)
    if named is not None:
        return named
    return DRUMS_BY_PLACE.get((tone.step, tone.octave), _SNARE)


def is_drum_name(name: str) -> bool:
    """True for a name that tells which drum it is."""
    return name.casefold() in _KEYS_BY_NAME or _longest_inside(name) is not None


def drum_name(tone: Unpitched) -> str:
    """The name of a drum: its own where that tells which drum it is, else that of its key."""
    if is_drum_name(tone.instrument):
        return tone.instrument
    return DRUM_KEYS[drum_of(tone)]


def drum_on(key: int) -> Unpitched:
    """The drum of a percussion key, where it stands on the staff of a drum set.

    One without a place there, or without a name, stands where the snare does.
    """
    here = key if key in _PLACE_OF else _STANDS_LIKE.get(key, _SNARE)
    step, octave = _PLACE_OF.get(here, _PLACE_OF[_SNARE])
    return Unpitched(step, octave, DRUM_KEYS.get(key, ""))


def _longest_inside(words: str) -> int | None:
    told = words.casefold().replace("-", " ").replace("_", " ")
    inside = [name for name in DRUMS if name.replace("-", " ") in told]
    return DRUMS[max(inside, key=len)] if inside else None
