"""How the files of a section are called, and which there are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from drills.jobs.gathering import Gathered
from drills.jobs.section_files import FileWanted
from drills.music.score import Credits, Part
from drills.output.files import (
    made_from,
    safe_name,
)

LEADER: Final = "Section"
"""The name of the leader's file."""


def folder_name(score: Gathered, credits: Credits, places: Sequence[str]) -> str:
    """PIECE-PLACE: "Out-Past-the-Breakwater-E.3"."""
    more = f"-and-{len(places) - 3}-more" if len(places) > 3 else ""
    return safe_name(f"{credits.title or score.stem}-{'+'.join(places[:3])}") + more


def files_of(
    score: Gathered,
    credits: Credits,
    places: Sequence[str],
    parts: Sequence[Part],
    chosen: Sequence[str],
) -> list[FileWanted]:
    """The leader's file and one for each player, no two of one name whatever the system."""
    subject = "; ".join(places)
    taken: set[str] = set()
    found = []
    for name in (LEADER, *(part.name or "part" for part in parts)):
        plain = safe_name(name)
        unique = next(
            text
            for text in (plain, *(f"{plain}-{number}" for number in range(2, len(parts) + 3)))
            if text.casefold() not in taken
        )
        taken.add(unique.casefold())
        mark = made_from(score.name, f"section, {unique}", places, credits.title, chosen)
        title = credits.title or name
        found.append(FileWanted(unique, (), title, f"{name}: {subject}", mark))
    return found
