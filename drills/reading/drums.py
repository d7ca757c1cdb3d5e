"""A drum kit that is written with pitches: heads that say what is struck, not what sounds.

Many exporters write drums as notes with a pitch.  A part is taken for drums where its
instrument has no pitches, where it plays on MIDI channel 10 (General MIDI System Level 1:
the channel of percussion) or where it is written in the percussion clef, unless it is
called by the name of an instrument that plays pitches, such as timpani.  A pitch on the staff
is a place; one under middle C, where no drum is written, is the key of a MIDI drum set (General
MIDI's percussion key map begins at B1), and a drum of that name sounds.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from typing import Final

from drills.instruments.general_midi import DRUM_KEYS, is_drum_name
from drills.instruments.table import fact_of
from drills.music.pitch import Tone, Unpitched
from drills.music.score import Clef, Instrument
from drills.reading.voices import Sound

_LOWEST_HEAD: Final = 60
"""Middle C: the lowest head of a drum set, the pedal of the hi-hat, stands over it."""


@lru_cache(maxsize=256)
def is_struck(instrument: Instrument, clef: Clef, *, on_drum_channel: bool) -> bool:
    """True where heads with a pitch stand for drums."""
    fact = fact_of(instrument)
    if fact is not None and fact.pitched:
        return False
    # "Percussion" may well be a glockenspiel: that name alone proves nothing.
    named = fact is not None and fact.name != "Percussion"
    return named or on_drum_channel or clef.sign == "percussion"


def struck(sound: Sound) -> Sound:
    """The same heads without pitches, where they stand on the staff."""
    return replace(sound, tones=tuple(_head(tone) for tone in sound.tones))


def _head(tone: Tone) -> Tone:
    """The head where it stands; one below the staff's own range is a key of a MIDI drum set."""
    if isinstance(tone, Unpitched):
        return tone
    key = int(tone.midi)
    drum = DRUM_KEYS.get(key, "") if key < _LOWEST_HEAD else ""
    return Unpitched(tone.step, tone.octave, drum)


def names_of_drums(players: Iterable[tuple[str, str, int | None]]) -> dict[str, str]:
    """Names of drums by identifier, from identifier, name and percussion key (from 0) of each.

    A name that tells nothing ("Player 4") gives way to that of the key.
    """
    return {
        identifier: DRUM_KEYS[key] if key in DRUM_KEYS and not is_drum_name(name) else name
        for identifier, name, key in players
    }
