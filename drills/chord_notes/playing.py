"""What a player plays, with its place on a line of time and in the chords there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from drills.harmony.chord import Chord, Harmony, Heard, NoteFunction, Role
from drills.harmony.kinds import tone_label, tone_words
from drills.harmony.tones import belongs, function_tone
from drills.music.grid import GridBar
from drills.music.pitch import Pitch, Tone, Transposition
from drills.notation import Setting
from drills.spots import Attack


def functions(
    line: Sequence[Heard], harmonies: Sequence[Harmony], _bars: Sequence[GridBar]
) -> tuple[NoteFunction, ...]:
    """What each note is in the chord that sounds where it begins."""
    found = []
    for note in line:
        chord = next((h.chord for h in harmonies if h.start <= note.start < h.end), None)
        if chord is None or chord.root is None:
            found.append(NoteFunction(Role.NO_CHORD, None, "", "no chord"))
            continue
        tone = function_tone(chord, note.pitch)
        role = Role.CHORD_TONE if belongs(chord, note.pitch) else Role.OTHER
        found.append(NoteFunction(role, tone, tone_label(tone), tone_words(tone)))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Played:
    """One attack with its place on the line that is counted on."""

    start: Fraction
    end: Fraction
    attack: Attack
    transposition: Transposition
    setting: Setting
    """What is in force in the music where it begins."""
    functions: tuple[NoteFunction, ...] = ()
    """What each of its tones does where it begins; empty where no chord is known."""

    def sounding(self, tone: Tone) -> Pitch | None:
        """The tone as it sounds; None for one without pitch."""
        return self.transposition.sounding(tone) if isinstance(tone, Pitch) else None


def functions_of(
    line: Sequence[Played], harmonies: Sequence[Harmony], bars: Sequence[GridBar]
) -> list[tuple[NoteFunction, ...]]:
    """What each tone of each note does; a chord's tones each as a line of their own.

    A tone without pitch has no function.  ``line`` is better given with a few notes
    before and after, so that the way into and out of a note can be seen.
    """
    layers = max((len(played.attack.tones) for played in line), default=0)
    found: list[list[NoteFunction]] = [[] for _ in line]
    for layer in range(layers):
        heard, places = [], []
        for index, played in enumerate(line):
            tones = played.attack.tones
            pitch = played.sounding(tones[min(layer, len(tones) - 1)])
            if pitch is not None:
                heard.append(Heard(played.start, played.end, pitch))
                places.append(index)
        done = functions(heard, harmonies, bars)
        for index, function in zip(places, done, strict=True):
            if layer < len(line[index].attack.tones):
                found[index].append(function)
    return [tuple(one) for one in found]


def function_in(chord: Chord | None, played: Played, tone: Tone) -> NoteFunction | None:
    """What a tone does in a chord that it sounds in, which it may have begun before."""
    pitch = played.sounding(tone)
    if chord is None or pitch is None:
        return None
    if chord.root is not None and belongs(chord, pitch):
        own = function_tone(chord, pitch)
        return NoteFunction(Role.CHORD_TONE, own, tone_label(own), tone_words(own))
    place = played.attack.tones.index(tone)
    return played.functions[place] if place < len(played.functions) else None
