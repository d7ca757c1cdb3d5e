"""When each heard note begins, to a few milliseconds.

Problem.  The model says in which frames a note sounds; a frame is 6 ms, and its windows
see several hundredths of a second.  Method.  What is seen about each attack (attack_views.py)
is read by a network that has learnt to (attack_net.py), in a room and in the open, tongued,
slurred, repeated or after silence.  An attack that turns out to lie far from where the model
had it is looked at once more from there.

Conventions.  Seconds from the start of what is heard.  A tongued note begins where its level
comes within 6 dB of its own plateau; a slurred one in the middle of the change; one that is
repeated softly in the middle of its rise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from typing import Final

from drills.listening.attack_net import Moment, moments
from drills.listening.attack_views import Around, Viewer
from drills.listening.following import Heard
from drills.listening.hearing import Hearing
from drills.listening.spectra import Samples

JOINED: Final = 0.1
"""Seconds between two notes in which the one before has a say in where the next begins."""
SILENT: Final = 0.03
"""Seconds between two notes that are silence in the open; in a room, ``JOINED``."""
FAR: Final = 0.04
"""Seconds from the model's place from which on an attack is looked at again."""
SHORTEST: Final = 0.02
"""Seconds that a note lasts at least."""


class Attack(Enum):
    """What a note begins after."""

    CHANGED = "another pitch"
    REPEATED = "the same pitch"
    SILENCE = "silence"


@dataclass(frozen=True, slots=True)
class Onset:
    """When a heard note begins and ends."""

    seconds: float
    end: float
    attack: Attack
    spread: float
    """What the attack is known to: a standard deviation, seconds."""


def refine(
    samples: Samples, hearing: Hearing, heard: Sequence[Heard], keys: Sequence[int]
) -> list[Onset]:
    """The onset of every heard note; ``keys`` are the pitches that sounded."""
    around = [_around(hearing, heard, keys, number) for number in range(len(heard))]
    viewer = Viewer(samples, hearing.rate, hearing.tuning, hearing.survey)
    found = moments([viewer.views(one) for one in around])
    far = [number for number, moment in enumerate(found) if abs(moment.after) > FAR]
    again = moments([viewer.views(_moved(around[number], found[number])) for number in far])
    for number, moment in zip(far, again, strict=True):
        found[number] = replace(moment, after=moment.after + found[number].after)
    silent = JOINED if hearing.tail.matters else SILENT
    return [
        _onset(at, moment, _silence(hearing, heard, number) >= silent)
        for number, (at, moment) in enumerate(zip(around, found, strict=True))
    ]


def _onset(at: Around, moment: Moment, after_silence: bool) -> Onset:
    begin = at.place + moment.after
    changed = Attack.REPEATED if at.old == at.key else Attack.CHANGED
    attack = Attack.SILENCE if after_silence else changed
    return Onset(begin, max(at.end, begin + SHORTEST), attack, moment.spread)


def _silence(hearing: Hearing, heard: Sequence[Heard], number: int) -> float:
    """Seconds of silence before a note."""
    if number == 0:
        return float("inf")
    return (heard[number].first - heard[number - 1].end) * hearing.seconds_a_frame


def _around(hearing: Hearing, heard: Sequence[Heard], keys: Sequence[int], number: int) -> Around:
    frame, one = hearing.seconds_a_frame, heard[number]
    before = heard[number - 1] if number else None
    joined = _silence(hearing, heard, number) < JOINED
    old_begin = 0.0 if before is None else (before.first if joined else before.end) * frame
    return Around(
        one.first * frame,
        one.end * frame,
        keys[number],
        keys[number - 1] if joined else None,
        old_begin,
    )


def _moved(at: Around, moment: Moment) -> Around:
    return replace(at, place=at.place + moment.after)
