"""What a reader of another format is given, and what it gives."""

from __future__ import annotations

from dataclasses import dataclass

from drills.reading.limits import Limits


@dataclass(frozen=True, slots=True)
class Translation:
    """A score as MusicXML, and what the player should know about how it became that."""

    text: bytes
    """A MusicXML document in UTF-8, not yet checked by anyone."""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Foreign:
    """A file of another format, unpacked, with all that its reader may need."""

    data: bytes
    limits: Limits
    where: str
    """How messages about the file begin."""
    tune: str = ""
    """Which of several tunes of a file, as the player named it."""
