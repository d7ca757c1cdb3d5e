"""Option values of practice sound as a player writes them, read into the types of the program.

Pure functions from text; each raises UsageError with what to write instead.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from fractions import Fraction
from typing import Final

from drills.errors import UsageError
from drills.sheets.clicks.pattern import Pattern
from drills.sheets.clicks.reading import read_pattern
from drills.sheets.ladder import shown
from drills.sound.groove import find_groove
from drills.sound.practice.choices import (
    CHOSEN_VOICES,
    HIGHEST_A,
    LOWEST_A,
    WHOLE_SHEET,
    Material,
)
from drills.sound.practice.climb import LONGEST, MOST_BEYOND, MOST_PERCENT, Steps
from drills.sound.practice.voices import SOUNDS, VOICES

SHEET: Final = "sheet"
"""Stands for everything that is drilled on a sheet."""
SOUND_FORMATS: Final = {
    "wav": ".wav",
    "flac": ".flac",
    "ogg": ".ogg",
    "opus": ".opus",
    "mp3": ".mp3",
    "midi": ".mid",
    "pdf": ".pdf",
}
"""What can be written, each with its ending.  Repeated here, since the modules that know
the formats take long to import; a test compares the two."""
WITH: Final = tuple(voice for voice in CHOSEN_VOICES if voice != "click")
"""What can play along with the click."""

_NUMBER: Final = re.compile(r"[0-9]{1,6}(\.[0-9]{1,6})?")


def read_material(texts: Iterable[str]) -> tuple[Material, ...]:
    """``("spot, lines",)``: what is played, in that order; ``sheet`` is all that is drilled."""
    found: list[Material] = []
    for word in _words(texts):
        if word == SHEET:
            found += WHOLE_SHEET
        else:
            found.append(Material(_one_of(word, (*Material, SHEET), "something to play")))
    return tuple(dict.fromkeys(found))


def read_voices(texts: Iterable[str]) -> tuple[str, ...]:
    """``("line, bass",)``: voices that play along, each once."""
    words = _words(texts)
    return tuple(dict.fromkeys(_one_of(word, WITH, "a voice to play along") for word in words))


def read_patterns(texts: Iterable[str]) -> tuple[Pattern, ...]:
    """``("beats", "2,4")``: click patterns, one for each rung in turn."""
    return tuple(read_pattern(text) for text in texts)


def read_sound(text: str) -> str:
    """The name of a struck sound."""
    return _one_of("-".join(text.lower().split()), tuple(SOUNDS), "a sound")


def read_groove(text: str) -> str:
    """The key of a drum pattern."""
    return find_groove(text).key


def read_steps(texts: Iterable[str]) -> dict[str, int]:
    """``("click, line", "click")``: how often each voice is named."""
    named: dict[str, int] = {}
    for word in _words(texts):
        voice = _one_of(word, tuple(VOICES), "a voice")
        named[voice] = named.get(voice, 0) + 1
    return named


def read_octave(text: str) -> int:
    """``up``, ``down``, ``-2``: octaves away from the line."""
    named = {"up": 1, "down": -1}
    word = text.strip().lower()
    if word in named:
        return named[word]
    if re.fullmatch(r"[+-]?[1-3]", word):
        return int(word)
    raise UsageError(f"{text!r} is no octave; write up, down, or a number from -3 to 3 and not 0")


def read_pitch(text: str) -> Fraction:
    """``442``: hertz of the tuning note A."""
    number = _number(text)
    if number is None or not LOWEST_A <= number <= HIGHEST_A:
        raise UsageError(f"{text!r} is not an A in hertz; write one from {LOWEST_A} to {HIGHEST_A}")
    return number


def read_step(text: str) -> tuple[Steps, Fraction | None]:
    """``metronome``, ``even`` or ``5%``: how far from rung to rung."""
    word = text.strip().lower()
    if word in _STEPS:
        return _STEPS[word], None
    percent = _number(word.removesuffix("%")) if word.endswith("%") else None
    if percent is None:
        raise UsageError(f"{text!r} is no step; write metronome, even, or a percentage such as 5%")
    if not 1 <= percent <= MOST_PERCENT:
        raise UsageError(f"{text!r}: choose a step from 1% to {MOST_PERCENT}%")
    return Steps.PERCENT, percent


_STEPS: Final = {"metronome": Steps.METRONOME, "even": Steps.EQUAL}


def read_past(text: str) -> Fraction:
    """``10`` or ``10%``: per cent past the performing tempo."""
    percent = _number(text.strip().removesuffix("%"))
    if percent is None or percent > MOST_BEYOND:
        raise UsageError(f"{text!r} is not a percentage from 0 to {MOST_BEYOND}")
    return percent


def read_up_and_back(text: str) -> tuple[int, int]:
    """``3-1``: three rungs up, one back."""
    found = re.fullmatch(r"([0-9]{1,2})\s*-\s*([0-9]{1,2})", text.strip())
    if found is None:
        raise UsageError(f"{text!r} is not a way up; write 3-1 for three rungs up, one back")
    up, back = int(found[1]), int(found[2])
    if not 1 <= back < up:
        raise UsageError(f"{text!r} never gets to the top; go fewer rungs back than up, at least 1")
    return up, back


def read_minutes(text: str) -> Fraction:
    """``12``: a length in minutes, as seconds."""
    number = _number(text)
    if number is None or not 0 < number * 60 <= LONGEST:
        raise UsageError(
            f"{text!r} is not a length in minutes; write more than 0 and at most "
            f"{shown(Fraction(LONGEST, 60))}"
        )
    return number * 60


def read_sound_formats(texts: Iterable[str]) -> tuple[str, ...]:
    """``("midi, pdf",)``: names of formats, each once."""
    endings = {ending.lstrip("."): name for name, ending in SOUND_FORMATS.items()}
    words = (word.lstrip(".") for word in _words(texts))
    names = tuple(SOUND_FORMATS)
    return tuple(dict.fromkeys(endings.get(w) or _one_of(w, names, "a format") for w in words))


def _number(text: str) -> Fraction | None:
    digits = text.strip()
    return Fraction(digits) if _NUMBER.fullmatch(digits) else None


def _one_of(word: str, names: Sequence[str], what: str) -> str:
    if word in names:
        return word
    near = get_close_matches(word, names, 1, 0.6)
    hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(names)}"
    raise UsageError(f"{word!r} is not {what}; {hint}")


def _words(texts: Iterable[str]) -> list[str]:
    return [word.strip().lower() for text in texts for word in text.split(",") if word.strip()]
