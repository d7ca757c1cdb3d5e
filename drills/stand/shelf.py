"""The player's folder as a shelf of scores: what is there, and how a file is put on it.

A score has an id that says nothing of its place on the disk: the beginning of the hash of its
name.  Requests name scores by that id, and it is looked up among the files that are there, so
no path of a request ever reaches the file system.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Final

from drills.errors import ReadError, WriteError
from drills.jobs.folder import scores_in
from drills.output.files import OutputFile, safe_name, write_files
from drills.project.book import BOOK_NAME, SCORE_ENDINGS, read_content

MOST_SCORES: Final = 500
SCORE_LIMIT: Final = 16_000_000
"""Bytes of a file that is put on the shelf."""


@dataclass(frozen=True, slots=True)
class Score:
    """A file on the shelf."""

    id: str
    path: Path

    @property
    def name(self) -> str:
        """As the player named it."""
        return self.path.name


@dataclass(frozen=True, slots=True)
class Shelf:
    """The scores of one folder; nothing is kept, the folder is looked at each time."""

    folder: Path

    def scores(self) -> tuple[Score, ...]:
        """The scores of the folder itself, by name, MOST_SCORES of them."""
        found = islice(scores_in(self.folder), MOST_SCORES)
        return tuple(Score(id_of(path.name), path) for path in found)

    def score(self, id_: str) -> Score:
        """The score of an id; raises ReadError where it is gone."""
        for score in self.scores():
            if score.id == id_:
                return score
        raise ReadError("this score is no longer in the folder; go back to the shelf")

    def book(self) -> bytes | None:
        """The content of the book, None where there is none yet; raises BookError."""
        path = self.folder / BOOK_NAME
        return read_content(path) if path.is_file() else None

    def book_stamp(self) -> int:
        """Another number whenever the book was written; it may say what a score does not."""
        path = self.folder / BOOK_NAME
        return path.stat().st_mtime_ns if path.is_file() else 0

    def book_file(self) -> Score:
        """The book as a file of the shelf; raises ReadError where there is none yet."""
        path = self.folder / BOOK_NAME
        if not path.is_file():
            raise ReadError("nothing is on the list yet; mark a spot in a part first")
        return Score(id_of(BOOK_NAME), path)

    def add(self, name: str, content: bytes) -> Score:
        """Put a file on the shelf, under a name of its own where there is one like it.

        Raises ReadError for what no score can be, WriteError where there is no room.
        """
        ending = Path(name.replace("\\", "/")).suffix.lower()
        if ending not in SCORE_ENDINGS:
            raise ReadError(f"{safe_name(name)}: a score ends in one of {', '.join(SCORE_ENDINGS)}")
        if len(content) > SCORE_LIMIT:
            raise ReadError(f"a score has {SCORE_LIMIT // 1_000_000} MB at most")
        if len(self.scores()) >= MOST_SCORES:
            raise WriteError(f"the folder has {MOST_SCORES} scores already; take some out first")
        stem = safe_name(Path(name.replace("\\", "/")).stem)
        path = self._free(stem, ending, content)
        write_files([OutputFile(path, content)], force=False)
        return Score(id_of(path.name), path)

    def _free(self, stem: str, ending: str, content: bytes) -> Path:
        """A path that is free, or that holds this very content already."""
        number = 1
        while True:
            path = self.folder / f"{stem}{f'-{number}' if number > 1 else ''}{ending}"
            if not path.exists() or (path.is_file() and path.read_bytes() == content):
                return path
            number += 1


def id_of(name: str) -> str:
    """What a request calls a file of the folder."""
    return hashlib.sha256(name.encode("utf-8", "surrogateescape")).hexdigest()[:16]


def version_of(content: bytes | None) -> str:
    """Says which book a page has seen; empty for none."""
    return "" if content is None else hashlib.sha256(content).hexdigest()[:16]
