"""A melodic line as its player goes through it: what comes before and after each note.

Conventions.  Notes with one start are a chord.  Between two chords of as many notes
the lowest goes to the lowest and so on up; else each note is followed by the nearest of
what comes next, and comes from the nearest of what came before.  A rest
longer than a beat parts two notes.  A step is a whole tone at most, or up to an
augmented second between neighbours on the staff.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from drills.harmony.chord import Heard
from drills.harmony.stress import Stress
from drills.music.pitch import Pitch


@dataclass(slots=True, eq=False)
class Linked:
    """A note of a line with the notes that come before and after it."""

    heard: Heard
    before: Linked | None = None
    after: Linked | None = None

    @property
    def pitch(self) -> Pitch:
        """As it sounds."""
        return self.heard.pitch

    @property
    def start(self) -> Fraction:
        """Quarters on the common time line."""
        return self.heard.start


def linked(line: Sequence[Heard], stress: Stress) -> list[Linked]:
    """The notes of a line, each with the nearest of those before and after it."""
    notes = [Linked(heard) for heard in line]
    moments: list[list[Linked]] = []
    for note in notes:
        same = moments and moments[-1][0].start == note.start
        if same and (moments[-1][0].heard.end > note.start) == (note.heard.end > note.start):
            moments[-1].append(note)
        else:
            moments.append([note])
    for first, second in pairwise(moments):
        end = max(note.heard.end for note in first)
        if second[0].start - end > stress.beat_at(end):
            continue
        _link(first, second)
    return notes


def _link(first: list[Linked], second: list[Linked]) -> None:
    """Say of the notes of one chord, and of the next, which follows which."""
    if len(first) == len(second):
        for low, high in zip(_upwards(first), _upwards(second), strict=True):
            low.after, high.before = high, low
        return
    for note in first:
        note.after = _nearest(note, second)
    for note in second:
        note.before = _nearest(note, first)


def _upwards(notes: list[Linked]) -> list[Linked]:
    return sorted(notes, key=lambda note: note.pitch.midi)


def _nearest(note: Linked, others: Sequence[Linked]) -> Linked:
    return min(others, key=lambda other: abs(other.pitch.midi - note.pitch.midi))


def steps_in(note: Linked) -> bool:
    """Whether a note is reached by step."""
    return note.before is not None and is_step(note.before.pitch, note.pitch)


def steps_out(note: Linked) -> bool:
    """Whether a note is left by step."""
    return note.after is not None and is_step(note.pitch, note.after.pitch)


def goes_on(note: Linked) -> bool:
    """Whether the way out has the direction of the way in."""
    if note.before is None or note.after is None:
        return False
    before, own, after = note.before.pitch.midi, note.pitch.midi, note.after.pitch.midi
    return (own > before) == (after > own)


def same(one: Linked, other: Linked) -> bool:
    """Whether two notes have one pitch, however it is spelled."""
    return one.pitch.midi == other.pitch.midi


def is_step(one: Pitch, other: Pitch) -> bool:
    """Whether two pitches are a step apart."""
    semitones = abs(one.midi - other.midi)
    return 0 < semitones <= 2 or (semitones <= 3 and abs(one.diatonic - other.diatonic) == 1)
