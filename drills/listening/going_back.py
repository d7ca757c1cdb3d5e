"""Where a player went back to a note whose pitch comes twice in a row.

Problem.  Two written notes of one pitch; the player plays both, stops, and begins anew with the
second; or plays the first, stops, and begins anew with it.  Three tones of one pitch and a
silence: the first of them struck twice and the other late explains them too, more cheaply than
going back does as long as nobody knows the tempo.  Method.  It is told from time.  A second
attack that falls where the next note was due is that note; and who is silent for long within
music without a rest has stopped.

Conventions.  Frames; notes are numbered from 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from drills.listening.following import Heard
from drills.listening.settings import USUAL
from drills.listening.states import AGAIN, NOTE
from drills.listening.wanted import Wanted

NEAR: Final = (0.6, 1.6)
"""Shares of a written distance, at the expected tempo, that may be it."""
JOINED: Final = 0.01
"""Quarters of a rest that is none."""


def gone_back(heard: Sequence[Heard], wanted: Wanted, frame: float) -> tuple[Heard, ...]:
    """What was heard, with the notes that were struck twice before or after a stop called as
    they are written.  ``frame``: seconds."""
    found = list(heard)
    for at in range(1, len(found)):
        note, again = found[at - 1], found[at]
        if again.kind != AGAIN or note.kind != NOTE or again.note != note.note:
            continue
        after = found[at + 1] if at + 1 < len(found) else None
        before = found[at - 2] if at > 1 else None
        if after is not None and _stopped(again, after, wanted, frame):
            if _due(note, again, after.note, wanted, frame) and after.note == note.note + 1:
                found[at] = replace(again, kind=NOTE, note=after.note)
                found[at + 1] = replace(after, jumped=True)
        elif (
            before is not None
            and before.note < note.note
            and _stopped(before, note, wanted, frame)
            and _due(note, again, before.note, wanted, frame)
        ):
            found[at - 1] = replace(note, note=before.note, jumped=True)
            found[at] = replace(again, kind=NOTE)
    return tuple(found)


def _stopped(one: Heard, other: Heard, wanted: Wanted, frame: float) -> bool:
    """A long silence between two notes of one pitch where none is written."""
    if other.kind != NOTE or one.kind not in (NOTE, AGAIN) or not one.note <= other.note:
        return False
    a, b = wanted.notes[one.note], wanted.notes[other.note]
    rest = sum(
        max(wanted.notes[n + 1].at - wanted.notes[n].at - wanted.notes[n].length, 0.0)
        for n in range(one.note, other.note)
    )
    silent = (other.first - one.end) * frame
    return a.key == b.key and rest < JOINED and silent > USUAL.gap


def _due(note: Heard, again: Heard, other: int, wanted: Wanted, frame: float) -> bool:
    """The second attack falls as far from the first as the other note is written from this."""
    written = abs(wanted.notes[other].at - wanted.notes[note.note].at) * wanted.pace
    low, high = (share * written for share in NEAR)
    return low <= (again.first - note.first) * frame <= high
