"""Playable: written ranges, room to breathe, moves across the clarinet's break."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest
from music21 import pitch
from music21.stream import Part

from tests.scores.heard import NAMES, parsed

RANGES = {
    "Flute": ("C4", "A6"),
    "Oboe": ("Bb3", "E6"),
    "Clarinet": ("E3", "D6"),
    "Alto Saxophone": ("Bb3", "F6"),
    "Tenor Saxophone": ("Bb3", "F6"),
    "Baritone Saxophone": ("Bb3", "F6"),
}
"""Written pitches that an amateur band plays safely (common practice)."""


def _midi(text: str) -> int:
    return int(pitch.Pitch(text.replace("b", "-")).midi)


def _written(part: Part) -> list[int]:
    return [int(note.pitch.midi) for note in part.flatten().notes if note.isNote]


@pytest.mark.parametrize("name", NAMES)
def test_every_note_is_in_range(name: str) -> None:
    for part in parsed(name).parts:
        low, high = next(
            limits for kind, limits in RANGES.items() if part.partName.startswith(kind)
        )
        outside = [midi for midi in _written(part) if not _midi(low) <= midi <= _midi(high)]
        assert outside == [], part.partName


@pytest.mark.parametrize("name", NAMES)
def test_every_part_moves_through_an_octave_or_more(name: str) -> None:
    for part in parsed(name).parts:
        written = _written(part)
        assert max(written) - min(written) >= 10, part.partName


@pytest.mark.parametrize("name", NAMES)
def test_nobody_plays_longer_than_a_breath_allows(name: str) -> None:
    """A rest or a note of a quarter within 15 quarters (8 seconds of the march, 15 of the air)."""
    for part in parsed(name).parts:
        since = Fraction(0)
        for event in part.flatten().notesAndRests:
            if "ChordSymbol" in event.classes or event.duration.isGrace:
                continue
            since += Fraction(event.duration.quarterLength)
            chance = event.isRest or event.duration.quarterLength >= 1
            since = Fraction(0) if chance else since
            assert since <= 15, f"{part.partName}, bar {event.measureNumber}"


BREAK = 71
"""Written B4, the lowest note with the register key; under it the throat notes
(Boehm clarinet: https://newt.phys.unsw.edu.au/music/clarinet/)."""


@pytest.mark.parametrize(
    ("name", "part", "least"),
    [("march", 1, 30), ("march", 2, 20), ("air", 1, 15), ("swing", 1, 20)],
)
def test_clarinets_cross_the_break(name: str, part: int, least: int) -> None:
    written = _written(parsed(name).parts[part])
    crossings = [(a, b) for a, b in pairwise(written) if (a < BREAK) != (b < BREAK)]
    assert len(crossings) >= least


@pytest.mark.parametrize("part", [1, 2])
def test_the_march_uses_the_clarinets_little_fingers(part: int) -> None:
    """Written B4, C5 and C#5, and the same fingerings a twelfth lower (E3, F3, F#3)."""
    written = _written(parsed("march").parts[part])
    assert sum(midi in (71, 72, 73, 52, 53, 54) for midi in written) >= 20


def test_the_alto_saxophone_uses_its_left_little_finger_table() -> None:
    """Written B flat 3, B3 and C#4 share the table of the left little finger."""
    written = _written(parsed("march").parts[3])
    assert {58, 61} <= set(written)
