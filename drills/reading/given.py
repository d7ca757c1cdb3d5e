"""Metre and key that a player gives, where a file says neither.

Problem: MIDI files may say neither, ABC, Humdrum and MEI files may leave either out; then
something is assumed, and the drills are counted and spelled by it.
Method: the reader of a format tells what the file is silent about and what is taken for it
(``Silence``).  What the player gives holds there; where a terminal can be asked it is, once
for each file.  A MIDI file's own metre and key give way to the player's, since programs write
4/4 and C major into files of which they know nothing; what other formats say stands.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from drills.errors import UsageError
from drills.music.pitch import KeySignature
from drills.music.time import TimeSignature
from drills.reading.other.word_keys import key_length
from drills.reading.other.word_keys import read_key as key_of

_METRE: Final = re.compile(r"\d{1,2}(?:\+\d{1,2})*/\d{1,2}")
_MOST: Final = 64
"""Either number of a metre that can be counted."""


AS_BARS: Final = "as long as the bars are"


@dataclass(frozen=True, slots=True)
class Silence:
    """What a file does not say, in words for what is taken instead; empty where it says it."""

    metre: str = ""
    """"4/4", or AS_BARS."""
    key: str = ""
    """"no key"."""


ALL_SAID: Final = Silence()


AskSilent = Callable[[str, Silence], "Given"]
"""Called with how messages about the file begin, and what is not known of it; gives both, or
None for what stays as it is."""


@dataclass(frozen=True, slots=True)
class Given:
    """What holds where a file is silent."""

    metre: TimeSignature | None = None
    key: KeySignature | None = None
    ask: AskSilent | None = field(default=None, repr=False, compare=False)
    """Asks the player for what is not given; None where nobody can answer."""

    def completed(self, silence: Silence, where: str) -> Given:
        """The same with the player's answers for what the file leaves open."""
        left = Silence(
            silence.metre if self.metre is None else "", silence.key if self.key is None else ""
        )
        if self.ask is None or left == ALL_SAID:
            return self
        said = self.ask(where, left)
        return Given(self.metre or said.metre, self.key or said.key)


NOTHING_GIVEN: Final = Given()


def read_metre(text: str) -> TimeSignature:
    """``6/8``, ``3+2/8``; raises UsageError for what cannot be counted."""
    plain = text.strip()
    try:
        found = TimeSignature.parse(plain) if _METRE.fullmatch(plain) else None
    except ValueError:
        found = None
    if found is None or max(found.count, found.unit) > _MOST:
        raise UsageError(f"{text[:40]!r} is no metre; write, for example, 4/4, 6/8 or 3+2/8")
    return found


def read_key(text: str) -> KeySignature:
    """``F major``, ``B flat minor``, ``no key``; raises UsageError for anything else."""
    words = text.split()
    try:
        if words and key_length(words) == len(words):
            return key_of(words)
    except ValueError as error:
        raise UsageError(str(error)) from error
    raise UsageError(f"{text[:40]!r} is no key; write, for example, F major, B flat minor, no key")
