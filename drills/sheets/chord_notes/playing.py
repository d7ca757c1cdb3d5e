"""What a player plays, with its place on a line of time and in the chords there."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from drills.harmony.chord import Harmony, Heard, NoteFunction
from drills.harmony.functions import functions, functions_through
from drills.music.grid import GridBar
from drills.music.pitch import Pitch, Tone, Transposition
from drills.notation.bars import Setting
from drills.places.spots import Attack


@dataclass(frozen=True, slots=True)
class Functions:
    """What each tone of a note does from a time on."""

    start: Fraction
    tones: tuple[NoteFunction, ...]
    """In the order of the note's pitched tones."""


@dataclass(frozen=True, slots=True)
class Played:
    """One attack with its place on the line that is counted on."""

    start: Fraction
    end: Fraction
    attack: Attack
    transposition: Transposition
    setting: Setting
    """What is in force in the music where it begins."""
    functions: tuple[Functions, ...] = ()
    """In each chord that it sounds through; empty where none is known."""

    @property
    def pitched(self) -> tuple[Pitch, ...]:
        """Its tones that have a pitch, as written."""
        return tuple(tone for tone in self.attack.tones if isinstance(tone, Pitch))

    def sounding(self, tone: Tone) -> Pitch | None:
        """The tone as it sounds; None for one without pitch."""
        return self.transposition.sounding(tone) if isinstance(tone, Pitch) else None

    @property
    def first(self) -> tuple[NoteFunction, ...]:
        """What each tone does where the note begins."""
        return self.functions[0].tones if self.functions else ()

    def function_at(self, tone: Tone, time: Fraction) -> NoteFunction | None:
        """What a tone does in the chord that sounds at a time, at which the note sounds too."""
        place = bisect_right(self.functions, time, key=lambda one: one.start) - 1
        if place < 0 or not isinstance(tone, Pitch):
            return None
        return self.functions[place].tones[self.pitched.index(tone)]


def between(line: Sequence[Played], low: Fraction, high: Fraction) -> Sequence[Played]:
    """The notes of a line that sound between two times, one that began before included."""
    first = max(bisect_right(line, low, key=lambda played: played.start) - 1, 0)
    last = bisect_left(line, high, key=lambda played: played.start)
    found = line[first:last]
    return found[1:] if found and found[0].end <= low else found


def with_functions(
    line: Sequence[Played], harmonies: Sequence[Harmony], bars: Sequence[GridBar]
) -> tuple[Played, ...]:
    """The notes of one line, each with its functions in all chords that it sounds through.

    ``line`` is better given with a few notes before and after those that matter, so
    that the way into and out of each can be seen.  Without harmonies none are found.
    """
    if not harmonies:
        return tuple(line)
    heard = [_heard(played) for played in line]
    begun = iter(functions([one for notes in heard for one in notes], harmonies, bars))
    found = []
    for index, (played, notes) in enumerate(zip(line, heard, strict=True)):
        first = Functions(played.start, tuple(next(begun) for _ in notes))
        after = heard[index + 1 : index + 3]
        found.append(replace(played, functions=(first, *_later(notes, after, harmonies))))
    return tuple(found)


def _heard(played: Played) -> list[Heard]:
    sounding = (played.sounding(tone) for tone in played.pitched)
    return [Heard(played.start, played.end, pitch) for pitch in sounding if pitch is not None]


def _later(
    notes: Sequence[Heard], after: Sequence[Sequence[Heard]], harmonies: Sequence[Harmony]
) -> list[Functions]:
    """What the tones of a note do in the chords that change while it is held.

    ``after`` are the tones of the one or two notes that follow.
    """
    if not notes:
        return []
    start, end = notes[0].start, notes[0].end
    low = max(bisect_right(harmonies, start, key=lambda one: one.start) - 1, 0)
    high = bisect_left(harmonies, end, key=lambda one: one.start)
    if high - low < 2 and not (low < high and harmonies[low].start > start):
        return []
    through = [functions_through(note, harmonies[low:high], _next(note, after)) for note in notes]
    return [
        Functions(times[0][0], tuple(function for _, function in times))
        for times in zip(*through, strict=True)
        if times[0][0] > start
    ]


def _next(note: Heard, after: Sequence[Sequence[Heard]]) -> list[Pitch]:
    """Where a tone goes: of each note that follows the tone that is nearest to it."""
    return [
        min((one.pitch for one in tones), key=lambda pitch: abs(pitch.midi - note.pitch.midi))
        for tones in after
        if tones
    ]
