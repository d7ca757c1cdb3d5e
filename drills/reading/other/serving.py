"""The process that reads files of other formats: one after another, each within its limits.

A message is a head in JSON and, behind a null byte, the bytes of a file or a document
(reading/confined; where the system bounds no process, the clock of the other side alone holds).
"""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any, Final

from drills.errors import DrillsError, LimitError, NotMusicXMLError, ReadError, UsageError
from drills.music.pitch import KeySignature
from drills.music.time import TimeSignature
from drills.reading.confined import address_space, confine, questions
from drills.reading.given import Given
from drills.reading.limits import MEGABYTE, Limits
from drills.reading.other.foreign import Foreign, Translation
from drills.reading.other.kinds import Kind
from drills.reading.other.translating import translated

SEPARATOR: Final = b"\0"
"""Between head and bytes; JSON holds none."""
ERRORS: Final = (ReadError, LimitError, NotMusicXMLError, UsageError)
"""What a reader may say of a file; each by its own name."""


def serve() -> None:
    """Answer until the input ends."""
    questions(_answer)


def _answer(question: bytes) -> bytes:
    head, _, data = question.partition(SEPARATOR)
    said = json.loads(head)
    limits = Limits(**said["limits"])
    _confine(limits)
    try:
        found = translated(Kind(said["kind"]), _foreign(said, limits, data))
    except DrillsError as error:
        return json.dumps({"failed": type(error).__name__, "words": str(error)}).encode()
    return json.dumps(_told(found)).encode() + SEPARATOR + found.text


def _told(found: Translation) -> dict[str, Any]:
    return {"failed": "", "remarks": found.remarks, "silence": asdict(found.silence)}


def _foreign(said: dict[str, Any], limits: Limits, data: bytes) -> Foreign:
    metre = TimeSignature.parse(said["metre"]) if said["metre"] else None
    key = KeySignature(said["key"]["fifths"], said["key"]["mode"]) if said["key"] else None
    return Foreign(data, limits, said["where"], said["tune"], Given(metre, key))


def _confine(limits: Limits) -> None:
    """Bound what the next file may take, beside what was taken already."""
    in_use = address_space()
    confine(
        seconds=limits.seconds,
        memory=in_use + limits.megabytes * MEGABYTE if in_use else None,
    )
