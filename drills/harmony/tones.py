"""How a sounding pitch counts in a chord.

Conventions.  Spelling decides only where the chord has two tones of one sound
(#9 and b3, #11 and b5); everywhere else the sound decides, so that a note keeps
its place in the chord for every transposing player, however each of them reads it.
A microtone belongs to no chord; counted from the root it is the nearest semitone.
"""

from __future__ import annotations

from typing import Final

from drills.harmony.chord import Chord, ChordTone, PitchClass
from drills.music.pitch import Pitch


def spelled(chord: Chord) -> tuple[PitchClass, ...]:
    """The chord's tones spelled from its root (Bdim7 has Ab); empty without a chord.

    A bass that is none of the tones is not among them.
    """
    if chord.root is None:
        return ()
    return tuple(chord.root.above(tone.number, tone.alter) for tone in chord.tones)


def belongs(chord: Chord, pitch: Pitch) -> bool:
    """Whether a sounding pitch is a tone of the chord or its bass, however it is spelled."""
    bass = chord.bass is not None and is_sound(pitch, chord.bass)
    return bass or is_tone(chord, pitch)


def is_tone(chord: Chord, pitch: Pitch) -> bool:
    """Whether a sounding pitch is one of the chord's tones; a bass that is foreign is none."""
    return any(is_sound(pitch, tone) for tone in spelled(chord))


def is_sound(pitch: Pitch, name: PitchClass) -> bool:
    """Whether a pitch sounds as a name does in some octave; no microtone does."""
    return (pitch.midi - name.semitone) % 12 == 0


def function_tone(chord: Chord, pitch: Pitch) -> ChordTone:
    """How a sounding pitch counts from the chord's root, belonging to it or not.

    The chord's own tone of that spelling, else the chord's own tone of that
    sound, else the usual counting in such a chord (common practice): the name
    that the note would have in the chord symbol if it were added.  So C is the 11
    of G7, C# its #11, E its 13; in a chord without a seventh E is the 6 of G.
    Microtones count as the nearest semitone of their step.  Raises ValueError
    for "no chord", from which nothing can be counted.
    """
    if chord.root is None:
        raise ValueError("there is no chord to count from")
    sounding = PitchClass.of(pitch)
    own = list(zip(chord.tones, spelled(chord), strict=True))
    for tone, name in own:
        if name == sounding:
            return tone
    for tone, name in own:
        if name.semitone == sounding.semitone:
            return tone
    return _usual(chord, (sounding.semitone - chord.root.semitone) % 12)


_USUAL: Final = (
    ChordTone(1),
    ChordTone(9, -1),
    ChordTone(9),
    ChordTone(3, -1),
    ChordTone(3),
    ChordTone(11),
    ChordTone(11, 1),
    ChordTone(5),
    ChordTone(13, -1),
    ChordTone(13),
    ChordTone(7, -1),
    ChordTone(7),
)
"""How a note that is not of the chord is counted, by semitones above the root."""
_MAJOR_THIRD: Final = ChordTone(3)
_RAISED_NINTH: Final = ChordTone(9, 1)


def _usual(chord: Chord, semitones: int) -> ChordTone:
    tone = _USUAL[semitones]
    if tone == ChordTone(3, -1) and _MAJOR_THIRD in chord.tones:
        return _RAISED_NINTH
    if tone.number == 13 and not any(own.number == 7 for own in chord.tones):
        return ChordTone(6, tone.alter)
    return tone
