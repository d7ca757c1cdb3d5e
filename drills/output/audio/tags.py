"""What a sound file says about itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

SOFTWARE: Final = "drills"


@dataclass(frozen=True, slots=True)
class Tags:
    """The words that travel in the file, so that a player lists it sensibly."""

    title: str = ""
    """Of the piece."""
    part: str = ""
    words: str = ""
    """The spot: "bar 33, the first bar of E"."""
    rights: str = ""
    mark: str = ""
    """Tells a later run that the file is its own."""
    cues: str = ""
    """The list of cues, for a format without markers of its own."""

    @property
    def heading(self) -> str:
        """Piece and spot in one line."""
        return ": ".join(plain(text) for text in (self.title, self.words) if text)

    def comment(self, markers: bool) -> str:
        """The mark, then the cues unless the format has markers for them."""
        told = (self.mark,) if markers else (self.mark, self.cues)
        return "\n".join(text.rstrip("\n") for text in told if text)


def plain(text: str) -> str:
    """``text`` in one line, without what UTF-8 or a string that ends with a zero cannot hold."""
    storable = text.encode("utf-8", "replace").decode()
    return " ".join("".join(c if c.isprintable() else " " for c in storable).split())
