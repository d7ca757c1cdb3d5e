"""Files of single parts that belong to one piece: each takes what another says for all.

Problem: of parts in files of their own, one has the rehearsal marks, another the tempos; a
place such as "E:3" must be found in all of them, and every part judged at the same tempo.
Method: files with one part, the same title and the same bars (as many, of the same lengths and
metres) are one piece; ``drills section`` is told which files belong together, a folder or a
book is not.  What differs is told.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from drills.jobs.naming import distinct_names
from drills.jobs.request import Settings, Tell, say_nothing
from drills.jobs.wanted_spots import about
from drills.music.score import Part
from drills.places.aligning import align
from drills.places.aligning.sharing import shared
from drills.project.book import BookPart
from drills.reading.given import Given
from drills.reading.musicxml import ScoreFile, open_score, read_part

_K = TypeVar("_K", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Piece:
    """The parts of several files on one time line."""

    parts: tuple[Part, ...]
    own: int
    """Which of them is the file's."""
    remarks: tuple[str, ...] = ()
    """Where the files disagree."""

    @property
    def part(self) -> Part:
        return self.parts[self.own]


EntryKey = tuple[Path, Given]
"""Of what a book reads: the file, and what it is told about it."""


def key_of(entry: BookPart) -> EntryKey:
    return entry.path, entry.given


def open_entries(
    entries: Sequence[BookPart], settings: Settings, tell: Tell = say_nothing
) -> dict[EntryKey, ScoreFile]:
    """Every file that entries of a book name, opened once; errors begin with the entry."""
    opened: dict[EntryKey, ScoreFile] = {}
    for entry in entries:
        if key_of(entry) not in opened:
            tell(f"reading {entry.file}")
            with about(entry.where):
                opened[key_of(entry)] = open_score(entry.path, settings.limits, entry.given)
    return opened


def pieces_of(scores: Mapping[_K, ScoreFile]) -> dict[_K, Piece]:
    """For each file that belongs to a piece of several the piece; the others are left out.

    Raises ReadError where the part of a file with one part cannot be read.
    """
    single = {key: score for key, score in scores.items() if len(score.entries) == 1}
    groups: dict[object, list[_K]] = {}
    for key, title in _titled(single):
        groups.setdefault((title, _bars(read_part(scores[key]))), []).append(key)
    found: dict[_K, Piece] = {}
    for keys in groups.values():
        if len({scores[key].where for key in keys}) > 1:
            parts, remarks = _joined([scores[key] for key in keys])
            found |= {key: Piece(parts, own, remarks) for own, key in enumerate(keys)}
    return found


def _titled(scores: Mapping[_K, ScoreFile]) -> Iterator[tuple[_K, str]]:
    """The files with a title that another file has too."""
    titles = {key: " ".join(one.credits.title.casefold().split()) for key, one in scores.items()}
    several = list(titles.values())
    yield from ((key, title) for key, title in titles.items() if title and several.count(title) > 1)


def _bars(part: Part) -> tuple[object, ...]:
    return tuple((bar.length, bar.time.counts, bar.time.unit) for bar in part.bars)


def _joined(scores: Sequence[ScoreFile]) -> tuple[tuple[Part, ...], tuple[str, ...]]:
    own = [read_part(score) for score in scores]
    named = [
        replace(part, name=name) for part, name in zip(own, distinct_names(scores), strict=True)
    ]
    aligned = align(named)
    parts, remarks = shared(aligned)
    told = tuple(dict.fromkeys((*aligned.remarks, *remarks)))
    back = (replace(part, name=one.name) for part, one in zip(parts, own, strict=True))
    return tuple(back), told
