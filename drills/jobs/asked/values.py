"""Option values as a player writes them, read into the types of the program.

Pure functions from text; each raises UsageError with what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from difflib import get_close_matches
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.harmony.symbols import parse_chord
from drills.music.time import NoteValue
from drills.output.files import ENDINGS
from drills.places.finding import split_places
from drills.sheets.cells import LARGEST
from drills.sheets.rhythms import find_rhythms

VALUE_NAMES: Final = {
    "whole": "whole",
    "half": "half",
    "quarter": "quarter",
    "eighth": "eighth",
    "sixteenth": "16th",
    "thirty-second": "32nd",
    "sixty-fourth": "64th",
}
"""Note values by the name that a player says; the values are MusicXML's."""

NONE: Final = "none"
SMALLEST: Final = 2
"""Notes in the smallest cell: one note is no move."""
SLOWEST: Final = 5
FASTEST: Final = 1000
"""Beats a minute that are taken for a tempo at all."""
_METRONOME_NUMBER: Final = re.compile(r"[0-9]{1,9}(?:\.[0-9]{0,9}|/0*[1-9][0-9]{0,8})?")
"""Short enough that no number of digits or exponent asks for long work."""


def read_places(texts: Iterable[str]) -> tuple[str, ...]:
    """``("12, E:3", "G")`` is three places; a place asked for twice counts once."""
    return tuple(dict.fromkeys(place for text in texts for place in split_places(text)))


def read_names(texts: Iterable[str]) -> tuple[str, ...]:
    """``("Flute, 2", "Oboe")`` is three parts; one named twice counts once."""
    return tuple(dict.fromkeys(_words(texts)))


