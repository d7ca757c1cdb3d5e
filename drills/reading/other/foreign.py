"""What a reader of another format is given, and what it gives."""

from __future__ import annotations

from dataclasses import dataclass

from drills.reading.given import ALL_SAID, NOTHING_GIVEN, Given, Silence
from drills.reading.limits import Limits


@dataclass(frozen=True, slots=True)
class Translation:
    """A score as MusicXML, and what the player should know about how it became that."""

    text: bytes
    """A MusicXML document in UTF-8, not yet checked by anyone."""
    remarks: tuple[str, ...] = ()
    silence: Silence = ALL_SAID
    """What the file does not say of metre and key."""


@dataclass(frozen=True, slots=True)
class Foreign:
    """A file of another format, unpacked, with all that its reader may need."""

    data: bytes
    limits: Limits
    where: str
    """How messages about the file begin."""
    tune: str = ""
    """Which of several tunes of a file, as the player named it."""
    given: Given = NOTHING_GIVEN
    """Metre and key where the file is silent."""
