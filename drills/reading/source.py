"""What music is read from: a file, or what a player typed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Final

_SHOWN: Final = 40


@dataclass(frozen=True, slots=True)
class Typed:
    """Bars typed by hand, and for whom."""

    text: str
    """In plain words or ABC; see other/typed.py."""
    instrument: str = ""
    """As the player names it; empty for none in particular."""

    @property
    def stem(self) -> str:
        """What files made from it are called where nothing else names them."""
        return "notes"

    @property
    def name(self) -> str:
        """What tells it from every other text, as a file's name does."""
        return hashlib.sha256(f"{self.instrument}\n{self.text}".encode()).hexdigest()[:16]

    def __str__(self) -> str:
        words = " ".join(self.text.split())
        return f'notes "{words[:_SHOWN]}{"..." if len(words) > _SHOWN else ""}"'


ScoreSource = Path | Typed
"""Whatever can be opened."""


def paths_of(*sources: ScoreSource) -> tuple[Path, ...]:
    """Those of some sources that are files."""
    return tuple(source for source in sources if isinstance(source, Path))
