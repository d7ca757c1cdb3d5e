"""The bass note of a harmony, or all of it, held under the player.

Conventions.  The bass lies from C3 to B3, the other tones from C4 to B4 and those
above the seventh an octave higher: low enough to tune against, high enough for a
small loudspeaker.  In pure tuning every tone, the bass too, lies where the numbers on the
page have it (drills/harmony/tuning.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Final

from drills.harmony.chord import Chord, Harmony, PitchClass
from drills.harmony.tones import spelled
from drills.harmony.tuning import cents
from drills.music.pitch import Pitch
from drills.sound.practice.choices import Tuning
from drills.sound.practice.events import Tone

_BASS: Final = 48
_TONES: Final = 60
_HIGH: Final = 72
"""MIDI numbers of the C from which each kind of tone is placed upwards."""
_FADE: Final = Fraction(115, 1000)
"""Seconds for which a tone goes on under the same one that is tuned a little away: its release
of 0.15 s then crosses the attack of 0.08 s in the middle of both."""
_LAST_LOW: Final = 7
"""Tones up to the seventh stand in the lower octave."""


def bass_key(chord: Chord, tuning: Tuning) -> Fraction | None:
    """Sounding MIDI number of the bass; None without a chord."""
    lowest = chord.bass or chord.root
    return None if lowest is None else _BASS + lowest.semitone + _offset(chord, lowest, tuning)


def chord_keys(chord: Chord, tuning: Tuning) -> tuple[Fraction, ...]:
    """Sounding MIDI numbers of the chord's tones without the bass, ascending, each sound once."""
    names = zip(chord.tones, spelled(chord), strict=True) if chord.root is not None else ()
    placed = {
        (_TONES if tone.number <= _LAST_LOW else _HIGH) + name.semitone: name
        for tone, name in names
    }
    return tuple(number + _offset(chord, placed[number], tuning) for number in sorted(placed))


def _offset(chord: Chord, name: PitchClass, tuning: Tuning) -> Fraction:
    """Semitones away from equal temperament, exact to a thousandth of a cent."""
    if tuning is Tuning.EQUAL:
        return Fraction(0)
    away = cents(chord, Pitch(name.step, Fraction(name.alter), 4))
    return Fraction(0) if away is None else Fraction(round(away * 1000), 100_000)


def joined(tones: Iterable[Tone]) -> Iterator[Tone]:
    """The tones of successive chords, those that go on held through without a dip.

    A tone that the next chord has at the same pitch is one; where it moves by some cents,
    the old one fades while the new one speaks.
    """
    sounding: dict[tuple[str, int], Tone] = {}
    for tone in tones:
        place = (tone.voice, round(tone.key))
        before = sounding.get(place)
        if before is None or before.end_quarters != tone.quarters:
            sounding[place] = tone
        elif before.key == tone.key:
            sounding[place] = replace(before, end=tone.end, end_quarters=tone.end_quarters)
            continue
        else:
            before = replace(before, end=min(before.end + _FADE, tone.end))
            sounding[place] = tone
        if before is not None:
            yield before
    yield from sounding.values()


def held(harmonies: Iterable[Harmony]) -> Iterator[Harmony]:
    """The harmonies with those that only go on made one."""
    before: Harmony | None = None
    for harmony in harmonies:
        if before is not None and (before.chord, before.end) == (harmony.chord, harmony.start):
            before = replace(before, end=harmony.end)
            continue
        if before is not None:
            yield before
        before = harmony
    if before is not None:
        yield before
