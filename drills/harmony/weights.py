"""What speaks for a reading and what against it: the one table of constants.

Unit.  100 is one tone of a chord that sounds for one beat.  A constant "per beat"
is multiplied by the beats that a chord lasts, one "a chord" counts once.
The values are round numbers, chosen on ten four-part chorales and on small textures
of our own (arpeggios, struck basses, held chords under a moving tune); most may be
moved by a quarter without a change that matters.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final

from drills.harmony.templates import ADDED


@dataclass(frozen=True, slots=True)
class Share:
    """How much a tone counts, in percent of its length."""

    support: int
    """For a chord that it belongs to."""
    foreign: int
    """Against a chord that it does not belong to."""


_KINDS: Final = {
    "dominant": -60,  # the commonest chord with a seventh
    "minor-seventh": 50,
    "half-diminished": 20,
    "diminished-seventh": 0,
    "major-seventh": 70,
    "power": 60,  # a fifth whose third is only late is no power chord
    "augmented": 150,  # mostly a passing fifth or a sixth before it falls
    "major-minor": 110,
    "augmented-seventh": 120,
    "suspended-fourth": 100,  # mostly a suspension of the chord that follows
    "suspended-seventh": 180,
    "suspended-second": 140,
    "major-sixth": 120,
    "minor-sixth": 120,
    "dominant-ninth": 120,
    "major-ninth": 130,
    "minor-ninth": 130,
    "dominant-13th": 220,
    "French": 120,
    "rootless": 240,
    "pedal": 50,
}
_PER_BEAT: Final = {"": 0, "seventh": 70, "ninth": 100, "sixth": 100, "suspension": 40}


@dataclass(frozen=True, slots=True)
class Weights:
    """All constants of the reading; the defaults are those that are used."""

    ornament: Share = Share(100, 10)
    """Short, off the beat, by step on both sides: free to be a passing or a neighbour note."""
    stepwise: Share = Share(100, 80)
    """By step on both sides, but long or on a beat."""
    held_over: Share = Share(75, 50)
    """Held into a beat and left by step downwards, as suspensions are."""
    one_step: Share = Share(100, 120)
    leaping: Share = Share(100, 150)
    """Who leaps to a note and away from it means a tone of the chord."""
    ringing: Share = Share(50, 0)
    """Only remembered: it cannot disturb."""
    stress: tuple[int, ...] = (120, 100, 100, 100, 100)
    """Percent that a beat's sound counts by the strength of the beat (see stress)."""
    highest: int = 100
    """Percent that the highest tone counts against a chord: a tune may be foreign to it."""
    bass_root: int = 60
    bass_third: int = 40
    bass_fifth: int = -30
    """The lowest note, per beat, in percent of its support; a six-four chord is rare, and a
    third in the bass speaks for a chord only if its fifth sounds."""
    change: tuple[int, ...] = (40, 50, 60, 80, 300)
    """What a new chord costs by the strength of its place, bar line to finer than half a beat."""
    no_chord: int = 50
    """What a stretch without a chord costs."""
    missing_fifth: int = 30
    missing_third: int = 60
    """What a triad costs whose third is only understood, from the music around it."""
    around: int = 800
    """How far that music reaches on either side, in percent of a beat."""
    shortest_pedal: int = 200
    """Percent of a beat that one tone alone lasts to be read as a pedal."""
    falls: tuple[int, ...] = (0, 0, 0, 0, -10, 10, 0, 0, 0, 0, 0, 0)
    """What a chord gains by the semitones up to its root from that of the one before."""
    per_beat: Mapping[str, int] = field(default_factory=lambda: MappingProxyType(_PER_BEAT))
    """What a chord must earn, per beat, by the tone that it adds to a triad (see ADDED):
    a seventh that only passes does not pay for itself."""
    kinds: Mapping[str, int] = field(default_factory=lambda: MappingProxyType(_KINDS))
    """What a kind costs, a chord; 0 where it is not listed."""
    least: int = 5
    """Percent of all sound that a tone must have to make a chord what it is."""

    def per_beat_of(self, kind: str) -> int:
        """What a kind costs per beat."""
        return self.per_beat[ADDED.get(kind, "")]


CALIBRATION: Final = (
    *((0, 45), (10, 55), (30, 58), (50, 70), (60, 75), (70, 83), (80, 87), (90, 90), (100, 93)),
)
"""How far the notes speak for a reading (see from_notes), in percent, and in how many of a
hundred such places people name the same root and triad: on the development half of the pieces
in tests/harmony/split.py, by duration; straight lines between."""

WEIGHTS: Final = Weights()
