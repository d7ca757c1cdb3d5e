"""An interval of a transposition in words."""

from __future__ import annotations

from typing import Final

from drills.music.pitch import Transposition

_SEMITONES: Final = (0, 2, 4, 5, 7, 9, 11)
"""Semitones of the major or perfect interval of each number (common practice)."""
_PERFECT_KINDS: Final = {0: "perfect", 1: "augmented", -1: "diminished"}
_OTHER_KINDS: Final = {0: "major", -1: "minor", 1: "augmented", -2: "diminished"}
_PERFECT: Final = (0, 3, 4, 7)
_NUMBERS: Final = ("unison", "second", "third", "fourth", "fifth", "sixth", "seventh")


def interval(transposition: Transposition) -> str:
    """``a major second lower``, ``an octave and a major sixth lower``, ``as written``."""
    steps, semitones = transposition.diatonic, transposition.chromatic
    if semitones == 0:
        return "as written"
    direction = "lower" if semitones < 0 else "higher"
    steps, semitones = (-steps, -semitones) if semitones < 0 else (steps, semitones)
    octaves, step = divmod(steps, 7)
    left = semitones - 12 * octaves - _SEMITONES[step]
    kinds = _PERFECT_KINDS if step in _PERFECT else _OTHER_KINDS
    if octaves < 0 or left not in kinds:
        return f"{semitones} semitones {direction}"
    words = {0: [], 1: ["an octave"]}.get(octaves, [f"{octaves} octaves"])
    if step or left:
        kind = kinds[left]
        words.append(f"{'an' if kind[0] == 'a' else 'a'} {kind} {_NUMBERS[step]}")
    return f"{' and '.join(words)} {direction}"
