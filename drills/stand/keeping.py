"""Files that were made lately, kept in memory by what they were made from.

A page that is asked for again, or shown and then saved, is made once.  The key is a hash of all
that it depends on: the score's own bytes, the place and every choice.
"""

from __future__ import annotations

import hashlib
import json
from collections import OrderedDict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

ROOM: Final = 200_000_000
"""Bytes."""
TYPES: Final = {
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".wav": "audio/wav",
    ".mid": "audio/midi",
    ".musicxml": "application/vnd.recordare.musicxml+xml",
    ".json": "application/json",
    ".zip": "application/zip",
    ".txt": "text/plain; charset=utf-8",
}


@dataclass(frozen=True, slots=True)
class Made:
    """What a task has made: files, and what is told with them."""

    files: tuple[tuple[str, bytes], ...]
    told: dict[str, Any]

    @property
    def size(self) -> int:
        """Bytes of the files."""
        return sum(len(content) for _, content in self.files)


@dataclass(slots=True)
class Kept:
    """As many of them as there is room for, those that were asked for last."""

    room: int = ROOM
    _made: OrderedDict[str, Made] = field(default_factory=OrderedDict)

    def get(self, key: str) -> Made | None:
        """What was made under a key, if it is still here."""
        made = self._made.get(key)
        if made is not None:
            self._made.move_to_end(key)
        return made

    def put(self, key: str, made: Made) -> None:
        """Keep it, and let go of what was not asked for longest."""
        self._made[key] = made
        self._made.move_to_end(key)
        while len(self._made) > 1 and sum(one.size for one in self._made.values()) > self.room:
            self._made.popitem(last=False)


def key_of(path: Path, *depends: object) -> str:
    """A hash of a file's content and of what else something depends on."""
    found = hashlib.sha256(path.name.encode("utf-8", "surrogateescape"))
    with path.open("rb") as stream:
        found.update(hashlib.file_digest(stream, "sha256").digest())
    found.update(json.dumps(depends, sort_keys=True, default=str).encode())
    return found.hexdigest()[:32]
