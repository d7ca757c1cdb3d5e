"""How LilyPond is run, and what it leaves: pages in every format, how many, and its remarks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from drills.errors import EngraveError
from drills.output.engrave.log import page_counts, remarks, warnings
from drills.output.engrave.program import HOW_TO_GET_ONE

_NUMBER: Final = re.compile(r"(\d+)(?=\.\w+$)")


@dataclass(frozen=True, slots=True)
class Engraving:
    """How LilyPond is run."""

    program: Path | None = None
    """The LilyPond to use; found where it usually is unless given."""
    time_limit: float = 300.0
    """Seconds for each text."""
    memory_limit: int = 3 * 2**30
    """Bytes of address space for each process; a hundred sheets need less than 1 GB."""
    workers: int = 0
    """Processes at a time; 0 for one a core."""
    resolution: int = 150
    """Dots per inch of PNG pages."""


@dataclass(frozen=True, slots=True)
class Engraved:
    """What LilyPond made of some texts, in their order."""

    pdfs: tuple[bytes, ...]
    """One for each text, where asked for."""
    pages: tuple[tuple[int, ...], ...]
    """For each text, how many pages each of its book parts has."""
    pngs: tuple[bytes, ...] = ()
    """Every page, where asked for."""
    svgs: tuple[bytes, ...] = ()
    """Every page, where asked for."""
    midis: tuple[bytes, ...] = ()
    """One for each score that has a MIDI block, where asked for."""
    remarks: tuple[str, ...] = ()
    """What the player should know, such as signs that no font has."""
    warnings: tuple[str, ...] = ()
    """LilyPond's other warnings, word for word."""
    said: str = ""
    """Everything that LilyPond said."""


def collected(folders: Sequence[Path], logs: Sequence[str], formats: Sequence[str]) -> Engraved:
    """Everything that the processes left in their folders, in the order of the texts."""
    files = {
        name: [_in_order(folder, ending) for folder in folders]
        for name, ending in (("pdf", "pdf"), ("png", "png"), ("svg", "svg"), ("midi", "mid*"))
        if name in formats
    }
    for name, found in files.items():
        if not all(found):
            raise EngraveError(f"LilyPond made no {name.upper()}; {HOW_TO_GET_ONE}")
    content = {
        name: tuple(path.read_bytes() for paths in found for path in paths)
        for name, found in files.items()
    }
    text = "\n".join(logs)
    return Engraved(
        pdfs=content.get("pdf", ()),
        pages=tuple(page_counts(log) for log in logs),
        pngs=content.get("png", ()),
        svgs=content.get("svg", ()),
        midis=content.get("midi", ()),
        remarks=remarks(text),
        warnings=warnings(text),
        said=text,
    )


def _in_order(folder: Path, ending: str) -> list[Path]:
    """The files of one kind by the number in their name."""

    def number(path: Path) -> int:
        found = _NUMBER.search(path.name)
        return int(found[1]) if found else 0

    return sorted(folder.glob(f"sheets*.{ending}"), key=number)
