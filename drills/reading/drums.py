"""A drum kit that is written with pitches: heads that say what is struck, not what sounds.

Many exporters write drums as notes with a pitch.  A part is taken for drums where its
instrument has no pitches, where it plays on MIDI channel 10 (General MIDI System Level 1:
the channel of percussion) or where it is written in the percussion clef, unless it is
called by the name of an instrument that plays pitches, such as timpani.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from drills.instruments.table import fact_of
from drills.music.pitch import Tone, Unpitched
from drills.music.score import Clef, Instrument
from drills.reading.voices import Sound


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
    return tone if isinstance(tone, Unpitched) else Unpitched(tone.step, tone.octave)
