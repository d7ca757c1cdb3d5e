"""Which files of a folder are scores, told by their names and marks alone; nothing is read."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from drills.errors import BookError
from drills.output.files import MARK_PREFIX
from drills.project.book import SCORE_ENDINGS


def scores_in(folder: Path) -> list[Path]:
    """Scores that lie in the folder itself; hidden files and our own sheets are none."""
    try:
        paths = sorted(folder.iterdir(), key=lambda path: path.name)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BookError(f"{folder}: cannot be looked through ({reason}); name a folder") from error
    scores = [
        path
        for path in paths
        if path.suffix.lower() in SCORE_ENDINGS
        and not path.name.startswith(".")
        and path.is_file()
        and not _is_our_own(path)
    ]
    exact = {path.stem for path in scores if path.suffix.lower() in _MUSICXML}
    return [path for path in scores if path.suffix.lower() in _MUSICXML or path.stem not in exact]


_MUSICXML: Final = SCORE_ENDINGS[:3]
"""Of the same music in several formats that in MusicXML is taken."""


def _is_our_own(path: Path) -> bool:
    """True for drills that were written as MusicXML: their mark stands near the top."""
    try:
        with path.open("rb") as stream:
            return MARK_PREFIX.encode() in stream.read(10_000)
    except OSError:
        return False  # the reader will say what is wrong with it