def read_said(texts: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """``("E:3=C7",)``: places and chords; each is checked as far as it can be without a score."""
    found = []
    for text in texts:
        place, equals, chord = (piece.strip() for piece in text.rpartition("="))
        if not (equals and place and chord):
            raise UsageError(
                f"{text!r} is not a place with a chord; write PLACE=CHORD, as in E:3=C7"
            )
        parse_chord(chord)
        found.append((place, chord))
    return tuple(found)


def read_players(texts: Iterable[str]) -> tuple[tuple[str, int], ...]:
    """``("Trombones=3",)``: staves and how many players each is for, 1 to 8."""
    found = []
    for text in texts:
        name, equals, count = (piece.strip() for piece in text.rpartition("="))
        if not (equals and name and re.fullmatch("[1-8]", count)):
            raise UsageError(
                f"{text!r} is not a staff with 1 to 8 players; write STAFF=COUNT, as in Trombones=3"
            )
        found.append((name, int(count)))
    return tuple(found)


def read_sizes(text: str) -> tuple[int, ...]:
    """``2,3,4``: sizes of cells, each once, in rising order; ``none`` is no cells."""
    if text.strip().lower() == NONE:
        return ()
    words = _words([text])
    if not words or not all(re.fullmatch(r"[0-9]{1,3}", word) for word in words):
        raise UsageError(f"{text!r} is not a list of sizes; write, for example, 2,3,4")
    sizes = sorted({int(word) for word in words})
    if sizes[0] < SMALLEST or sizes[-1] > LARGEST:
        raise UsageError(f"{text!r}: a cell has {SMALLEST} to {LARGEST} notes")
    return tuple(sizes)


def read_rhythms(texts: Iterable[str]) -> tuple[str, ...]:
    """``("dotted, swung", "3:1:1:2")``: keys of rhythms, each once; ``none`` adds nothing."""
    words = [word for word in _words(texts) if word.lower() != NONE]
    found = (rhythm.key for word in words for rhythm in find_rhythms(word))
    return tuple(dict.fromkeys(found))


def read_value(text: str) -> NoteValue:
    """``eighth``, ``dotted quarter``, ``16th``: a note value."""
    words = re.sub(r"(?<=dotted)-", " ", " ".join(text.lower().split())).split()
    dots = len(words) - 1 if all(word == "dotted" for word in words[:-1]) else -1
    name = words[-1] if words else ""
    kind = VALUE_NAMES.get(name) or (name if name in VALUE_NAMES.values() else "")
    if kind and 0 <= dots <= 1:
        return NoteValue(kind, dots)
    near = get_close_matches(name, VALUE_NAMES, 1, 0.5)
    hint = (
        f"did you mean {near[0]}?" if near and dots == 0 else f"there are {', '.join(VALUE_NAMES)}"
    )
    raise UsageError(f"{text!r} is not a note value; {hint}, and dotted ones")


def read_tempo(text: str) -> tuple[NoteValue | None, Fraction]:
    """``132`` or ``half=66``: what is counted (None: the beat of the music) and how often."""
    value, equals, number = text.rpartition("=")
    return (read_value(value) if equals else None), read_number(number)


def read_number(text: str) -> Fraction:
    """``66``: a metronome number."""
    plain = text.strip()
    number = Fraction(plain) if _METRONOME_NUMBER.fullmatch(plain) else Fraction(0)
    if not SLOWEST <= number <= FASTEST:
        raise UsageError(
            f"{text[:40]!r} is not a metronome number; write one from {SLOWEST} to {FASTEST}"
        )
    return number


LONGEST_EVENING: Final = 600


def read_minutes(text: str) -> Fraction:
    """Minutes of practice."""
    try:
        number = Fraction(text.strip())
    except (ValueError, ZeroDivisionError):
        number = Fraction(0)
    if not 1 <= number <= LONGEST_EVENING:
        raise UsageError(
            f"{text!r} minutes cannot be planned; write a number from 1 to {LONGEST_EVENING}"
        )
    return number


def read_whether_all(text: str) -> bool:
    """True for ``all``."""
    return text.lower() == "all"


def whole_number(low: int, high: int) -> Callable[[str], int]:
    """A reader of whole numbers within bounds, both included."""

    def read(text: str) -> int:
        digits = text.strip()
        if not re.fullmatch(r"[0-9]{1,9}", digits) or not low <= int(digits) <= high:
            raise UsageError(f"{text!r} is not a whole number from {low} to {high}")
        return int(digits)

    return read


def read_ranks(text: str) -> tuple[int, ...]:
    """``1,3-5``: whole numbers from 1 to 999, and stretches of them."""
    number = whole_number(1, 999)
    found: list[int] = []
    for piece in text.split(","):
        low, dash, high = piece.partition("-")
        first = number(low)
        last = number(high) if dash else first
        if last < first:
            raise UsageError(f"{piece.strip()!r} counts down; write the smaller number first")
        found += range(first, last + 1)
    return tuple(dict.fromkeys(found))


def read_seconds(text: str) -> float:
    """``90``: a length of time above 0."""
    return _decimal(text, "a number of seconds", 86_400)


def read_points(text: str) -> float:
    """``18``: a height; the page knows what can be printed."""
    return _decimal(text, "a height in points", 1_000)


def _decimal(text: str, what: str, most: float) -> float:
    try:
        number = float(text)
    except ValueError:
        number = 0.0
    if not 0 < number <= most:  # neither is "nan"
        raise UsageError(f"{text!r} is not {what}")
    return number


def read_heard_formats(given: Iterable[str]) -> tuple[str, ...]:
    """What can be written of a take; raises UsageError for anything else."""
    wrong = [name for name in given if name != "midi"]
    if wrong:
        raise UsageError(f"a take is written as midi, not as {wrong[0]!r}")
    return tuple(given)


def read_formats(texts: Iterable[str]) -> tuple[str, ...]:
    """``("midi, png",)``: names of formats, each once."""
    names = tuple(dict.fromkeys(word.lower().lstrip(".") for word in _words(texts)))
    for name in names:
        if name not in ENDINGS:
            near = get_close_matches(name, ENDINGS, 1, 0.4)
            hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(ENDINGS)}"
            raise UsageError(f"{name!r} is not a format; {hint}")
    return names


def read_limits(texts: Iterable[str]) -> dict[str, str]:
    """``("bars=20000",)``: names and values, which the reader checks."""
    pairs = [text.partition("=") for text in texts]
    for name, equals, _ in pairs:
        if not (equals and name.strip()):
            raise UsageError(f"{name!r} is not a limit; write NAME=VALUE, such as bars=20000")
    return {name.strip(): value.strip() for name, _, value in pairs}


def read_thresholds(texts: Iterable[str]) -> dict[str, str]:
    """``("late=40",)``: names and values, which the table of thresholds checks."""
    pairs = [text.partition("=") for text in texts]
    for name, equals, _ in pairs:
        if not (equals and name.strip()):
            raise UsageError(f"{name!r} is not a threshold; write NAME=VALUE, such as late=40")
    return {name.strip(): value.strip() for name, _, value in pairs}


def _words(texts: Iterable[str]) -> list[str]:
    return [word.strip() for text in texts for word in text.split(",") if word.strip()]


def read_entries(texts: Sequence[str]) -> tuple[int, ...]:
    """Numbers of log entries, ``--strike 12``; raises UsageError."""
    wrong = [text for text in texts if not text.isdecimal() or int(text) < 1]
    if wrong:
        raise UsageError(f"{wrong[0]!r} is no entry; drills log shows their numbers")
    return tuple(int(text) for text in texts)
