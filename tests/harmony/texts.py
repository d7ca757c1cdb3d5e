"""Notes, chords and bars written as short texts, so that an example can be read in its test."""

from __future__ import annotations

from fractions import Fraction

from drills.harmony.chord import Harmony, Heard
from drills.harmony.symbols import parse_chord
from drills.music.grid import GridBar
from drills.music.pitch import Pitch
from drills.music.time import TimeSignature, length


def line(text: str, part: int = 0, start: Fraction | int = 0) -> list[Heard]:
    """``C5:1/2 E4+G4:2 r D5``: pitches, with + a chord, r a rest; lengths in quarters, else 1."""
    found, now = [], Fraction(start)
    for word in text.split():
        pitches, _, lasts = word.partition(":")
        end = now + Fraction(lasts or 1)
        if pitches != "r":
            found += [Heard(now, end, Pitch.parse(name), part) for name in pitches.split("+")]
        now = end
    return found


def eighths(text: str, part: int = 0, start: Fraction | int = 0) -> list[Heard]:
    """A line in eighths: ``C4 E4 G4``."""
    return line(" ".join(f"{word}:1/2" for word in text.split()), part, start)


def sixteenths(text: str, part: int = 0, start: Fraction | int = 0) -> list[Heard]:
    """A line in sixteenths."""
    return line(" ".join(f"{word}:1/4" for word in text.split()), part, start)


def chords(text: str) -> list[Harmony]:
    """``C:4 G7:2``: chord symbols, and how many quarters each sounds."""
    found, now = [], Fraction(0)
    for word in text.split():
        name, _, lasts = word.partition(":")
        end = now + Fraction(lasts)
        found.append(Harmony(now, end, parse_chord(name)))
        now = end
    return found


def bars(count: int, time: str = "4/4", pickup: Fraction | int = 0) -> list[GridBar]:
    """``count`` full bars, after a pickup of so many quarters."""
    signature = TimeSignature.parse(time)
    full = signature.bar_length
    found = []
    if pickup:
        short = length(pickup)
        found.append(GridBar(Fraction(0), short, signature, full - short))
    for index in range(count):
        found.append(GridBar(pickup + index * full.quarters, full, signature))
    return found
