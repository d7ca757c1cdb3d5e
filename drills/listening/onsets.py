"""When each heard note begins, to a few milliseconds.

Problem.  The model says in which frames a note sounds; a frame is 6 ms, and its windows
see several hundredths of a second.  Method, each kind in its own way:

    tongued      where the level comes within 6 dB of the note's own plateau
    repeated     the same, after the dip between two notes of one pitch
    slurred      where the partials of the new pitch reach the strength, measured against
                 their own plateau, that those of the old pitch have lost

In a room the level tells little: partials of which what the room holds was taken off stand
in for it, and a pitch that is repeated is looked for where its phases break as well.

Conventions.  Seconds from the start of what is heard; curves are those of curves.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

import numpy as np

from drills.listening.curves import PARTIALS, STEP, Curves, broken
from drills.listening.following import Heard
from drills.listening.hearing import Hearing, frequency
from drills.listening.spectra import Samples

NEARLY: Final = 0.02
"""Seconds from the place that the model has, within which it has a say."""
HALF: Final = 6.0
"""Decibels under the plateau where a tongued note begins."""
GAP_DIP: Final = 7.0
"""Decibels of a dip that tell a tongued note from a slurred one."""
GONE: Final = 0.2
"""How much the old pitch says in a room, where it goes on sounding."""
REPEAT_WINDOW: Final = 0.014
RISE: Final = 0.012
"""Seconds over which a rise is looked for, in a room, where a pitch is struck again."""
BREAK: Final = 40.0
"""Decibels of such a rise that a full break of the phases is worth."""
DOUBT: Final = 2.0
"""Decibels that it must be worth to lie 20 ms from where the model has it."""
REPEAT_LEAD: Final = 0.003
"""Seconds by which such a place is late; measured on recorded tones in computed rooms."""
MODEL_SHARE: Final = 0.25
"""How much of a change's place in a room is what the model says: two readings err apart."""
SILENCE_LEAD: Final = 0.007
"""Seconds by which the level after silence is late, which the room goes on raising."""
JOINED: Final = 0.03
"""Seconds between two notes that still count as none."""
JOINED_IN_ROOM: Final = 0.1


class Attack(Enum):
    """How a note begins."""

    TONGUED = "tongued"
    REPEATED = "repeated"
    SLURRED = "slurred"
    SILENCE = "after silence"


@dataclass(frozen=True, slots=True)
class Onset:
    """When a heard note begins and ends."""

    seconds: float
    end: float
    attack: Attack


def refine(
    samples: Samples, hearing: Hearing, heard: Sequence[Heard], keys: Sequence[int]
) -> list[Onset]:
    """The onset of every heard note; ``keys`` are the pitches that sounded."""
    found: list[Onset] = []
    frame = hearing.seconds_a_frame
    for number, one in enumerate(heard):
        before = heard[number - 1] if number else None
        least = JOINED_IN_ROOM if hearing.tail.matters else JOINED
        joined = before is not None and (one.first - before.end) * frame < least
        near = _Near(samples, hearing, one, keys[number])
        if joined and keys[number - 1] != keys[number]:
            found.append(near.changed(keys[number - 1], before))
        elif joined:
            found.append(near.repeated())
        else:
            late = SILENCE_LEAD if hearing.tail.matters else 0.0
            found.append(Onset(near.risen() - late, one.end * frame, Attack.SILENCE))
    return found


class _Near(Curves):
    """The ways in which an attack is placed."""

    def risen(self) -> float:
        """Where the level, from its lowest point on, comes within 6 dB of the plateau."""
        plateau = self.plateau_of(self.level)
        around = (self.times > self.place - 0.05) & (self.times < self.place + 0.07)
        lowest = int(np.argmin(np.where(around, self.level, np.inf)))
        return self.crossing(self.level, lowest, plateau - HALF)

    def repeated(self) -> Onset:
        """The same pitch again."""
        if not self.hearing.tail.matters:
            return Onset(self.risen(), self.ends, Attack.REPEATED)
        size = int(max(REPEAT_WINDOW, 1.5 / frequency(self.key)) * self.rate)
        count = int(min(2 * PARTIALS, max(0.42 * self.rate // frequency(self.key), 1)))
        hertz = frequency(self.key, self.hearing.tuning) * np.arange(1, count + 1)
        waves = self.waves(hertz, size)
        energy = np.abs(waves) ** 2
        top = np.maximum(np.median(energy, axis=0), 1e-12)
        weight = top**0.35 / (top**0.35).sum()
        level = np.clip(10 * np.log10(np.maximum(energy, 1e-12) / top), -18, 6) @ weight
        sums = np.cumsum(np.concatenate([[0.0], level]))
        at, half = np.arange(len(level)), round(RISE / STEP)
        late, early = np.minimum(at + half, len(level)), np.maximum(at - half, 0)
        rise = (sums[late] - 2 * sums[at] + sums[early]) / half
        likely = rise + BREAK * (broken(waves) @ weight)
        likely -= DOUBT * ((self.times - self.place) / 0.02) ** 2
        around = np.abs(self.times - self.place) < 0.05
        best = int(np.argmax(np.where(around, likely, -np.inf)))
        return Onset(float(self.times[best]) - REPEAT_LEAD, self.ends, Attack.REPEATED)

    def changed(self, old: int, before: Heard | None) -> Onset:
        """From one pitch to another: tongued where the level dips, else slurred."""
        if self.hearing.tail.matters:
            return Onset(self._slur(old, before), self.ends, Attack.SLURRED)
        near = (self.times > self.place - 0.06) & (self.times < self.place + 0.05)
        plateau = self.plateau_of(self.level)
        earlier = self.times < self.place - 0.06
        old_level = float(np.median(self.level[earlier])) if earlier.any() else plateau
        dip = min(plateau, old_level) - float(self.level[near].min())
        if dip > GAP_DIP:
            return Onset(self.risen(), self.ends, Attack.TONGUED)
        return Onset(self._slur(old, before), self.ends, Attack.SLURRED)

    def _slur(self, old: int, before: Heard | None) -> float:
        """Where the new pitch has come as far as the old one has gone."""
        begins = before.first * self.hearing.seconds_a_frame if before else self.start
        place, gap = self._change(old, begins)
        if not self.hearing.tail.matters:
            return max(place, gap)
        off = self.place - place
        return place + MODEL_SHARE * off if abs(off) < NEARLY else place

    def _change(self, old: int, begins: float) -> tuple[float, float]:
        """Where the change is; and, where a gap parts the two, where the new
        pitch comes within 6 dB of its plateau."""
        was = (self.times > max(begins + 0.03, self.start)) & (self.times < self.place - 0.03)
        if not was.any():
            was = self.times < max(self.place - 0.02, self.times[1])
        end = min(self.ends - 0.02, self.place + 0.15)
        now = (self.times > min(self.place + 0.03, end - 0.02)) & (self.times <= end)
        gone = self.strength(old, self.key, was)
        come = self.strength(self.key, old, now)
        change = come - GONE * gone if self.hearing.tail.matters else come - gone
        near = np.flatnonzero(np.abs(self.times - self.place) < 0.06)
        early = change[(self.times > self.place - 0.07) & (self.times < self.place - 0.025)]
        late = change[(self.times > self.place + 0.025) & (self.times < self.place + 0.07)]
        known = len(late) and len(early)
        middle = (float(np.median(early)) + float(np.median(late))) / 2 if known else 0.0
        place = self.best_crossing(change[near] - middle, near)
        if come[int(np.searchsorted(self.times, place))] >= -HALF - 1:
            return place, place
        return place, self.best_crossing((come + HALF)[near], near)
